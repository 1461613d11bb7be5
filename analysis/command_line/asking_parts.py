"""What can be typed behind `part`. Nothing of the boat is known here."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

VERBS = {
    "part": (
        "what a part weighs and holds, line by line",
        "Reads part files (engine, bracket, fuel tank, livewell, T-top, laminate, ...) and prints the written sum, the "
        "centre with its uncertainty, volumes, and what was taken for granted. With --boat she is floated with the "
        "part aboard: litres of a pod under water and its net lift, intact and flooded; the leg under water; whether a "
        "tank fits; when a livewell overflows. With --add-to the part is written into a boat's folder, and only when "
        "everything still reads as it should.",
    ),
}


def part(verb: ArgumentParser) -> None:
    """Options of `part`."""
    verb.add_argument("part_files", metavar="FILE", type=Path, nargs="+", help="part files, one for each part")
    verb.add_argument("--boat", metavar="FOLDER", type=Path, help="float this boat with the part aboard")
    verb.add_argument("--plan", metavar="NAME", help="the plan to float; else the last one of boat.toml")
    verb.add_argument("--condition", metavar="NAME", help="the load condition to float in; else the heaviest")
    verb.add_argument("--add-to", metavar="FOLDER", type=Path, help="write the part into this boat's folder")
    verb.add_argument("--package", metavar="NAME", help="the package that brings it, with --add-to")
