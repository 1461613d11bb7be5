"""Measure, print the tables and set them into DEVELOPERS.md: `python -m tests.benchmarks`, in the project's folder."""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: thread CPU time must see all of the work

import platform
import sys
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

from tests.benchmarks.hulls import hull
from tests.benchmarks.measures import LARGE, MIDDLE, SMALL, Measure, building, cuts, floats, starting, sweeps, threads

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
BEGIN, END = "<!-- benchmarks: begin -->", "<!-- benchmarks: end -->"


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A Markdown table."""
    lines = [head, ["---"] + ["---:"] * (len(head) - 1), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def say(figure: float) -> str:
    """Three significant digits, thousands apart."""
    return f"{figure:,.0f}" if figure >= 100 else f"{figure:.3g}"


def cut_table(seconds: dict[int, dict[str, float]]) -> str:
    """Times of one cut as multiples of the tree's at the same size; the tree's own beside its smallest."""
    smallest = seconds[SMALL]["tree"]
    rows = []
    for splits, spent in seconds.items():
        ways = [say(spent[way] / spent["tree"]) for way in list(spent)[1:]]
        rows.append([f"{len(hull(splits).faces):,}", say(spent["tree"] / smallest), *ways])
    return table(["triangles", "tree, to its smallest", *list(seconds[SMALL])[1:]], rows)


def measure_table(measures: Sequence[Measure]) -> str:
    """One line a measure."""
    words = {True: "yes", False: "no", None: ""}
    rows = []
    for m in measures:
        bound = "" if m.bound is None else f"{'at least' if m.at_least else 'at most'} {m.bound:g}"
        rows.append([m.what, f"{say(m.figure)}{m.unit}", bound, words[m.kept]])
    return table(["measure", "figure", "bound", "kept"], rows)


def main() -> int:
    for splits in (SMALL, MIDDLE, LARGE):
        print(f"{len(hull(splits).faces):,} triangles ready", file=sys.stderr)
    seconds, measures = cuts()
    for more in (floats(seconds), threads(), sweeps(), building(seconds), starting()):
        measures += more
    libraries = ", ".join(f"{name} {version(name)}" for name in ("numpy", "numba", "scipy", "trimesh"))
    text = "\n\n".join(
        [
            f"Made by `python -m tests.benchmarks` on {os.cpu_count()} cores ({platform.machine()}), "
            f"Python {platform.python_version()}, {libraries}. Thread CPU time, best of 12 rounds in turn (fewer for "
            f"the slow ones), load average {os.getloadavg()[1]:.1f} beside it; only the ratios mean anything.",
            "One cut, times as long as the tree's at the same size:",
            cut_table(seconds),
            measure_table(measures),
        ]
    )
    print(text)
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    PAGE.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}", encoding="utf-8")
    return 0 if all(m.kept is not False for m in measures) else 1


if __name__ == "__main__":
    sys.exit(main())
