"""What can be typed behind `loads`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path


def loads(verb: ArgumentParser) -> None:
    """Options of `loads`."""
    verb.add_argument(
        "--plan", "--plans", metavar="NAME", nargs="+", action="extend", help="plans to load; else all of them"
    )
    verb.add_argument(
        "--condition", "--conditions", metavar="NAME", nargs="+", action="extend",
        help="load conditions to open: what is aboard, four names of trim, other waters, what levels her, rain",
    )  # fmt: skip
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the table of lowest marks as .svg or .png")
    verb.add_argument(
        "--one-side", action="store_true", help="everybody to one side, beside the published limits as figures"
    )
