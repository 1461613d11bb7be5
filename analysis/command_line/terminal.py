"""The terminal: what it can show, how wide it is, and the one notice given while sums are being prepared."""

from __future__ import annotations

import codecs
import logging
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TextIO

WIDEST, NARROWEST = 100, 60
PLAIN = {
    "°": " deg",
    "±": "+/-",
    "×": "x",
    "²": "2",
    "³": "3",
    "⁴": "4",
    "₁": "1",
    "−": "-",
    "½": "1/2",
    "–": "-",
    "—": "-",
    "→": "->",
    "’": "'",
}
NOTICE = "Preparing the sums for this machine: some seconds, the first time only."


def width() -> int:
    """Columns to print in: as wide as the terminal, within what reads well."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((WIDEST, 24)).columns))


def _plain(problem: UnicodeError) -> tuple[str, int]:
    """Say a character that the output cannot hold in plain letters."""
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    return "".join(PLAIN.get(c, "?") for c in problem.object[problem.start : problem.end]), problem.end


codecs.register_error("hullcalc-plain", _plain)


@contextmanager
def plain_letters(*streams: TextIO) -> Iterator[None]:
    """Within the block a character that a stream cannot encode is written in plain letters instead of failing."""
    before = {stream: stream.errors for stream in streams if hasattr(stream, "reconfigure")}
    for stream in before:
        stream.reconfigure(errors="hullcalc-plain")  # type: ignore[attr-defined]
    try:
        yield
    finally:
        for stream, errors in before.items():
            if not stream.closed:
                stream.reconfigure(errors=errors)  # type: ignore[attr-defined]


class _Notice(logging.Handler):
    """Tells a person who is waiting that the sums are being compiled; once."""

    def __init__(self, stream: TextIO) -> None:
        super().__init__(logging.INFO)
        self.stream, self.given = stream, False

    def emit(self, record: logging.LogRecord) -> None:
        if not self.given and "preparing" in record.getMessage() and not kept_from_before():
            self.given = True
            print(NOTICE, file=self.stream, flush=True)


def kept_from_before() -> bool:
    """Is the compiled kernel on disk from an earlier run, and not older than its source?"""
    from hullcalc.geometry import kernel  # here: it imports numba

    stats = getattr(kernel.float_many, "stats", None)
    if stats is None:  # runs as plain Python: there is nothing to prepare
        return True
    if stats.cache_path is None:
        return False
    written = Path(kernel.__file__).stat().st_mtime
    return any(file.stat().st_mtime >= written for file in Path(stats.cache_path).glob("kernel.float_many-*.nbi"))


@contextmanager
def notice_of_preparation(stream: TextIO) -> Iterator[None]:
    """Within the block the preparation of the compiled kernel is told on a terminal, and nowhere else."""
    if not stream.isatty():
        yield
        return
    log, handler = logging.getLogger("hullcalc"), _Notice(stream)
    level = log.level
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    try:
        yield
    finally:
        log.removeHandler(handler)
        log.setLevel(level)


def quiet_end_of_pipe() -> None:
    """The reader went away: leave nothing for the interpreter to complain about at its end."""
    with suppress(OSError, ValueError):  # a stream without a file behind it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
