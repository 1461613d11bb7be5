"""What to ask a naval architect, as a section."""

from __future__ import annotations

from analysis.report.parts import Section
from analysis.studies.asking import PEOPLE_SAY, TO_SEND, Asking
from analysis.studies.words import capital, the_plan


def asking_finding(found: Asking) -> str:
    """The finding, without a full stop."""
    n = len(found.reasons)
    if not n:
        return f"{capital(the_plan(found.plan))}: her figures give no reason of their own; the questions below remain"
    return (
        f"{capital(the_plan(found.plan))}: her figures give {n} reason{'s' if n > 1 else ''} to ask a naval architect"
    )


def asking_sections(found: Asking) -> list[Section]:
    """The reasons in her figures, those that only people can give, and what to send."""
    rows = tuple((reason.short, reason.figures) for reason in found.reasons)
    looked = f"floated in: {'; '.join(found.conditions)}"
    return [
        Section(
            "Reasons in her figures", looked, listed=tuple(f"{capital(short)}: {why}." for short, why in rows),
            after=found.not_looked_at,
        ),
        Section("Reasons only you can know", "ask too if one of these holds", listed=PEOPLE_SAY),
        Section("What to send", listed=TO_SEND, after=("This program decides none of these questions.",)),
    ]  # fmt: skip
