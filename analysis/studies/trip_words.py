"""What a day out says, in the reader's words: the finding, when it is worst, what is left in the tanks.

All sentences are made from the study; none says that a boat is good enough. `system` is "metric" or "us".
"""

from __future__ import annotations

from collections.abc import Sequence

from analysis.studies.floats import meaning
from analysis.studies.fuel_range import THIRDS, FuelRange
from analysis.studies.trip import DayOut, Moment
from analysis.studies.words import AT_THE_WATER, WHILE_PLUGGED, capital, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import factor, say_height, say_length_mm, say_volume

COVER = 1.96  # standard uncertainties to either side of a 95 % interval
NM_STEP = 5.0  # a range is known to no better than this


def say_hours(hours: float) -> str:
    """Hours since the start: "2 h 30 min", "40 min", "the start"."""
    minutes = round(hours * 60)
    whole, part = divmod(minutes, 60)
    said = " ".join(text for text in (f"{whole} h" if whole else "", f"{part} min" if part else "") if text)
    return said or "the start"


def say_nm(nm: float) -> str:
    """A range in nautical miles, no finer than it can be known: "175 nm"."""
    return f"{NM_STEP * round(nm / NM_STEP):.0f} nm"


def say_moment(moment: Moment, system: str = "metric") -> str:
    """ "scupper starboard 54 mm under, give or take 14 mm": one standard uncertainty."""
    said = f"{moment.mark} {say_height(moment.height, system)}"
    return said if moment.u <= 0 else f"{said}, give or take {say_length_mm(moment.u, system)}"


def say_when(day: DayOut, k: int) -> str:
    """The step and the hour, or the miles where no hours are given: "the end of fish on, after 5 h 12 min"."""
    row = day.table.iloc[k]
    at = row["at"]
    said = f"the {at}" if at.startswith(("start of ", "end of ")) else f"“{at}”"
    if day.along.timed and round(row["hours"] * 60):
        return f"{said}, after {say_hours(row['hours'])}"
    return f"{said}, {row['nm']:.0f} nm out" if row["nm"] > 0 and not day.along.timed else said


def day_finding(day: DayOut, system: str = "metric") -> str:
    """The finding of a day, without a full stop."""
    least = ", least" if day.worst.height > AT_THE_WATER else ""
    return f"{capital(day.trip.name)}: {_does(day, system)}{least} at {say_when(day, day.worst.k)}"


def days_finding(days: Sequence[DayOut], system: str = "metric") -> str:
    """The finding of one trip in several plans; of one alone with its hour."""
    if len(days) == 1:
        return day_finding(days[0], system)
    return f"{capital(days[0].trip.name)}, at the worst of the day: {'; '.join(_does(day, system) for day in days)}"


def _does(day: DayOut, system: str) -> str:
    """ "the first plan puts scupper port 76 mm under water"; no less than that at any time of the day."""
    worst = day.worst
    if abs(worst.height) <= AT_THE_WATER:
        return f"{the_plan(day.plan)} brings {worst.mark} right to the water"
    verb = "puts" if worst.height < 0 else "keeps"
    more = " or more" if worst.height > 0 else ""
    return f"{the_plan(day.plan)} {verb} {worst.mark} {say_height(worst.height, system)} water{more}"


def say_ends(day: DayOut, system: str = "metric") -> str:
    """Start and end, which is the better, in one sentence."""
    start, end = day.start, day.end
    change = end.height - start.height
    than = (
        "as high as"
        if say_height(start.height, system) == say_height(end.height, system) or round(1000 * change) == 0
        else (f"{say_length_mm(abs(change), system)} {'higher' if change > 0 else 'lower'} than")
    )
    ends = f"At the start {say_moment(start, system)}; at the end {say_moment(end, system)}"
    return f"{ends}: she comes home {than} she left."


def say_fuel_left(day: DayOut, system: str = "metric") -> str:
    """Fuel at the start, burnt and left, and whether a third is kept."""
    first, last = day.table["fuel_l"].iloc[0] / 1000, day.table["fuel_l"].iloc[-1] / 1000
    burnt = day.table["burnt_l"].iloc[-1] / 1000
    if first <= 0:
        return "No fuel aboard."
    taken = last + burnt  # what was taken in on the way counts as aboard
    share = last / taken
    keeps = "more than a third" if share > 1 / 3 else "less than a third: beyond the rule of thirds"
    return (
        f"Fuel: {say_volume(first, system)} at the start, {say_volume(burnt, system)} burnt over "
        f"{day.table['nm'].iloc[-1]:.0f} nm, {say_volume(last, system)} left, {keeps}."
    )


def say_range(found: FuelRange, system: str = "metric") -> str:
    """How far the fuel goes by the rule of thirds, in one sentence."""
    thirds = found.of(THIRDS)
    return (
        f"{say_volume(found.aboard, system)} aboard, {say_volume(thirds['to_burn_l'] / 1000, system)} of it to burn by "
        f"the rule of thirds: {say_nm(thirds['nm'])} there and back at {say_burn(found.burn, system)} a mile; "
        f"{say_nm(thirds['nm_low']).removesuffix(' nm')} to {say_nm(thirds['nm_high'])} if she burns 20 % more or less."
    )


def say_burn(burn: float, system: str) -> str:
    """Fuel a mile: "1.5 L", "0.40 US gal"."""
    unit = "L" if system == "metric" else "US gal"
    return f"{burn / factor(unit, 'volume'):.{1 if system == 'metric' else 2}f} {unit}"


def say_water_in(day: DayOut) -> str:
    """What the worst moment means: whether water comes in, and where."""
    case = day.case(day.worst.k)
    if case.under and not case.entered:
        return f"Then {say_list(case.under)} {'are' if len(case.under) > 1 else 'is'} under water: {WHILE_PLUGGED}."
    return f"Then: {meaning(case)}."


def day_caution(day: DayOut) -> str:
    """What the picture leaves out, fitted to the case."""
    said = ["Shown with every space shut."]
    if opening_under(day):
        said.append("Water at an opening at rest: stop and ask a naval architect.")
    said += ["Burn and times as the trip says; motion, waves and lift under way are not counted.", *STANDING_CARE]
    return " ".join([*said, "Invented boat."] if day.boat.invented else said)


def opening_under(day: DayOut) -> bool:
    """Is an opening under water at any point of the day?"""
    openings = set(day.along.loading.openings)
    at = [i for i, name in enumerate(day.marks) if name in openings]
    return bool(at) and bool((day.heights[:, at] < 0).any())
