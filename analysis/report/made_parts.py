"""A part told: the written sum, its volumes and body, what was taken for granted, and what the sea does to it.

`system` is "metric" or "us". Figures of a part are said to a tenth of a kilogram: they are checked with a calculator.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.studies.part_afloat import BracketAfloat, PartAfloat, TankAfloat, WellAfloat, stern_deeper
from hullcalc.boats.limits import say_list
from hullcalc.boats.part_files import PartFile
from hullcalc.units import factor, say_heel, say_height, say_in, say_length_mm, say_position, say_trim
from hullcalc.units.names import KINDS
from hullcalc.weights.items import MassItem, combine
from hullcalc.weights.parts.bracket import Bracket
from hullcalc.weights.parts.part import Fact
from hullcalc.weights.parts.sea import Immersed

UNITS = {"mass": ("kg", "lb"), "volume": ("L", "US gal"), "area": ("m2", "ft2")}
SHORT = {
    "x": {" forward of the transom": " fwd", " aft of the transom": " aft", "at the transom": "transom"},
    "y": {" to port": " P", " to starboard": " S", "on the centreline": "centre"},
    "z": {" above the keel line": "", " below the keel line": " below", "on the keel line": "keel line"},
}
MARKS_SHOWN = 4
NOTHING, LEAST = {"metric": "0.0", "us": "0"}, {"metric": "under 0.1", "us": "under 1/8"}
LONG = 3.0  # m: from here on a length is said in metres or feet


def sum_section(read: PartFile, system: str) -> Section:
    """The written sum of a part, its whole with the uncertainty, its figures, and what was taken for granted."""
    part = read.part
    whole = part.item
    unit = "lb" if system == "us" else "kg"
    rows = [_row(f"{one.what}: {one.how}", one.item, one.item.basis, system) for one in part.lines]
    rows.append(_row("whole part", whole, part.basis, system))
    grid = Grid(("what and how", unit, "x", "y", "z", "basis"), tuple(rows))
    listed = [_fact(fact, system) for fact in part.facts]
    if part.body is not None:
        sure = f" ± {_amount(part.u_volume, 'volume', system)}" if part.u_volume else ""
        listed.append(f"body that floats her: {_amount(part.body.volume, 'volume', system)}{sure}, whole under water")
    before = (f"Whole: {_with_doubt(whole, system)}.", *((read.note,) if read.note else ()))
    after = [f"{says.rstrip('.')}." for says in part.says]
    after += [f"{remark}." if not str(remark).endswith(".") else str(remark) for remark in read.remarks]
    return Section(part.name, read.kind, before, tuple(listed), (grid,), tuple(after))


def total_section(reads: Sequence[PartFile], system: str) -> Section:
    """All the parts together."""
    unit = "lb" if system == "us" else "kg"
    rows = [_row(read.part.name, read.part.item, read.part.basis, system) for read in reads]
    whole = combine([read.part.item for read in reads], "together")
    rows.append(_row("together", whole, "calculated", system))
    grid = Grid(("part", unit, "x", "y", "z", "basis"), tuple(rows))
    return Section("all parts", "", (), (), (grid,), (f"Together: {_with_doubt(whole, system)}.",))


def sea_section(found: PartAfloat, system: str) -> Section:
    """What the sea does to a part, aboard of a floated boat, and what the part does to her marks."""
    state, part = found.state, found.part
    about = f"{found.boat.name}, {found.plan_said}, {found.condition}"
    attitude = f"{say_trim(float(state.trim))}, {say_heel(float(state.heel))}"
    listed: list[str] = []
    if found.leg is not None:
        listed.append(f"leg under water: {_lift(found.leg, system)}; counted as no body")
    if found.bracket is not None:
        listed += _bracket(found.bracket, found, system)
    elif found.body is not None:
        listed.append(f"body under water: {_lift(found.body, system)}")
    if found.tank is not None:
        listed += _tank(found.tank, system)
    if found.well is not None:
        listed += _well(found.well, system)
    grids = [_marks(found, system)] if len(found.marks) else []
    if found.bracket is not None and found.bracket.flooded is not None:
        grids.append(_flooded_marks(found, system))
    before = (f"{_placed(found, system)} She floats {attitude}, spaces shut.",)
    limits = () if state.status == "floats" else (f"She {state.status}: read these figures with that in mind.",)
    title = f"{part.name} in the sea" if listed else f"{part.name} aboard"
    return Section(title, about, before, tuple(listed), tuple(grids), limits)


def _row(what: str, item: MassItem, basis: str, system: str) -> tuple[str, ...]:
    mass = float(item.mass)
    said = f"{mass / factor('lb' if system == 'us' else 'kg', 'mass'):.1f}"
    if mass <= 0:
        return what, said, "", "", "", basis
    return (what, said, *(_place(float(v), axis, system) for v, axis in zip(item.centre, "xyz", strict=True)), basis)


def _place(value: float, axis: str, system: str) -> str:
    """A coordinate for a narrow cell: "1.14 m aft", "0.30 m S", "centre", "0.98 m"."""
    said = say_position(value, axis, system)
    for long, brief in SHORT[axis].items():
        said = said.replace(long, brief)
    return said


def _with_doubt(item: MassItem, system: str) -> str:
    unit = "lb" if system == "us" else "kg"
    mass, u = (float(v) / factor(unit, "mass") for v in (item.mass, item.u_mass))
    if float(item.mass) <= 0:
        return f"{mass:.1f} {unit}"
    along, up = item.u_centre[[0, 2]]
    x, z = float(item.centre[0]), float(item.centre[2])
    x_said = f"{say_position(x, 'x', system)} ± {say_length_mm(float(along), system)}"
    z_said = f"{say_position(z, 'z', system)} ± {say_length_mm(float(up), system)}"
    said = f"{mass:.1f} ± {max(u, 0.1):.1f} {unit}, its centre {x_said} and {z_said}"
    return f"{said} (one standard uncertainty)"


def _amount(value: float, kind: str, system: str) -> str:
    """A figure with its unit: whole litres from 20 up, tenths below."""
    if kind == "length":
        return say_length_mm(value, system) if abs(value) < LONG else say_metres(value, system)
    if kind not in UNITS:
        labels = [unit.label for unit in KINDS[kind].units]
        return say_in(value, kind, labels[0] if labels else "")
    unit = UNITS[kind][system == "us"]
    figure = value / factor(unit, kind)
    digits = 2 if kind == "area" else 0 if abs(figure) >= 20 and kind == "volume" else 1
    return f"{figure:.{digits}f} {unit.replace('2', '²')}"


def _fact(fact: Fact, system: str) -> str:
    return f"{fact.what}: {_amount(fact.value, fact.kind, system)}"


def _lift(one: Immersed, system: str) -> str:
    if one.volume == 0:
        return "none, it is dry"
    at = say_position(float(one.centre[0]), "x", system)
    return f"{_amount(one.volume, 'volume', system)}, which lift {_amount(one.lift, 'mass', system)} at {at}"


def _placed(found: PartAfloat, system: str) -> str:
    aboard, item = found.aboard, found.part.item
    parts = []
    if aboard.old is not None:
        more = float(item.mass - aboard.old.mass)
        way = (
            "as much" if abs(more) < 0.05 else f"{_amount(abs(more), 'mass', system)} {'more' if more > 0 else 'less'}"
        )
        at = say_position(float(aboard.old.centre[0]), "x", system)
        typed = f"{_amount(float(aboard.old.mass), 'mass', system)} at {at}"
        names = aboard.instead_of
        named = say_list(names) if len(names) < 3 else f"{len(names)} things of the plan"
        if aboard.comes_off:
            parts.append(f"The plan takes {named} off ({typed}): here {way} comes off.")
        else:
            parts.append(f"In the place of {named} ({typed}): {way} here.")
    else:
        parts.append("The plan has no such thing: put aboard for this question.")
    if aboard.body:
        parts.append(f"Its body takes the place of {aboard.body}.")
    if aboard.room:
        parts.append(f"Its room takes the place of {aboard.room}, filled as the condition says.")
    elif found.part.holds is not None:
        parts.append("No tank of the plan stands there: it is empty.")
    return " ".join(parts)


def _bracket(one: BracketAfloat, found: PartAfloat, system: str) -> list[str]:
    part = found.part
    if not isinstance(part, Bracket) or part.body is None:
        net = _amount(abs(one.intact.net), "mass", system)
        return [f"no closed pod, 0 L: it weighs on her with {net}", *_openings(one, system)]
    pod, whole = one.intact.pod, part.body.volume
    rest = _amount(whole - pod.volume, "volume", system)
    said = [
        f"pod under water, intact: {_amount(pod.volume, 'volume', system)} of {_amount(whole, 'volume', system)}, "
        f"which lift {_amount(pod.lift, 'mass', system)}"
        + (f" at {say_position(float(pod.centre[0]), 'x', system)}" if pod.volume else "")
        + f"; the other {rest} are above water and lift nothing until she sinks deeper",
        f"net lift with the bracket's own weight: {_net(one.intact.net, system)}, "
        f"{_moment(float(one.intact.net_moment[0]), system)} about the transom",
    ]
    heavy = _amount(float(part.item.mass), "mass", system)
    if one.flooded is not None:
        deeper = stern_deeper(found.state, one.flooded)
        said.append(f"flooded: it lifts nothing and weighs {heavy}; the stern floats "
                    f"{say_length_mm(abs(deeper), system)} {'deeper' if deeper >= 0 else 'higher'}")  # fmt: skip
    elif one.sinks:
        said.append(f"flooded: {one.sinks}")
    said += _openings(one, system)
    if one.shared > 0.001:
        said.append(f"the pod and the hull share about {_amount(one.shared, 'volume', system)}: that would float her "
                    "twice; set its front face on the transom")  # fmt: skip
    elif abs(one.gap) > 0.01:
        where = "aft of" if one.gap > 0 else "ahead of"
        said.append(f"its front face begins {say_length_mm(abs(one.gap), system)} {where} the transom's plane")
    else:
        said.append("it shares less than 1 L with the hull, and its front face lies on the transom")
    return said


def _openings(one: BracketAfloat, system: str) -> list[str]:
    said = []
    for name, height in one.openings.items():
        leak = (
            f"; a slow leak up to it puts in {_amount(one.leaks[name], 'volume', system)}" if name in one.leaks else ""
        )
        said.append(f"{name}: {say_height(height, system)} water{leak}".replace("at the water water", "at the water"))
    return said


def _net(kilograms: float, system: str) -> str:
    if abs(kilograms) < 0.05:
        return "none either way"
    return f"{_amount(abs(kilograms), 'mass', system)} {'up' if kilograms > 0 else 'down'}"


def _moment(kilogram_metres: float, system: str) -> str:
    """A moment about the transom's lower end: lift aft lifts the stern."""
    unit = "lb ft" if system == "us" else "kg m"
    figure = abs(kilogram_metres) / factor(unit, "mass moment")
    return f"{figure:.0f} {unit} {'lifting the stern' if kilogram_metres < 0 else 'lowering the stern'}"


def _tank(one: TankAfloat, system: str) -> list[str]:
    fit = one.fit
    if fit.fits and math.isfinite(fit.clearance):
        at = say_position(float(fit.nearest[0]), "x", system)
        over = f", {say_length_mm(fit.above_bottom, system)} straight up from the bottom" \
            if math.isfinite(fit.above_bottom) else ""  # fmt: skip
        said = [
            f"it fits: {say_length_mm(fit.clearance, system)} from the skin, square to it, at {at}{over}; wall counted"
        ]
    elif fit.fits:
        said = ["it stands above the sheer: nothing of the hull is in its way"]
    else:
        worst = fit.misfits[0]
        at = say_position(float(worst.point[0]), "x", system)
        out = say_length_mm(worst.out.distance, system)
        up = f"; raise it {say_length_mm(worst.out.raise_by, system)} to touch, and more for its bed" \
            if worst.out.raise_by > 0 else ""  # fmt: skip
        side = say_position(float(worst.point[1]), "y", system)
        said = [f"it does not fit: {out} outside the {worst.out.face} at {at}, {side}{up}"]
    said.append(f"usable at this trim: {_amount(one.usable, 'volume', system)}, with "
                f"{_amount(one.unusable, 'volume', system)} below the pick-up")  # fmt: skip
    return said


def _well(one: WellAfloat, system: str) -> list[str]:
    stand, sea = one.standing, one.open_to_sea
    litres = _amount(stand.volume, "volume", system)
    rim = say_length_mm(abs(stand.rim_above), system)
    x, y, _ = (float(v) for v in stand.lowest_rim)
    corner = f"{say_position(x, 'x', system)}, {say_position(y, 'y', system)}"
    if stand.overflows:
        said = (
            f"pump on: it overflows at {corner}, where the rim is {rim} lower than the standpipe's lip; {litres} stay"
        )
    else:
        said = f"pump on: {litres} to the standpipe; the lowest rim, {corner}, is {rim} above that water"
    open_said = "pump off and open to the sea: " + (
        "its floor is above the sea, it drains empty" if sea.volume == 0
        else f"the sea stands in {_amount(sea.volume, 'volume', system)} of it; that room floats her no more, and she "
        "carries no water there"
    )  # fmt: skip
    return [said, open_said]


def _marks(found: PartAfloat, system: str) -> Grid:
    """The lowest marks: in the plan as it stands, with this part, what its weight does, and what doubt it leaves."""
    rows = []
    for row in found.marks.head(MARKS_SHOWN).itertuples(index=False):
        by = float(row.by_part_mm) / 1000
        rows.append(
            (
                str(row.mark),
                height_cell(float(row.before_mm) / 1000, system),
                height_cell(float(row.height_mm) / 1000, system),
                "none" if _small(abs(by), system) == NOTHING[system] else f"{_small(abs(by), system)} {_way(by)}",
                f"± {_small(float(row.u_mm) / 1000, system)}".replace(f"± {NOTHING[system]}", LEAST[system]),
            )
        )
    unit = height_unit(system)
    return Grid((f"lowest marks, {unit}", "plan as it stands", "with this part", "its whole weight",
                 "its uncertainty"), tuple(rows))  # fmt: skip


def _flooded_marks(found: PartAfloat, system: str) -> Grid:
    """The lowest marks with the pod intact and flooded."""
    assert found.bracket is not None and found.bracket.flooded is not None
    flooded = found.bracket.flooded.marks
    rows = tuple(
        (name, height_cell(found.state.marks[name], system), height_cell(flooded[name], system))
        for name in found.marks["mark"].head(MARKS_SHOWN)
    )
    return Grid((f"lowest marks, {height_unit(system)}", "pod intact", "pod flooded"), rows)


def _way(rise: float) -> str:
    return "up" if rise > 0 else "down"


def _small(length: float, system: str) -> str:
    """A small length without its unit; tenths of a millimetre under 10."""
    if system == "us":
        return say_length_mm(length, system).removesuffix(" in")
    millimetres = 1000 * length
    return f"{millimetres:.1f}" if millimetres < 10 else f"{millimetres:.0f}"
