"""What can be typed behind `byhand` and `curves`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path


def byhand(verb: ArgumentParser) -> None:
    """Options of `byhand`."""
    _plan_and_condition(verb)
    verb.add_argument("--about", metavar="NUMBER", nargs="+", help="what to open to its sum, line by line; or all")
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the picture of the first of them as .svg or .png")


def curves(verb: ArgumentParser) -> None:
    """Options of `curves`."""
    _plan_and_condition(verb)
    verb.add_argument("--mark", metavar="NAME", help="the draught mark; else the aftmost")
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the picture as .svg or .png")


def _plan_and_condition(verb: ArgumentParser) -> None:
    verb.add_argument("--plan", metavar="NAME", help="the plan; else the first refit of the boat")
    verb.add_argument("--condition", metavar="NAME", help="the load condition; else the first of the boat")
