"""What can be typed behind `where`, `sweep` and `change`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path


def where(verb: ArgumentParser) -> None:
    """Options of `where`."""
    plan_and_condition(verb)
    verb.add_argument("--kg", metavar="MASS", help='what is put there; else "60 kg", or "130 lb"')
    verb.add_argument(
        "--at", metavar="PLACE", nargs="+", action="extend",
        help='places to ask about: "0.3", "0.55 aft, 0.35 S, 0.6" (x, y, z), or who or what stands there by name; '
        "else places along the centreline",
    )  # fmt: skip
    _marks(verb)
    verb.add_argument(
        "--margin", metavar="LENGTH", default="0 mm",
        help='what each mark shall keep above water: "20 mm", or "95 %%" for as much as its uncertainty asks for',
    )  # fmt: skip
    verb.add_argument("--most", metavar="MASS", help="the greatest weight tried; else 500 kg, or 1000 lb")
    verb.add_argument("--without", metavar="NAME", nargs="+", action="extend", help="people or stores left ashore")
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the deck map as .svg or .png")


def plan_and_condition(verb: ArgumentParser) -> None:
    """The plan and the load of verbs that take one of each."""
    verb.add_argument("--plan", metavar="NAME", help="the plan; else the last one of boat.toml")
    verb.add_argument("--condition", metavar="NAME", help="the load condition; else the heaviest")


def _marks(verb: ArgumentParser) -> None:
    verb.add_argument(
        "--mark", "--marks", metavar="NAME", nargs="+", action="extend",
        help='marks or kinds of mark watched, or "every mark"; else the sole',
    )  # fmt: skip


def sweep(verb: ArgumentParser) -> None:
    """Options of `sweep`."""
    verb.add_argument(
        "--knob", metavar="KNOB", action="append", default=[],
        help='what is turned: "setback = 0.5 m to 0.9 m by 0.05 m", "place of fuel tank new = 1.6 to 3.0 by 0.1", '
        '"litres of fuel tank new = 200 L to 450 L in 26", "fill of fuel = 10 %% to 95 %% by 5 %%", "weight at 0.3, 0, '
        '0.8 = 0 kg to 200 kg by 20 kg", or single values: "place of batteries = 0.36, 1.5, 2.72"; once for each knob',
    )  # fmt: skip
    verb.add_argument(
        "--plan", "--plans", metavar="NAME", nargs="+", action="extend",
        help="the plan, else the last one of boat.toml; two to see where they cross",
    )  # fmt: skip
    verb.add_argument("--condition", metavar="NAME", help="the load condition; else the heaviest")
    _marks(verb)
    verb.add_argument(
        "--keep", metavar="NAME", nargs="+", action="extend", help="further marks whose heights are written"
    )
    verb.add_argument(
        "--out", metavar="FILE", type=Path,
        help="write all states as .csv or .npz, or the contour over two knobs as .png or .svg",
    )  # fmt: skip
    verb.add_argument(
        "--continue", dest="go_on", action="store_true", help="go on with a stopped sweep from its .npz at --out"
    )


def change(verb: ArgumentParser) -> None:
    """Options of `change`."""
    verb.add_argument("--plan", metavar="NAME", help="the plan it leads to; else the last one of boat.toml")
    verb.add_argument("--from", dest="start", metavar="NAME", help="the plan it starts from; else as found")
    verb.add_argument(
        "--condition", "--conditions", metavar="NAME", nargs="+", action="extend", help="conditions; else the heaviest"
    )
    verb.add_argument("--mark", "--marks", metavar="NAME", nargs="+", action="extend", help='marks, or "stern"')
