"""`byhand`: the hand's sums beside the exact float, with the error in mm; --about opens a number to its sum."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from typing import Any

import pandas as pd

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_first, first_refit, known
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.by_hand import TOPICS, headline, opened, summary
from analysis.studies.by_hand.study import ByHand
from analysis.studies.by_hand.sums import Sum
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.errors import HullcalcError

ALL = "all"


def run(options: Namespace) -> Outcome:
    """The summary, or the topics asked for with their sums."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    study = ByHand(boat, first_refit(boat, options.plan), condition_or_first(boat, options.condition))
    topics = [known(name, [*TOPICS, ALL], "number to open") for name in options.about or []]
    topics = list(TOPICS) if ALL in topics else topics
    limits = [text for text in study.limits(options.units) if text not in STANDING_CARE]
    said = [f"{headline(study, options.units)}.", " ".join(limits)]
    if study.under:  # what is not valid comes before any figure
        said.reverse()
    parts = [part for topic in topics for part in opened(study, topic, options.units)]

    def draw() -> Any:
        from analysis.figures.by_hand import hand_figure  # here: pictures take a while to import

        return hand_figure(study, topics[0] if topics else "change", options.units)

    return told(
        boat,
        [text for text in said if text],
        parts if topics else summary(study, options.units),
        figures(study) if options.json else {},
        picture_at(options.out, ending, draw),
    )


def figures(study: ByHand) -> dict[str, Any]:
    """The same figures for programs: each topic's, or the words why it cannot be told."""
    found = records.of_boat(study.boat) | {"plan": study.after.plan, "condition": study.after.condition}
    asked: dict[str, Callable[[], Any]] = {
        "weights": lambda: _rows(study.weights.table),
        "change": lambda: _change(study),
        "stages": lambda: _rows(study.stages.table),
        "parting": lambda: _parting(study),
        "righting_arms": lambda: _rows(study.heeling.table),
        "person_across": lambda: _rows(study.person.table),
        "free_surfaces": lambda: [_surface(tank) for tank in study.surfaces.tanks],
        "wet_space": lambda: _space(study),
        "gm": lambda: {"before": _metacentre(study.gm.before), "after": _metacentre(study.gm.after)},
        "centres": lambda: _rows(study.centres),
        "pods": lambda: [_sum(one.sum) for one in study.lifts],
        "other_water": lambda: _rows(study.water.table),
        "tape": lambda: _rows(study.tape.table),
        "anchor": lambda: {k: v if isinstance(v, str) else records.number(v) for k, v in vars(study.anchor).items()},
    }
    for name, ask in asked.items():
        try:
            found[name] = ask()
        except HullcalcError as problem:
            found[name] = {"cannot_be_told": str(problem)}
    return found


def _rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    """A table's rows; millimetres are turned into metres, so that all is SI."""
    return [
        {
            (f"{key[:-3]}_m" if key.endswith("_mm") else key): (
                value if isinstance(value, str) else records.number(value / 1000 if key.endswith("_mm") else value)
            )
            for key, value in row.items()
        }
        for row in table.to_dict("records")
    ]


def _sum(one: Sum) -> dict[str, Any]:
    lines = [
        {"what": line.what, "value": records.number(line.figure.value), "kind": line.figure.kind} for line in one.lines
    ]
    return {"title": one.title, "lines_si": lines}


def _change(study: ByHand) -> dict[str, Any]:
    change = study.change
    said = {
        name: {"trim_deg": records.number(one.trim), "heel_deg": records.number(one.heel)}
        for name, one in (("by_hand", change.from_before), ("by_table", change.from_table), ("exact", change.exact))
    }
    return said | {"marks": _rows(change.table), "sums": [_sum(one) for one in change.sums]}


def _parting(study: ByHand) -> dict[str, Any]:
    one = study.parting
    return {
        "share": [records.number(s) for s in one.shares],
        "error_m": [records.number(e) for e in one.error],
        "trim_by_hand_deg": [records.number(t) for t in one.hand_trim],
        "trim_exact_deg": [records.number(t) for t in one.exact_trim],
    }


def _surface(tank: Any) -> dict[str, Any]:
    return {
        "tank": tank.tank.name,
        "gm_lost_by_hand_m": records.number(tank.by_hand),
        "gm_lost_exact_m": records.number(tank.exact),
        "touches_top_deg": None if tank.touches_top is None else records.number(tank.touches_top),
        "sum": _sum(tank.sum),
    }


def _space(study: ByHand) -> dict[str, Any]:
    one = study.space
    return {
        "spaces": list(one.spaces),
        "water_kg": records.number(one.water),
        "lost_buoyancy": _metacentre(one.lost),
        "added_weight": _metacentre(one.added),
    }


def _metacentre(one: Any) -> dict[str, Any]:
    units = {"mass": "mass_kg", "volume": "volume_m3", "second_moment": "second_moment_m4"}
    found = {units.get(name, f"{name}_m"): records.number(value) for name, value in vars(one).items()}
    return found | {
        "gm_m": records.number(one.gm),
        "righting_moment_1_deg_kgm": records.number(one.righting_per_degree),
    }
