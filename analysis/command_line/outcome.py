"""What a verb hands back: text for people, figures for programs, files to write, and an exit code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FINE, TO_MEND = 0, 2


@dataclass(frozen=True, eq=False)
class Outcome:
    """The answer of a verb, nothing of it printed or written yet."""

    lines: list[str]
    figures: dict[str, Any]  # for --json: SI, units in the keys
    files: Sequence[tuple[Path, bytes]] = ()
    code: int = FINE
