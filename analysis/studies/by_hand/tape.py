"""What a slip of the tape does: the hull built again from changed stations and floated again in the same load.

Each slip is the same all along the boat, the worst kind: every chine height 10 mm too high, every half-breadth 10 mm
too wide. Random errors of single points mostly cancel. Only the hull is built again; bodies, tanks and marks stay. What
is shown is how much deeper the ends are said to be than with the stations as taped. Boat frame, SI.

An *anchor* hides such a slip: the weight that makes the wrong hull float at the measured plane is carried through the
next prediction, and most of the slip cancels.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat, end_points
from analysis.studies.by_hand.weights import require_upright
from hullcalc.boats.boat import HULL
from hullcalc.boats.rounds import Loading
from hullcalc.errors import HullcalcError, InputError, require
from hullcalc.floating.equilibrium import float_at_rest
from hullcalc.floating.state import FloatState
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull, StationTable, hull_from_stations

SLIP = 0.010  # m
RAKE_SLIP = np.radians(1.0)


@dataclass(frozen=True, eq=False)
class TapeSlips:
    """`table` has a row a slip, the greatest first: slip, aft_mm, forward_mm, positive deeper than as taped."""

    one: Afloat
    ends: tuple[str, str]
    table: pd.DataFrame
    left_out: tuple[str, ...]  # slips that give no hull, and why


def tape_slips(one: Afloat, slip: float = SLIP) -> TapeSlips:
    """Float her on hulls built from stations with one slip each.

    Raises InputError where the hull does not come from stations, or the slip is not over 0 and under 0.1 m.
    """
    require(0 < slip < 0.1, "slip", slip, "m", "must be over 0 and under 0.1 m", "0.01 is 10 mm")
    hull = one.boat.hull
    points = end_points(one.boat, one.loading)
    was = {name: float(one.state.height_above_water(point)) for name, point in points.items()}
    rows, left_out = [], []
    for name, build in _slips(hull, slip).items():
        try:
            state = _float_on(one.loading, build())
        except HullcalcError as problem:
            left_out.append(f"{name}: {str(problem).splitlines()[0]}")
            continue
        deeper = [1000 * (was[n] - float(state.height_above_water(p))) for n, p in points.items()]
        rows.append({"slip": name, "aft_mm": deeper[0], "forward_mm": deeper[1]})
    if not rows:
        raise InputError(f"{one.boat.name}: no slip of {1000 * slip:.0f} mm gives a hull; try a smaller one")
    table = pd.DataFrame(rows)
    worst = table[["aft_mm", "forward_mm"]].abs().max(axis=1)
    table = table.loc[worst.sort_values(ascending=False, kind="stable").index].reset_index(drop=True)
    aft, forward = points
    return TapeSlips(one, (aft, forward), table, tuple(left_out))


def _slips(hull: Hull, slip: float) -> dict[str, Callable[[], Solid]]:
    """Each slip in words, and the hull that comes of it."""
    mm = f"{1000 * slip:.0f} mm"
    _, *knuckles, sheer = hull.table.lines
    slips: dict[str, Callable[[], Solid]] = {}
    if knuckles:
        slips[f"{_said(knuckles)} heights +{mm}"] = lambda: _built(hull, _moved(hull, knuckles, 1, slip))
        slips[f"{_said(knuckles)} half-breadths +{mm}"] = lambda: _built(hull, _moved(hull, knuckles, 0, slip))
    slips[f"{sheer} heights +{mm}"] = lambda: _built(hull, _moved(hull, [sheer], 1, slip))
    slips[f"{sheer} half-breadths +{mm}"] = lambda: _built(hull, _moved(hull, [sheer], 0, slip))
    forward = np.where(hull.table.x > 0, hull.table.x + slip, hull.table.x)
    slips[f"stations {mm} too far forward"] = lambda: _built(hull, replace(hull.table, x=forward))
    slips["transom rake +1°"] = lambda: _built(hull, hull.table, hull.transom_rake + RAKE_SLIP)
    return slips


def _said(names: list[str]) -> str:
    return names[0] if len(names) == 1 or all(n.startswith(names[0]) for n in names) else " and ".join(names)


def _moved(hull: Hull, names: list[str], column: int, slip: float) -> StationTable:
    lines = {}
    for name, line in hull.table.lines.items():
        lines[name] = np.array(line)
        if name in names:
            lines[name][:, column] += slip
    return replace(hull.table, lines=lines)


def _built(hull: Hull, table: StationTable, rake: float | None = None) -> Solid:
    rake = hull.transom_rake if rake is None else rake
    return hull_from_stations(table, rake, hull.loft, hull.slices_per_bay).solid


def _float_on(loading: Loading, hull: Solid, weight: tuple[float, np.ndarray] | None = None) -> FloatState:
    """The loading on another hull; `weight` (mass, moment) is added where given."""
    mass, moment = loading.mass, loading.mass * np.asarray(loading.cg)
    if weight is not None:
        mass, moment = mass + weight[0], moment + weight[1]
    bodies = list((dict(loading.solids) | {HULL: hull}).values())
    state = float_at_rest(bodies, mass, moment / mass, loading.density, loading.tanks)
    return require_upright(state, "on the changed hull")


@dataclass(frozen=True, eq=False)
class Anchored:
    """The same slip in a prediction, plain and anchored; errors against the right hull [mm], positive too deep."""

    slip: str
    aft_plain_mm: float
    forward_plain_mm: float
    aft_anchored_mm: float
    forward_anchored_mm: float
    weight: float  # the anchor [kg]
    weight_x: float  # where its moment puts it [m]


def anchored(before: Afloat, after: Afloat) -> Anchored:
    """Deadrise 1° too great all along: predict the boat after, plainly and anchored to the float of the boat before.

    The stations as taped are taken for the truth, and the floats on them for the measured planes. The anchor is the
    weight (dm, dm x, dm y), at the height of B, with which the wrong hull floats at the plane of the boat before.
    """
    truth = before.boat.hull
    wrong = _built(truth, _steeper(truth.table, np.radians(1.0)))
    bodies = (dict(before.loading.solids) | {HULL: wrong}).values()
    state = before.state
    cuts = [solid.cut(*state.plane) for solid in bodies]
    volume = sum(cut.volume for cut in cuts)
    density = before.loading.density
    moment = density * np.sum([cut.volume * cut.centroid for cut in cuts if cut.volume > 0], axis=0)
    dm = density * volume - float(state.mass)
    # G must come over B: what the wrong hull's B is off, square to the water, at the height of B.
    height = float(state.normal @ moment) / (density * volume)
    own = float(state.mass) * np.asarray(state.cg)
    upright = own + float(state.mass) * (height - float(state.normal @ state.cg)) * state.normal
    weight = (dm, moment - upright)
    points = end_points(before.boat, before.loading)
    plain, held = (_float_on(after.loading, wrong, added) for added in (None, weight))
    (aft_plain, forward_plain), (aft_held, forward_held) = (
        [1000 * float(after.state.height_above_water(p) - said.height_above_water(p)) for p in points.values()]
        for said in (plain, held)
    )
    return Anchored(
        "deadrise 1° too great", aft_plain, forward_plain, aft_held, forward_held, dm, float(weight[1][0] / dm)
    )


def _steeper(table: StationTable, angle: float) -> StationTable:
    """The table with every line outside the keel raised by its half-breadth times the change of deadrise."""
    keel, first, *_ = table.lines
    base = table.lines[keel]
    rise = np.tan(np.arctan2(*(table.lines[first] - base).T[::-1]) + angle) * (table.lines[first] - base)[:, 0]
    raised = rise - (table.lines[first] - base)[:, 1]
    lines = {}
    for name, line in table.lines.items():
        lines[name] = np.array(line)
        if name not in (keel, list(table.lines)[-1]):
            lines[name][:, 1] += raised
    return replace(table, lines=lines)
