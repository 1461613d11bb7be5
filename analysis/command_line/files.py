"""Files that are either written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from hullcalc.errors import InputError


def write_all(files: Sequence[tuple[Path, bytes]]) -> None:
    """Write each file under a name of its own first, and only when all are written put them in their places.

    What is no plain file (a terminal, a pipe) is written to as it is, last.

    Raises
    ------
    InputError
        If a place cannot be written; nothing has changed then.
    """
    there = {Path(os.path.realpath(path)): data for path, data in files}
    if len(there) < len(files):
        raise InputError(f"{files[0][0]}: two files to write have this name; give each its own")
    special = {path: data for path, data in there.items() if path.exists() and not path.is_file() and not path.is_dir()}
    made: dict[Path, Path] = {}
    path = Path()
    try:
        for path, data in there.items():
            if path.is_dir():
                raise IsADirectoryError(21, "is a folder; name a file")
            if path not in special:
                made[path] = _beside(path, data)
        for path, temporary in list(made.items()):
            os.replace(temporary, path)
            del made[path]
        for path, data in special.items():
            path.write_bytes(data)
    except OSError as problem:
        raise InputError(f"{path}: cannot be written: {_reason(problem)}. Name another place") from problem
    finally:
        for temporary in made.values():
            temporary.unlink(missing_ok=True)


def _beside(path: Path, data: bytes) -> Path:
    """A new file with these bytes in the folder of `path`."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with open(temporary, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _reason(problem: OSError) -> str:
    if isinstance(problem, FileNotFoundError):
        return "there is no such folder"
    return (problem.strerror or str(problem)).lower()
