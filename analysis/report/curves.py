"""Hydrostatic table and righting arms as sections: words first, then figures. `system` is "metric" or "us"."""

from __future__ import annotations

from analysis.report.parts import Grid, Section
from analysis.studies.by_hand.saying import say_figure
from analysis.studies.by_hand.sums import Figure
from analysis.studies.curves import Curves
from hullcalc.floating.righting import Side
from hullcalc.units import say_heel, say_height, say_length_mm, say_mass, say_trim

BEYOND = "not valid"


def curve_sections(curves: Curves, system: str = "metric") -> list[Section]:
    """The table of hydrostatics, and the righting arms with what they are not valid beyond."""
    return [hydrostatic_section(curves, system), righting_section(curves, system)]


def hydrostatic_section(curves: Curves, system: str = "metric") -> Section:
    """A row a draught; columns with their units."""
    columns = {
        "displacement_kg": ("displacement", "mass", 1.0),
        "lcb_m": ("LCB", "length", 1.0),
        "lcf_m": ("LCF", "length", 1.0),
        "kb_m": ("KB", "length", 1.0),
        "km_m": ("KM", "length", 1.0),
        "tpc_kg_per_mm": ("TPC", "per length", 1000.0),
        "mct_kgm_per_cm": ("MCT", "trim moment", 100.0),
    }
    rows = []
    for _, row in curves.table.iterrows():
        cells = (
            say_mass(float(row[k]), system) if kind == "mass" else say_figure(Figure(float(row[k]) * per, kind), system)
            for k, (_, kind, per) in columns.items()
        )
        rows.append((say_length_mm(float(row["draught_m"]), system), *cells))
    about = (
        f"at {say_trim(curves.hydrostatics.trim)}, upright, in water of "
        f"{say_figure(Figure(curves.hydrostatics.density, 'density'), system)}"
    )
    floats = (
        f"As she floats she weighs {say_mass(float(curves.state.mass), system)} and draws "
        f"{say_length_mm(curves.draught, system)} at {curves.mark}. Places are forward of the transom's lower end, "
        f"heights over the keel line; TPC is told as what sinks her {'an inch' if system == 'us' else 'a millimetre'}; "
        f"MCT is over LWL, with GM_L."
    )
    grid = Grid((f"draught at {curves.mark}", *(head for head, _, _ in columns.values())), tuple(rows))
    return Section("Hydrostatic table", about, grids=(grid,), after=(floats,))


def righting_section(curves: Curves, system: str = "metric") -> Section:
    """Arms to both sides; where an opening is under water there is no figure, and the limits stand first."""
    table = curves.arms.set_index("heel_deg")
    rows = []
    for heel in sorted({abs(h) for h in table.index}):
        cells: list[str] = []
        for way in (1, -1):
            row = table.loc[way * heel]
            arm = way * float(row["gz_m"])
            cells.append(say_figure(Figure(arm, "length"), system) if row["valid"] else BEYOND)
            height = say_height(float(row["opening_m"]), system) if "opening_m" in table else ""
            cells.append(f"{row['lowest_opening']} {height}" if height else "")
        rows.append((f"{heel:.0f}°", *cells))
    grid = Grid(("heel", "to starboard", "lowest opening", "to port", "lowest opening"), _until_dead(rows))
    said = [*curves.righting.limits]
    both = {"starboard": curves.righting.starboard, "port": curves.righting.port}
    sides = [_side(side, name, system) for name, side in both.items() if side is not None]
    about = "positive where it brings her back, trim free, liquids moving, spaces shut"
    return Section("Righting arms", about, tuple(said), grids=(grid,), after=tuple(words for words in sides if words))


def _until_dead(rows: list[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """The rows as far as the first in which neither side is valid, that one included."""
    for k, row in enumerate(rows):
        if row[1] == row[3] == BEYOND:
            return tuple(rows[: k + 1])
    return tuple(rows)


def _side(side: Side, name: str, system: str) -> str:
    """What the arms to one side come to, as far as they are valid."""
    if side.downflooding == side.rest and side.first_under is not None:
        return ""
    largest = f"largest arm {say_figure(Figure(side.largest_arm, 'length'), system)} at {say_heel(side.largest_at)}"
    ends = f"as far as {say_heel(side.valid_to)}"
    return f"To {name}, {ends}: {largest}."
