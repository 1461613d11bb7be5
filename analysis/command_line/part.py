"""`part`: a part's written sum; with a boat, what the sea does to it; and into a boat's folder, if asked."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

import numpy as np

import hullcalc
from analysis.command_line import records
from analysis.command_line.choosing import condition_or_heaviest, last_plan
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.made_parts import sea_section, sum_section, total_section
from analysis.studies.part_afloat import PartAfloat, float_part, stern_deeper
from hullcalc.boats.add_part import Written, add_part
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.boats.part_files import PartFile, read_part
from hullcalc.errors import InputError
from hullcalc.weights.items import MassItem


def run(options: Namespace) -> Outcome:
    """Every part file, the questions of the sea where a boat is named, and what was written."""
    _check(options)
    reads = _read_all(options.part_files)
    found = _float_all(options, reads)
    columns, system = width(), options.units
    lines: list[str] = []
    for read in reads:
        lines += section(sum_section(read, system), columns)
        lines += section(sea_section(found[read.path], system), columns) if read.path in found else []
    if len(reads) > 1:
        lines += section(total_section(reads, system), columns)
    written = _write_all(options, reads)
    for read, one in zip(reads, written, strict=False):
        rows = ", ".join(f"{n} {'row' if n == 1 else 'rows'} in {file}" for file, n in one.rows.items())
        lines += ["", *paragraph(f"Written for {read.part.name}, package {options.package}: {rows}.", columns)]
        lines += [line for said in one.says for line in paragraph(f"{said}.", columns)]
    if found:
        lines += ["", *(line for care in STANDING_CARE for line in paragraph(care, columns))]
    return Outcome(lines[1:] if lines and not lines[0] else lines, part_figures(reads, found, written))


def _check(options: Namespace) -> None:
    if (options.add_to is None) != (options.package is None):
        raise InputError("--add-to and --package go together: which folder, and which package brings the part")
    for name in ("plan", "condition"):
        if getattr(options, name) is not None and options.boat is None:
            raise InputError(f"--{name} is of a boat: name her folder with --boat")


def _read_all(paths: Sequence[Any]) -> list[PartFile]:
    """All files, or one InputError with what is to mend in any of them."""
    reads, problems, said = [], [], []
    for path in dict.fromkeys(paths):
        try:
            reads.append(read_part(path))
        except InputError as error:
            problems += list(error.problems)
            said.append(str(error))
    if said:
        raise InputError("\n".join(said), problems)
    return reads


def _float_all(options: Namespace, reads: Sequence[PartFile]) -> dict[Any, PartAfloat]:
    if options.boat is None:
        return {}
    boat = read_boat(options.boat)
    name, packages = last_plan(boat, options.plan)
    condition = condition_or_heaviest(boat, packages, options.condition)
    return {
        read.path: float_part(boat, packages, condition, read.part, read.stands_for, plan_said=name) for read in reads
    }


def _write_all(options: Namespace, reads: Sequence[PartFile]) -> list[Written]:
    if options.add_to is None:
        return []
    return [add_part(options.add_to, options.package, read.part, read.note) for read in reads]


def part_figures(reads: Sequence[PartFile], found: dict[Any, PartAfloat], written: Sequence[Written]) -> dict[str, Any]:
    """The same figures for programs."""
    figures: dict[str, Any] = {
        "program": f"hullcalc {hullcalc.__version__}",
        "axes": "x forward of the transom's lower end, y to port, z up",
        "parts": [_of_part(read) for read in reads],
    }
    if found:
        figures["afloat"] = [_of_afloat(one) for one in found.values()]
        figures["care"] = list(STANDING_CARE)
    if written:
        figures["written"] = [{"rows": dict(one.rows), "notes": list(one.says)} for one in written]
    return figures


def _of_part(read: PartFile) -> dict[str, Any]:
    part = read.part
    return {
        "file": read.path.name,
        "kind": read.kind,
        "name": part.name,
        "basis": part.basis,
        **_of_item(part.item),
        "lines": [
            {"what": one.what, "how": one.how, "basis": one.item.basis, **_of_item(one.item)} for one in part.lines
        ],
        "body_m3": None if part.body is None else part.body.volume,
        "u_body_m3": part.u_volume,
        "room_m3": None if part.holds is None else part.holds.volume,
        "facts": [
            {"what": fact.what, "value_si": records.number(fact.value), "kind": fact.kind} for fact in part.facts
        ],
        "says": list(part.says),
        "remarks": [str(remark) for remark in read.remarks],
    }


def _of_item(item: MassItem) -> dict[str, Any]:
    mass = float(item.mass)
    centre = item.centre if mass > 0 else np.full(3, np.nan)
    u = item.u_centre if mass > 0 else np.full(3, np.nan)
    return {"mass_kg": records.number(mass), "u_mass_kg": records.number(item.u_mass), "centre_m": _vector(centre),
            "u_centre_m": _vector(u)}  # fmt: skip


def _vector(values: Any) -> list[float | None]:
    return [records.number(value) for value in values]


def _of_afloat(one: PartAfloat) -> dict[str, Any]:
    normal, offset = one.state.plane
    figures: dict[str, Any] = {
        "part": one.part.name,
        "boat": one.boat.name,
        "plan": one.plan_said,
        "condition": one.condition,
        "instead_of": list(one.aboard.instead_of),
        "instead_of_mass_kg": None if one.aboard.old is None else records.number(one.aboard.old.mass),
        "instead_of_body": one.aboard.body or one.aboard.room or None,
        "sea_normal": _vector(normal),
        "sea_offset_m": records.number(offset),
        "trim_deg": records.number(one.state.trim),
        "heel_deg": records.number(one.state.heel),
        "marks": [
            {
                "mark": row.mark,
                "height_above_water_m": records.number(row.height_mm / 1000),
                "height_of_plan_m": records.number(row.before_mm / 1000),
                "by_part_m": records.number(row.by_part_mm / 1000),
                "u_height_by_part_m": records.number(row.u_mm / 1000),
            }
            for row in one.marks.itertuples(index=False)
        ],
    }
    for key, under in (("leg", one.leg), ("body", one.body)):
        if under is not None:
            figures |= {f"{key}_under_water_m3": under.volume, f"{key}_lift_kg": under.lift,
                        f"{key}_lift_at_m": _vector(under.centre)}  # fmt: skip
    if one.bracket is not None:
        figures |= {
            "net_lift_kg": records.number(one.bracket.intact.net),
            "net_moment_kg_m": _vector(one.bracket.intact.net_moment),
            "shared_with_hull_m3": records.number(one.bracket.shared),
            "openings_above_water_m": {n: records.number(h) for n, h in one.bracket.openings.items()},
        }
        if one.bracket.flooded is not None:
            figures["flooded_stern_deeper_m"] = records.number(stern_deeper(one.state, one.bracket.flooded))
            figures["flooded_marks_m"] = {n: records.number(h) for n, h in one.bracket.flooded.marks.items()}
    if one.tank is not None:
        fit = one.tank.fit
        figures |= {"fits": fit.fits, "clearance_m": records.number(fit.clearance),
                    "outside_by_m": [records.number(m.out.distance) for m in fit.misfits[:1]],
                    "usable_m3": one.tank.usable, "unusable_m3": one.tank.unusable}  # fmt: skip
    if one.well is not None:
        stand = one.well.standing
        figures |= {"standing_m3": stand.volume, "rim_above_m": records.number(stand.rim_above),
                    "overflows": stand.overflows, "open_to_the_sea_m3": one.well.open_to_sea.volume}  # fmt: skip
    return figures
