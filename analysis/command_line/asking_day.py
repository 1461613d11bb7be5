"""What can be typed behind `trip`, `drain` and `stripe`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

from analysis.command_line.asking import plan_and_condition

VERBS = {
    "trip": (
        "a day on the water: when is it worst",
        "Floats her along a trip (trips/NAME.csv): the lowest mark and the worst moment, fuel and range by a stated "
        "rule (planning only), full or empty. With --out the day as a picture.",
    ),
    "drain": (
        "which way water runs on the sole, and what it does if it stays",
        "Which way rain runs at rest, by which drain it leaves, where it stands; what litres that stay on the sole do, "
        "step by step. With --out the sole from above.",
    ),
    "stripe": (
        "where the water meets the boot stripe, and where to paint it",
        "Height of the stripe's new lower edge over the water she departs with, against the old one, and how far below "
        "the sheer it is at each station; how high scuppers must stand. With --out her profile, light to full.",
    ),
}


def trip(verb: ArgumentParser) -> None:
    """Options of `trip`."""
    verb.add_argument("trip", metavar="TRIP", nargs="?", help="the trip, named as its file; else the first")
    verb.add_argument("--plan", "--plans", metavar="NAME", nargs="+", action="extend", help="plans; else the last")
    verb.add_argument("--fuel", metavar="LITRES", help='what she starts with, in place of what the trip says: "300 L"')
    verb.add_argument("--nm", metavar="MILES", type=float, nargs="+", help="ranges wished, there and back, in nm")
    verb.add_argument("--kept", metavar="SHARE", help='a share of the fuel you would keep: "25 %%"')
    verb.add_argument(
        "--against", metavar="LITRES", nargs="+", help='fills to compare: "80 US gal" "110 US gal", in the condition'
    )
    verb.add_argument(
        "--condition", metavar="NAME", help="the load in which fuel alone is looked at; else the heaviest"
    )
    _picture(verb, "the day")


def drain(verb: ArgumentParser) -> None:
    """Options of `drain`."""
    plan_and_condition(verb)
    verb.add_argument("--litres", metavar="LITRES", nargs="+", help='water on the sole, in steps: "100 L" "400 L"')
    _picture(verb, "the sole from above")


def stripe(verb: ArgumentParser) -> None:
    """Options of `stripe`."""
    verb.add_argument("--plan", metavar="NAME", help="the plan; else the last one of boat.toml")
    verb.add_argument("--condition", metavar="NAME", help="the load she departs in; else the one that says so")
    verb.add_argument("--margin", metavar="LENGTH", default="20 mm", help="lower edge over that water; else 20 mm")
    _picture(verb, "her profile")


def _picture(verb: ArgumentParser, what: str) -> None:
    verb.add_argument("--out", metavar="FILE", type=Path, help=f"write {what} as .svg or .png")
