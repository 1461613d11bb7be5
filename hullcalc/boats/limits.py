"""What a floated boat's figures are not valid beyond, in sentences fitted to the case, and whom to ask."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from hullcalc.boats.rounds import Loading, Round
from hullcalc.units import say_heel, say_height

STANDING_CARE = (
    "Estimates for planning, for a boat at rest in calm water: check the finished boat afloat before use.",
    "Questions of stability, flotation, structure and fuel-system safety belong to a naval architect or a qualified "
    "surveyor and to local rules.",
)


def say_list(names: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def say_limits(
    loading: Loading, rounds: Sequence[Round], rests_between: Sequence[str], shut: bool, system: str
) -> tuple[str, ...]:
    """Sentences, what bears on the figures first; `system` is "metric" or "us"."""
    last = rounds[-1]
    return (
        *_attitude(last),
        *_openings(loading, rounds, rests_between, shut, system),
        *_deck_edge(loading, last, system),
        *STANDING_CARE,
    )


def _attitude(last: Round) -> list[str]:
    if last.state.status == "lolls":
        other = last.state.other
        both = f", or at {say_heel(float(other.heel))}" if other is not None else ""
        return [
            f"She does not stay upright: she comes to rest at {say_heel(float(last.state.heel))}{both}. "
            "Ask a naval architect."
        ]
    if last.state.status == "capsizes":
        return ["She comes to rest with her deck over 60° from level: no figure here is of use. Ask a naval architect."]
    return []


def _openings(
    loading: Loading, rounds: Sequence[Round], rests_between: Sequence[str], shut: bool, system: str
) -> list[str]:
    last, said = rounds[-1], []
    if loading.held_open:
        said.append(f"Held open to the sea from the start: {say_list(loading.held_open)}.")
    for number, (this, after) in enumerate(pairwise(rounds), start=1):
        opening = [name for name in after.opened if name not in this.opened]
        by = [o for o in this.under if any(o in loading.spaces[name].openings for name in opening)]
        said.append(
            f"With {say_list(opening)} shut, {_heights(this, by, system)}; round {number + 1} floats her with "
            f"{say_list(opening)} open to the sea. Round {number} holds only while {say_list(by)} "
            f"{'is' if len(by) == 1 else 'are'} plugged."
        )
    for name in rests_between:
        shut_last = next(k for k, each in enumerate(rounds) if name in each.opened)
        said.append(
            f"In round {len(rounds)}, with {name} open, its openings are dry again: she rests between round "
            f"{shut_last} and round {len(rounds)}, and which figures hold depends on how the water came in."
        )
    of_open = {o for name in last.opened for o in loading.spaces[name].openings}
    beyond = [name for name in last.under if name not in of_open]
    if beyond:
        why = "kept shut here" if shut else "and nothing says which space it fills"
        said.append(
            f"Not valid beyond an opening under water: {_heights(last, beyond, system)}, {why}. "
            "Unless it is plugged, water comes in and she goes on settling."
        )
    dry = [name for name in loading.openings if last.heights[name] >= 0]
    if dry and not last.under:
        lowest = min(dry, key=lambda name: last.heights[name])
        said.append(
            f"Valid until the first opening is under water: {lowest} is lowest, "
            f"{say_height(last.heights[lowest], system)}."
        )
    if not loading.openings:
        said.append("No opening is known, so nothing is said of water coming in.")
    return said


def _deck_edge(loading: Loading, last: Round, system: str) -> list[str]:
    under = [n for n, mark in loading.marks.items() if mark.kind == "freeboard" and last.heights[n] < 0]
    if not under:
        return []
    return [
        f"The deck edge is under water: {_heights(last, under, system)}. She is counted as closed at the sheer, so "
        "nothing here is valid beyond that."
    ]


def _heights(at: Round, names: Sequence[str], system: str) -> str:
    return say_list([f"{name} is {say_height(at.heights[name], system)}" for name in names])
