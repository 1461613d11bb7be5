"""What can be typed: verbs, their options and their help, in a foreman's words. Nothing of the boat is known here."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from analysis.command_line import asking, asking_day, asking_loads, asking_mends, asking_parts, asking_sums, asking_sure
from hullcalc.errors import InputError

PROGRAM = "python -m analysis"
SYSTEMS = ("metric", "us")

ABOUT = """\
What will she weigh, how will she float, which change did it, and what would mend it?

A boat is a folder of tables: the hull, what she weighed, the list of changes, tanks, marks, people. Each verb reads
one such folder; "part" reads part files. Only "weighed" and "part --add-to" ever change a folder."""

CLOSING = """\
examples:
  python -m analysis answer                              the demonstration boat, from weight to mend
  python -m analysis check my-boat                       is everything in the tables as it should be?
  python -m analysis float my-boat --condition "two people"
  python -m analysis compare my-boat --plans "as found" "first plan"
  python -m analysis report my-boat --out my-boat.html   one page to print or to send
  python -m analysis weighed my-boat "anchor 8 m chain 60 m rope" "26.5 kg" --by JB

A plan is named as in boat.toml, or put together from packages of the ledger: "first plan + 9 mend: sole raised".
All figures are estimates for planning, for a boat at rest in calm water."""

_SAID = {
    "answer": (
        "the whole story of one boat",
        "What she weighs, how she floats in each plan and condition, which package did it, what mends it, where added "
        "weight does no harm. Without a folder: the demonstration boat.",
    ),
    "check": (
        "read a boat folder and say what is wrong in it",
        "Reads every table and says everything that is to mend or worth a look, the worst first, each with its row "
        "and how to mend it. Exit code 2 when something is to mend, 0 when there is nothing or only to look at.",
    ),
    "float": (
        "how she floats, mark by mark",
        "Each plan in each condition: one line each, or every mark when one plan and one condition are asked for. "
        "With --json every mark of every case is written.",
    ),
    "compare": (
        "plans side by side, the lowest mark first",
        "Height of each mark above the water, a column for each plan, for each condition.",
    ),
    "report": (
        "one page with pictures and tables, to print or to send",
        "Writes one HTML file that holds everything it shows. Opens in any browser; print it from there. A name that "
        "ends in .pdf gives the printed page.",
    ),
    "picture": (
        "the finding of the report as one picture",
        "Side view, marks and packages in one SVG or PNG file, by the ending of its name.",
    ),
    "change": (
        "which package did it, and does their order matter",
        "Shares the millimetres between two plans among the packages, in several conditions and at several marks at "
        "once: on average over all orders, first, last and in the yard's own order.",
    ),
    "where": (
        "where weight can still go",
        "How much may be added at each place until the first mark is wet, what a chosen weight does there, and where "
        "added weight does no harm, light to loaded. With --out the map over the deck.",
    ),
    **asking_parts.VERBS,
    **asking_day.VERBS,
    **asking_mends.VERBS,
    **asking_sure.VERBS,
    "byhand": (
        "the hand's sums beside the exact float",
        "Sinkage by TPC, trim by MCT, list by GM, free surfaces, fresh water: each by hand, exactly, and the error. "
        "--about opens a number to its sum, line by line.",
    ),
    "curves": (
        "hydrostatic table and righting arms",
        "Displacement, LCB, LCF, KB, KM, TPC and MCT over draughts at a named mark, and righting arms as far as the "
        "first opening under water. With --out the picture of both.",
    ),
    "sweep": (
        "what if tank, bracket or batteries stood elsewhere",
        "Floats every combination of some knobs: setback, place of a thing or a tank, litres, fill, an added weight. "
        "Ctrl-C stops it; what is done is told and written.",
    ),
    "loads": (
        "every plan in every load, her own and the published ones",
        "Weight, LCG, trim, heel, lowest marks, freeboard and GM of each plan in the yard's own load conditions and in "
        "those made by rule: light craft and maximum load by the ISO lists, dock, departing, arriving, family, all "
        "aft, all to one side. With --condition one is opened to what is aboard.",
    ),
    "ask": (
        "what to ask a naval architect, and what to send",
        "The reasons that a plan's figures give: openings under water, everybody to one side, less GM, what was "
        "handled, bodies that carry her, fuel tanks, her length; those only people know; what to send.",
    ),
    "weighed": (
        "write down what a thing weighs on the scale",
        "Puts the weighed figure beside the estimate in ledger.csv and uses it from then on; the estimate is kept. "
        "It changes a boat's folder only when everything still reads as it should.",
    ),
}

IN_ORDER_OF_USE = (
    "answer", "check", "float", "compare", "change",  # the boat and her plans
    "loads", "sure", "where",  # how she is loaded, how sure that is, what room is left
    "mend", "alternatives", "sweep", "rehearse",  # what to do about it
    "trip", "drain", "stripe",  # on the water
    "part", "weighed",  # what goes into the tables
    "byhand", "curves",  # to learn from
    "ask", "report", "picture",  # to hand on
)  # fmt: skip
VERBS = {name: _SAID[name] for name in IN_ORDER_OF_USE}


class _Parser(argparse.ArgumentParser):
    """Says what is wrong as one message, without a usage line that repeats everything."""

    def error(self, message: str) -> NoReturn:
        raise InputError(f"{message}. See: {self.prog} --help")


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """What was typed as a namespace; raises InputError for what cannot be understood, SystemExit after help."""
    if argv and not argv[0].startswith("-") and argv[0] not in VERBS:
        near = difflib.get_close_matches(argv[0], VERBS, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"the verbs are: {', '.join(VERBS)}"
        raise InputError(f"no verb is called {argv[0]!r}; {hint}")
    options = _parser().parse_args(argv)
    if options.verb is None:
        raise InputError(f"say what to do: {', '.join(VERBS)}. See: {PROGRAM} --help")
    return options


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog=PROGRAM, description=ABOUT, epilog=CLOSING, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", title="verbs", parser_class=_Parser)
    made = {name: verbs.add_parser(name, help=short, description=long) for name, (short, long) in VERBS.items()}
    for name, verb in made.items():
        if name == "part":
            continue  # reads part files, and a boat only if asked
        count = "?" if name in ("answer", "picture") else None
        verb.add_argument("folder", metavar="FOLDER", type=Path, nargs=count, help="the boat's folder")
    for name in ("answer", "report", "picture"):
        made[name].add_argument(
            "--condition", metavar="NAME", help="the load condition the story is told for; else the heaviest"
        )
    for name in ("float", "compare"):
        _choice(made[name], "--plan", "--plans", "plans to float; else all of them")
        _choice(made[name], "--condition", "--conditions", "load conditions; else all of them")
        _choice(made[name], "--mark", "--marks", "marks to show; else the ones that matter")
        made[name].add_argument(
            "--shut", action="store_true", help="keep every space shut, even when an opening is under water"
        )
    asking_sums.byhand(made["byhand"])
    asking_sums.curves(made["curves"])
    made["report"].add_argument("--out", metavar="FILE", type=Path, required=True, help="the page to write")
    made["report"].add_argument(
        "--with", dest="topics", metavar="TOPIC", nargs="+", action="extend", default=[],
        help="what other verbs answer, on the page too: sure loads where mend alternatives rehearse trip drain stripe "
        "curves ask, or all",
    )  # fmt: skip
    made["picture"].add_argument("--out", metavar="FILE", type=Path, required=True, help="the picture to write")
    asking.change(made["change"])
    asking_parts.part(made["part"])
    asking.where(made["where"])
    asking.sweep(made["sweep"])
    asking_loads.loads(made["loads"])
    asking_day.trip(made["trip"])
    asking_day.drain(made["drain"])
    asking_day.stripe(made["stripe"])
    asking_mends.mend(made["mend"])
    asking_mends.alternatives(made["alternatives"])
    asking_mends.rehearse(made["rehearse"])
    asking_sure.sure(made["sure"])
    made["ask"].add_argument("--plan", metavar="NAME", help="the plan; else the last of the folder")
    made["weighed"].add_argument("item", metavar="THING", help="the thing, named as in ledger.csv")
    made["weighed"].add_argument("mass", metavar="MASS", help='what the scale says: "26.5 kg" or "58 lb"')
    for option, said in (("--on", "the date"), ("--by", "who weighed it"), ("--why", "anything worth keeping")):
        made["weighed"].add_argument(option, metavar="TEXT", default="", help=said)
    for verb in made.values():
        verb.add_argument(
            "--units", choices=SYSTEMS, default="metric", help="units shown: metric (mm, kg) or us (inches, lb)"
        )
        verb.add_argument("--json", metavar="FILE", type=Path, help="write the same figures for programs, in SI units")
    return parser


def _choice(verb: argparse.ArgumentParser, one: str, many: str, said: str) -> None:
    verb.add_argument(one, many, metavar="NAME", nargs="+", action="extend", help=said)
