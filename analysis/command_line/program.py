"""Runs one verb: reads what was typed, writes the files, prints, and turns what goes wrong into words and a code.

Codes: 0 fine; 2 something typed or read is to be mended (the message on the error stream, nothing written); 130 stopped
by Ctrl-C; 141 the reader of the output went away.
"""

from __future__ import annotations

import argparse
import importlib
import json
import sys
from collections.abc import Sequence

from analysis.command_line.arguments import parse
from analysis.command_line.files import write_all
from analysis.command_line.outcome import FINE, TO_MEND, Outcome
from analysis.command_line.terminal import notice_of_preparation, plain_letters, quiet_end_of_pipe
from hullcalc.errors import HullcalcError

STOPPED, NOBODY_READS = 130, 141

VERBS = {  # verb -> module with run(options) -> Outcome, imported when asked for
    "answer": "answer",
    "check": "check",
    "float": "floating",
    "compare": "compare",
    "report": "page",
    "picture": "picture",
    "change": "change",
    "where": "where",
    "sweep": "sweep",
    "loads": "loads",
    "trip": "trip",
    "drain": "drain",
    "stripe": "stripe",
    "mend": "mend",
    "alternatives": "alternatives",
    "rehearse": "rehearse",
    "sure": "sure",
    "byhand": "byhand",
    "curves": "curves",
    "part": "part",
    "ask": "ask",
    "weighed": "weighed",
}


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line on `argv` (default: what was typed) and return the exit code."""
    with plain_letters(sys.stdout, sys.stderr):
        try:
            return _run(sys.argv[1:] if argv is None else list(argv))
        except HullcalcError as problem:
            print(problem, file=sys.stderr)
            return TO_MEND
        except KeyboardInterrupt:
            return STOPPED
        except BrokenPipeError:
            quiet_end_of_pipe()
            return NOBODY_READS


def _run(argv: list[str]) -> int:
    try:
        options = parse(argv)
    except SystemExit:  # after --help
        sys.stdout.flush()
        return FINE
    with notice_of_preparation(sys.stderr):
        outcome = outcome_of(options)
    files = list(outcome.files)
    if options.json is not None:
        files.append((options.json, as_json(outcome)))
    write_all(files)
    print("\n".join(outcome.lines))
    sys.stdout.flush()
    return outcome.code


def outcome_of(options: argparse.Namespace) -> Outcome:
    """What the verb answers; nothing is printed or written."""
    verb = importlib.import_module(f"analysis.command_line.{VERBS[options.verb]}")
    outcome: Outcome = verb.run(options)
    return outcome


def as_json(outcome: Outcome) -> bytes:
    """The figures as JSON: plain letters, no NaN (null where there is no figure), the same bytes for the same boat."""
    return (json.dumps(outcome.figures, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")
