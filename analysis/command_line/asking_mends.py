"""What can be typed behind `mend`, `alternatives` and `rehearse`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

VERBS = {
    "mend": (
        "what mends it, cheapest first, and the best mix under limits",
        "Tries every package the plan has not, and everything moves.csv lets be moved, raised or resized, each alone "
        "and at its best value; ranks them by millimetres for an hour or for cost; watches the other end. --best, or "
        "any limit, asks for the best mix of them.",
    ),
    "alternatives": (
        "two to six plans side by side, with cost and hours, to sign",
        "Lowest marks in each load condition, weight, trailer, hours and cost of each, and which is best. A plan may "
        'have things of moves.csv set: "mended plan + fuel tank new 80 US gal".',
    ),
    "rehearse": (
        "which cans, where, make the uncut boat float as the plan will",
        "Whole cans at places that can be reached, what is left over at each mark, corrected for the pod that the "
        "uncut boat has not. A sheet to print; with --out the deck as a picture.",
    ),
}


def mend(verb: ArgumentParser) -> None:
    """Options of `mend`."""
    verb.add_argument("--plan", metavar="NAME", help="the plan to mend; else the first after as found")
    verb.add_argument("--condition", metavar="NAME", help="the load condition; else the heaviest")
    verb.add_argument("--mark", metavar="NAME", help="mark or kind of mark watched; else the sole, or the lowest kind")
    verb.add_argument("--mends", metavar="NAME", help="try only packages of this plan; else all that are left")
    verb.add_argument("--by", choices=("hours", "cost"), default="hours", help="what the ranking divides by")
    verb.add_argument("--later", action="store_true", help="hours as they are once the sole is down")
    verb.add_argument("--best", action="store_true", help="ask for the best mix too")
    verb.add_argument("--aim", choices=("height", "hours", "cost"), default="height",
                      help="the best mix lifts most, takes the fewest hours, or costs least")  # fmt: skip
    verb.add_argument("--keep", metavar="LENGTH", help='the marks watched at least so high: "20 mm"')
    verb.add_argument("--forward", metavar="LENGTH", help="the deck edge forward at least so high, in every load")
    verb.add_argument(
        "--tongue", metavar="SHARE", nargs=2, help='on the trailer\'s ball, least and most: "5 %%" "10 %%"'
    )
    verb.add_argument("--heel", metavar="ANGLE", help='heel at most, either way: "1 deg"')
    verb.add_argument("--hours", metavar="N", help="hours at most")
    verb.add_argument("--cost", metavar="N", help="cost at most")
    verb.add_argument("--without", metavar="NAME", nargs="+", action="extend", help="packages or things not to use")
    verb.add_argument("--anyway", action="store_true", help="let the bow be down, and the sole drain forward")
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the bars as .svg or .png")


def alternatives(verb: ArgumentParser) -> None:
    """Options of `alternatives`."""
    verb.add_argument("--plan", "--plans", metavar="NAME", nargs="+", action="extend",
                      help="two to six plans; else all of boat.toml")  # fmt: skip
    verb.add_argument("--condition", "--conditions", metavar="NAME", nargs="+", action="extend",
                      help="load conditions; else all that hold nothing open")  # fmt: skip
    verb.add_argument("--mark", metavar="NAME", help="mark or kind of mark watched; else the sole, or the lowest kind")
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the picture as .svg or .png")


def rehearse(verb: ArgumentParser) -> None:
    """Options of `rehearse`."""
    verb.add_argument("--plan", metavar="NAME", help="the plan to rehearse; else the first after as found")
    verb.add_argument("--condition", metavar="NAME", help="the load the plan is in; else the first of conditions.csv")
    verb.add_argument("--with", dest="aboard", metavar="NAME",
                      help="how the uncut boat is loaded; else the same people, her tanks as weighed")  # fmt: skip
    verb.add_argument("--can", metavar="MASS", default="21 kg", help='what a filled can weighs; else "21 kg" (20 L)')
    verb.add_argument("--each", metavar="N", default="4", help="cans at one place at most; else 4")
    verb.add_argument("--at", metavar="PLACE", nargs="+", action="extend",
                      help='where cans can stand: "0.5", "1.2, 0.4 P"; else a grid over the sole')  # fmt: skip
    verb.add_argument("--out", metavar="FILE", type=Path, help="write the deck as .svg or .png")
