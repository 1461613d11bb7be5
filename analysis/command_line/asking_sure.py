"""What can be typed behind `sure`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

VERBS = {
    "sure": (
        "how sure we are, and what to measure next",
        "How far the lowest mark's height may be off, the chance that it is under water, what that comes from, which "
        "measurement takes most off in ten minutes, and which plan stays best under the uncertainties. With --out the "
        "curve of chances as a picture.",
    ),
}


def sure(verb: ArgumentParser) -> None:
    """Options of `sure`."""
    verb.add_argument(
        "--plan", "--plans", metavar="NAME", nargs="+", action="extend",
        help="the plan told of, and after it those to compare it with; else the last, compared with all but as found",
    )  # fmt: skip
    verb.add_argument("--condition", metavar="NAME", help="the load condition; else the heaviest")
    verb.add_argument(
        "--mark", "--marks", metavar="NAME", nargs="+", action="extend",
        help='marks, or kinds of mark such as sole, or "every mark"; else the sole',
    )  # fmt: skip
    verb.add_argument("--samples", metavar="N", default="20000", help="draws; else 20000")
    verb.add_argument(
        "--measured", metavar="NAME", nargs="+", action="extend", default=[],
        help="measurements taken as done, named as under what to measure next",
    )  # fmt: skip
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the picture, .svg or .png")
