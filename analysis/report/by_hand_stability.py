"""Heel, free surfaces, wet spaces and GM by hand and exactly, as sections. `system` is "metric" or "us"."""

from __future__ import annotations

import numpy as np

from analysis.report.parts import Grid, Section
from analysis.report.sums import sum_section
from analysis.studies.by_hand.metacentre import Metacentre
from analysis.studies.by_hand.saying import say_figure
from analysis.studies.by_hand.study import ByHand
from analysis.studies.by_hand.sums import Figure
from analysis.studies.by_hand.surface import FreeSurface
from hullcalc.boats.limits import say_list
from hullcalc.units import say_height, say_mass

Sections = list[Section]


def heel_sections(study: ByHand, system: str = "metric") -> Sections:
    """Righting arms three ways, and one person's step to the side."""
    found, step = study.heeling, study.person
    keys = ("small_angle_m", "wall_sided_m", "exact_m")
    rows = tuple(
        (f"{row['heel_deg']:.0f}°", *(say_figure(Figure(float(row[key]), "length"), system) for key in keys),
         *(say_figure(Figure(float(row[key] - row["exact_m"]), "small"), system) for key in keys[:2]))
        for _, row in found.table.iterrows()
    )  # fmt: skip
    grid = Grid(("heel", "GM sin(heel)", "wall-sided", "exact", "error of GM sin", "error of wall-sided"), rows)
    before: tuple[str, ...] = ()
    if found.first_under is not None:
        name, heel = found.first_under
        when = "as she floats" if heel == 0 else f"by {heel:.0f}° to starboard"
        before = (f"Not valid beyond {name} under water, which it is {when}: spaces kept shut here.",)
    marks = tuple(
        (str(row["mark"]), *(_rise(float(row[key]), system) for key in ("by_hand_mm", "exact_mm")))
        for _, row in step.table.iterrows()
    )
    return [
        sum_section(found.sum, system),
        Section("Righting arms", "to starboard, in calm water", before, grids=(grid,), after=(found.reading,)),
        sum_section(step.sum, system, (f"Exactly, floated again: {step.exact:.2f}°.",)),
        Section("What the step does at the marks", grids=(Grid(("", "by hand", "exactly"), marks),)),
    ]


def _rise(mm: float, system: str) -> str:
    figure = say_height(mm / 1000, system)
    return figure.replace("above", "up").replace("under", "down").replace("at the water", "nothing")


def surface_sections(study: ByHand, system: str = "metric") -> Sections:
    """Each slack tank opened; GM with the liquids frozen and free."""
    found = study.surfaces
    parts = [sum_section(tank.sum, system, tuple(surface_words(tank, system))) for tank in found.tanks]
    free, frozen = (say_figure(Figure(gm, "length"), system) for gm in (found.gm_free, found.gm_frozen))
    return [
        *parts,
        Section("Frozen and free", after=(f"GM is {frozen} with the liquids frozen, {free} with them free.",)),
    ]


def surface_words(one: FreeSurface, system: str = "metric") -> list[str]:
    """The exact loss, and how far the hand's figure carries."""
    said = [f"Exactly, the liquid as it lies while she floats: {say_figure(Figure(one.exact, 'small'), system)}."]
    for heel, what in ((one.touches_top, "touches the top"), (one.bares_bottom, "leaves part of the bottom dry")):
        if heel == 0:
            said.append(f"It {what} already as she floats, trimmed, so the surface is less than the whole.")
        elif heel is not None:
            said.append(f"It {what} from {heel:.1f}° of heel on: beyond that l b³ / 12 says too much.")
    return said


def space_sections(study: ByHand, system: str = "metric") -> Sections:
    """A wet space in two columns: lost buoyancy and added weight."""
    found = study.space
    name = say_list(list(found.spaces))
    columns = {"lost buoyancy": found.lost, "added weight": found.added}
    if found.dry is not None:
        columns = {"shut": found.dry} | columns
    grid = Grid(("", *columns), tuple(metacentre_rows(list(columns.values()), system)))
    said = [
        f"{say_mass(found.water, system)} of water in the {name}: her weight in one column, buoyancy she lacks in the "
        "other. The same water line, the same righting moment, two displacements and so two GM: never mix the two."
    ]
    if found.water <= 0:
        said = [f"The sea does not reach into the {name} as she floats here; choose a heavier condition."]
    return [Section(f"Water in the {name}", "open to the sea, counted two ways", grids=(grid,), after=tuple(said))]


def metacentre_rows(columns: list[Metacentre], system: str) -> list[tuple[str, ...]]:
    """GM put together, a row a part and a column a case."""
    rows = {
        "displacement": ("mass", "mass"),
        "second moment of the waterplane": ("second_moment", "fourth"),
        "displaced volume": ("volume", "volume"),
        "KB": ("kb", "length"),
        "BM = second moment / volume": ("bm", "length"),
        "KG": ("kg", "length"),
        "free surfaces": ("free_surface", "length"),
        "water that runs in and out off the centreline": ("communication", "length"),
        "GM = KB + BM − KG − the rest": ("gm", "length"),
        "righting moment at 1° = displacement × GM × sin(1°)": ("righting_per_degree", "moment"),
    }
    said = []
    for what, (name, kind) in rows.items():
        values = [float(getattr(one, name)) for one in columns]
        if name == "communication" and not np.any(np.round(values, 4)):
            continue
        said.append((what, *(say_figure(Figure(value, kind), system) for value in values)))
    return said


def gm_sections(study: ByHand, system: str = "metric") -> Sections:
    """GM before and after, what changed, and who raised G."""
    found = study.gm
    if not study.refitted:
        return [sum_section(found.sum, system)]
    columns = {study.before.plan: found.before, study.after.plan: found.after}
    grid = Grid(("", *columns), tuple(metacentre_rows(list(columns.values()), system)))
    listed = tuple(
        f"{row['group']}: {say_figure(Figure(float(row['kg_m']), 'small'), system)}"
        for _, row in found.items.iterrows()
    )
    parts = ", ".join(f"{name} {say_figure(Figure(v, 'length'), system)}" for name, v in found.parts.items() if v)
    change = say_figure(Figure(sum(found.parts.values()), "length"), system)
    return [
        sum_section(found.sum, system),
        Section("Why GM changed", grids=(grid,), after=(f"Change of GM {change}: {parts}.",)),
        Section(
            "Who raised G", "rise of G by each package, weight × (height − VCG before) / weight after", listed=listed
        ),
    ]
