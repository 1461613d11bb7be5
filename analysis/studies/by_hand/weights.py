"""The moment sum opened: every item with its mass, arms and moments, to the boat's weight and centre of gravity.

Boat frame, SI. Taken off is negative; what is moved is taken off in one place and put on in another. Liquids in tanks
are weights: level with the boat upright where a hand would put them, or level with the sea where she floats (then the
sum is that of the exact float).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.by_hand.liquids import upright_liquid
from analysis.studies.by_hand.sums import Sum, Writer
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.errors import InputError
from hullcalc.floating.state import FloatState
from hullcalc.units import say_trim

AS_FOUND = "boat as found, as weighed"


@dataclass(frozen=True, eq=False)
class Item:
    """One row of the sum: mass [kg] and moment (3,) [kg m] about the boat's origin."""

    what: str
    group: str  # package, "load", "liquid" or "as found"
    mass: float
    moment: np.ndarray


@dataclass(frozen=True, eq=False)
class MomentSum:
    """All items of a boat in one plan and condition."""

    items: tuple[Item, ...]

    @property
    def mass(self) -> float:
        return sum(item.mass for item in self.items)

    @property
    def moment(self) -> np.ndarray:
        return np.sum([item.moment for item in self.items], axis=0)

    @property
    def cg(self) -> np.ndarray:
        """LCG, TCG, VCG [m]."""
        return self.moment / self.mass

    @property
    def table(self) -> pd.DataFrame:
        """A row an item: mass, arms (nan where there is no mass) and moments; the last row is the total."""
        rows = [(i.what, i.group, i.mass, i.moment) for i in self.items] + [("total", "", self.mass, self.moment)]
        return pd.DataFrame(
            [
                {"item": what, "group": group, "mass_kg": mass}
                | {f"{a}_m": m / mass if mass else np.nan for a, m in zip("xyz", moment, strict=True)}
                | {f"moment_{a}_kgm": m for a, m in zip("xyz", moment, strict=True)}
                for what, group, mass, moment in rows
            ]
        )

    def of_group(self, group: str) -> MomentSum:
        """The items of one package, or of the load."""
        return MomentSum(tuple(item for item in self.items if item.group == group))


def moment_sum(boat: Boat, plan: AnyPlan, condition: AnyCondition, state: FloatState | None = None) -> MomentSum:
    """Every item of a plan in a condition; liquids upright, or as they lie in `state` where one is given.

    Raises InputError for names that are not known.
    """
    said = boat.condition(condition)
    items = [Item(AS_FOUND, "as found", float(boat.as_found.mass), boat.as_found.moment)]
    for change in boat.changes(plan):
        package, moves = change.row.package, change.row.action == "move"
        if change.went is not None:
            off = change.went.item
            what = f"move {off.name}, from" if moves else f"remove {off.name}"
            items.append(Item(what, package, -float(off.mass), -off.moment))
        if change.came is not None:
            on = change.came.item
            items.append(Item(f"move {on.name}, to" if moves else on.name, package, float(on.mass), on.moment))
    _, aboard = boat.ledger.apply(boat.packages_on(plan))
    for name in boat.taken_off(plan, said):
        if name in aboard:
            off = aboard[name].item
            items.append(Item(f"take off {name}", "load", -float(off.mass), -off.moment))
    items += [Item(thing.name, "load", float(thing.mass), thing.moment) for thing in boat.carried_in(said, plan)]
    tanks = boat.tanks_in(plan, said)
    if state is None:
        liquids = [(tank.name, *upright_liquid(tank)[:2]) for tank in tanks]
    else:
        liquids = [(q.name, float(q.mass), np.asarray(q.centre)) for q in state.liquids]
    items += [Item(f"liquid in {name}", "liquid", mass, mass * centre) for name, mass, centre in liquids if mass > 0]
    return MomentSum(tuple(items))


def centre_sum(items: MomentSum) -> Sum:
    """Weight and moments to the centre of gravity."""
    write = Writer("Weight and centre of gravity")
    mass = write.given("weight, all items", items.mass, "mass")
    for name, axis, moment in zip(("LCG", "TCG", "VCG"), "xyz", items.moment, strict=True):
        total = write.given(f"moment in {axis}, all items", moment, "moment")
        write.line(name, moment / items.mass, "length", "{0} / {1}", total, mass)
    return write.done("A centre is a moment over a weight; what is moved is taken off here and put on there.")


def g_and_b(state: FloatState) -> Sum:
    """Why B stands under G, not at the same x: the water leans by the trim, and G is higher than B.

    The two share one line square to the water: LCG − LCB = (VCG − VCB) n_x / n_z; the slope n_x / n_z is tan(trim) when
    she is upright.
    """
    write = Writer("G and B under one another")
    names = (("LCG", state.cg[0]), ("LCB", state.buoyancy[0]), ("VCG", state.cg[2]), ("VCB", state.buoyancy[2]))
    lcg, lcb, vcg, vcb = (write.given(name, float(value), "length") for name, value in names)
    slope = write.given("slope of the water along her, bow up", float(state.normal[0] / state.normal[2]), "number")
    write.line("G forward of B", lcg.value - lcb.value, "small", "{0} − {1}", lcg, lcb)
    lean = slope.value * (vcg.value - vcb.value)
    write.line("the slope times G over B", lean, "small", "{0} × ({1} − {2})", slope, vcg, vcb)
    write.given("LCF, the middle of the waterplane", float(state.flotation[0]), "length")
    return write.done(f"She lies {say_trim(float(state.trim))}: B stands under G square to the water, not at its x.")


def require_upright(state: FloatState, what: str) -> FloatState:
    """The state if she floats; hand sums start from a boat that rests upright."""
    if state.status != "floats":
        raise InputError(
            f"{what}: she {state.status}, and a hand sum takes a boat that floats; choose another plan or condition"
        )
    return state
