"""Which marks a question watches: names, kinds, or every mark that should be above water; least of them in words."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence

from analysis.studies.floats import NOT_WATCHED
from hullcalc.boats.marks import Mark
from hullcalc.errors import InputError

EVERY = "every mark"
FIRST_ASKED = "sole"  # water on the sole is what people ask about first


def watched_marks(marks: Mapping[str, Mark], asked: Sequence[str] | None = None) -> list[str]:
    """Names of the marks to watch, in the order of the file.

    Parameters
    ----------
    marks
        The marks there are in the plan.
    asked
        Names of marks or kinds of mark, or "every mark" that should be above water; None: the sole, or every mark where
        no mark of the sole is known.

    Raises
    ------
    InputError
        For a name that is neither a mark of this plan nor a kind of one, or where no mark is left to watch.
    """
    dry = [name for name, mark in marks.items() if mark.kind not in NOT_WATCHED]
    if asked is None:
        asked = [FIRST_ASKED] if any(marks[name].kind == FIRST_ASKED for name in dry) else [EVERY]
    folded = {name.casefold(): name for name in marks}
    kinds = {mark.kind for mark in marks.values()}
    chosen: set[str] = set()
    for text in asked:
        wanted = text.casefold()
        if wanted == EVERY:
            chosen |= set(dry)
        elif wanted in folded:
            chosen.add(folded[wanted])
        elif wanted in kinds:
            chosen |= {name for name, mark in marks.items() if mark.kind == wanted}
        else:
            near = difflib.get_close_matches(wanted, [*folded, *kinds, EVERY], n=2)
            hint = f"did you mean {' or '.join(map(repr, near))}?" if near else f"there are: {', '.join(marks)}"
            raise InputError(f"no mark or kind of mark is called {text!r} in this plan; {hint}")
    if not chosen:
        raise InputError("no mark is left to watch: name a mark, a kind such as sole or scupper, or write marks.csv")
    return [name for name in marks if name in chosen]


def say_watched(names: Sequence[str], marks: Mapping[str, Mark]) -> str:
    """The marks watched in few words: "sole" for all of a kind, else their names or how many."""
    kinds = {marks[name].kind for name in names}
    if len(kinds) == 1:
        (kind,) = kinds
        if list(names) == [name for name, mark in marks.items() if mark.kind == kind]:
            return kind
    if list(names) == [name for name, mark in marks.items() if mark.kind not in NOT_WATCHED]:
        return EVERY
    return " and ".join(names) if len(names) <= 2 else f"{len(names)} marks"
