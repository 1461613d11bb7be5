"""Pictures behind --out: which endings there are, and a figure as bytes, the same for the same boat."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hullcalc.errors import InputError

ENDINGS = ("svg", "png")


def ending_of(out: Path | None) -> str:
    """The ending of --out, "" where none is asked for; an InputError for another one."""
    if out is None:
        return ""
    ending = out.suffix.lower().removeprefix(".")
    if ending not in ENDINGS:
        raise InputError(f"--out {out}: a picture is written as .svg or .png; end the name in one of them")
    return ending


def picture_at(out: Path | None, ending: str, draw: Callable[[], Any]) -> list[tuple[Path, bytes]]:
    """The picture as a file to write; none where no `ending` was asked for. `draw` imports what it draws with."""
    return [] if out is None or not ending else [(out, as_bytes(draw, ending))]


def as_bytes(draw: Callable[[], Any], ending: str) -> bytes:
    """The figure that `draw` makes, in the house's style."""
    from analysis.figures.style import style  # here: pictures take a while to import

    buffer = io.BytesIO()
    with style():
        draw().savefig(buffer, format=ending, metadata={"Date": None} if ending == "svg" else {"Software": None})
    return buffer.getvalue()
