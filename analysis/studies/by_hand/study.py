"""All the hand sums of one boat, plan and condition, each asked when it is wanted.

What cannot be asked of a boat (no refit, no tank part full, no space) raises the error of its own question, which says
what to choose or write instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from analysis.studies.by_hand.centres import Drift, centres_table, drift
from analysis.studies.by_hand.change import Afloat, ChangeByHand, afloat, compare
from analysis.studies.by_hand.heeling import Heeling, Shifted, heeling, shift_person
from analysis.studies.by_hand.metacentre import GmChange, WetSpace, gm_change, wet_space
from analysis.studies.by_hand.parting import Parting, parting
from analysis.studies.by_hand.stages import Stages, stages
from analysis.studies.by_hand.surface import FreeSurfaces, free_surfaces
from analysis.studies.by_hand.tape import Anchored, TapeSlips, anchored, tape_slips
from analysis.studies.by_hand.water import Lift, OtherWater, lifts, other_water
from analysis.studies.by_hand.weights import MomentSum, moment_sum
from analysis.studies.plans import AS_FOUND
from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.errors import InputError


@dataclass(frozen=True, eq=False)
class ByHand:
    """The questions, each a property: `after` is the boat asked about, `before` the one the refit starts from."""

    boat: Boat
    plan: AnyPlan
    condition: AnyCondition
    start: AnyPlan = AS_FOUND

    @cached_property
    def before(self) -> Afloat:
        return afloat(self.boat, self.start, self.condition)

    @cached_property
    def after(self) -> Afloat:
        return afloat(self.boat, self.plan, self.condition)

    def limits(self, system: str = "metric") -> tuple[str, ...]:
        """Sentences: what the figures of the boat asked about are not valid beyond, and whom to ask."""
        return self._shut.limits_in(system)

    @property
    def under(self) -> tuple[str, ...]:
        """Openings under water as she floats with every space shut."""
        return self._shut.openings_under

    @cached_property
    def _shut(self) -> BoatState:
        return self.boat.float(self.plan, self.condition, shut=True)

    @property
    def refitted(self) -> bool:
        """Is there a change to speak of between the two plans?"""
        return self.boat.packages_on(self.plan) != self.boat.packages_on(self.start)

    @cached_property
    def weights(self) -> MomentSum:
        """Every item of the boat asked about, liquids where they lie as she floats."""
        return moment_sum(self.boat, self.plan, self.condition, self.after.state)

    @cached_property
    def change(self) -> ChangeByHand:
        if not self.refitted:
            raise InputError(f"{self.after.plan} is the boat the change starts from; choose a plan of a refit")
        return compare(self.before, self.after)

    @cached_property
    def stages(self) -> Stages:
        return stages(self.boat, self.plan, self.condition, self.start)

    @cached_property
    def parting(self) -> Parting:
        return parting(self.change)

    @cached_property
    def heeling(self) -> Heeling:
        return heeling(self.after)

    @cached_property
    def person(self) -> Shifted:
        return shift_person(self.after)

    @cached_property
    def surfaces(self) -> FreeSurfaces:
        return free_surfaces(self.after)

    @cached_property
    def space(self) -> WetSpace:
        """The spaces that water enters by itself, else the first space of the boat that is no body of its own."""
        loading = self.after.loading
        entered = self.boat.float(self.plan, self.condition).rounds[-1].opened
        names = [name for name in entered if name not in loading.held_open]
        names = names or [name for name in self.boat.spaces_in(self.plan) if name not in loading.solids][:1]
        if not names:
            raise InputError(f"{self.boat.name}: has no space that water may enter; write one in spaces.csv")
        return wet_space(self.after, names)

    @cached_property
    def gm(self) -> GmChange:
        return gm_change(self.before, self.after)

    @cached_property
    def centres(self) -> pd.DataFrame:
        return centres_table(self.boat, self.plan)

    @cached_property
    def drift(self) -> Drift:
        """From the lightest condition that floats upright to the heaviest with no space held open."""
        table = self.centres
        ordinary = table[[not self.boat.conditions[c].open for c in table["condition"]]]
        if len(ordinary) < 2:
            raise InputError(
                f"{self.boat.name}: takes two load conditions to drift between; write them in conditions.csv"
            )
        ends = (ordinary.loc[k, "condition"] for k in (ordinary["mass_kg"].idxmin(), ordinary["mass_kg"].idxmax()))
        return drift(*(afloat(self.boat, self.plan, str(condition)) for condition in ends))

    @cached_property
    def lifts(self) -> tuple[Lift, ...]:
        found = lifts(self.after)
        if not found:
            raise InputError(f"{self.after.plan}: no body floats her beside the hull; a pod is a row of solids.csv")
        return found

    @cached_property
    def water(self) -> OtherWater:
        return other_water(self.after)

    @cached_property
    def tape(self) -> TapeSlips:
        return tape_slips(self.after)

    @cached_property
    def anchor(self) -> Anchored:
        if not self.refitted:
            raise InputError(f"{self.after.plan}: an anchor needs a change to predict; choose a plan of a refit")
        return anchored(self.before, self.after)
