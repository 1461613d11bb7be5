"""A boat like a shoe box, as a folder: everything about her follows from a few lines of algebra.

Length 6 m, beam 2 m, depth 1.2 m, plumb ends; her cockpit is 5 m by 1.8 m with a flat floor 0.4 m over the bottom. In
sea water of 1025 kg/m3 she weighs 3075 kg, so that she draws 0.25 m. Trimmed by the bow by a slope t (the water rises t
metres a metre forward) she is at rest with her LCG at 3 + 12 t - t (0.4 - 0.125 - 6 t^2) for a VCG of 0.4 m: the centre
of buoyancy of a box is l^2 / (12 d) t forward of the middle and l^2 / (24 d) t^2 above half the draught (wall-sided
formulas, exact for a box), and B stands under G.
"""

from __future__ import annotations

from pathlib import Path

LENGTH, BEAM, DEPTH, DRAUGHT, MASS, VCG = 6.0, 2.0, 1.2, 0.25, 3075.0, 0.4
FLOOR, FLOOR_AREA, FLOOR_BREADTH = 0.4, 5.0 * 1.8, 1.8

BOAT = """\
name = "box"
invented = true
[water]
density_kg_m3 = 1025
[hull]
loft = "straight"
transom_rake_deg = 0
lines = ["keel", "chine", "sheer"]
[as_found]
mass_kg = 3075
lcg_m = {lcg!r}
tcg_m = {tcg!r}
vcg_m = 0.4
basis = "weighed"
[uncertainty]
mark_mm = 4
hull_mm = 2
[burn]
per_nm_l = 1.5
per_hour_l = 6
"""
STATIONS = """\
station_x_m,keel_height_m,chine_half_breadth_m,chine_height_m,sheer_half_breadth_m,sheer_height_m
0,0,1,0,1,1.2
6,0,1,0,1,1.2
"""
MARKS = """\
mark,x_m,y_m,z_m,kind
drain port,{drain_x!r},0.5,{drain_z!r},drain
drain starboard,{drain_x!r},-0.5,{drain_z!r},drain
sole aft port,0.5,0.9,0.4,sole
sole aft starboard,0.5,-0.9,0.4,sole
sole forward,5.5,0,0.4,sole
boot stripe aft,0,1,0.2,boot stripe
boot stripe forward,5,1,0.2,boot stripe
"""
CORNERS = [(x, y, z) for x in (0.5, 5.5) for y in (0.9, -0.9) for z in (0.4, 1.0)]
SPACES = "space,x_m,y_m,z_m,openings\n" + "".join(
    f"cockpit,{x},{y},{z},drain port + drain starboard\n" for x, y, z in CORNERS
)
TANKS = """\
tank,use,density_kg_m3,x_from_m,x_to_m,y_from_m,y_to_m,z_from_m,z_to_m
tank,fuel,740,2.5,3.5,-0.2,0.2,0.05,0.35
"""
PEOPLE = "name,mass_kg,x_m,y_m,z_m,basis\nowner,80,3,0,1.2,estimated\nguest,80,1,0,1.2,estimated\n"
CONDITIONS = "condition,fuel_percent,aboard,note\nlight,,,nobody aboard\nfamily,95,owner + guest,departing\n"


def lcg_for(t: float) -> float:
    """LCG with which the box lies trimmed by the bow by the slope `t` [m]."""
    return LENGTH / 2 + LENGTH**2 / (12 * DRAUGHT) * t - t * (VCG - DRAUGHT / 2 - LENGTH**2 / (24 * DRAUGHT) * t * t)


def write_box(folder: Path, t: float = 0.0, tcg: float = 0.0, drain: tuple[float, float] = (0.3, 0.4)) -> Path:
    """The folder of the box, trimmed by the bow by `t`, with its drains at (x, z); returns the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    texts = {
        "boat.toml": BOAT.format(lcg=lcg_for(t), tcg=tcg),
        "stations.csv": STATIONS,
        "marks.csv": MARKS.format(drain_x=drain[0], drain_z=drain[1]),
        "spaces.csv": SPACES,
        "tanks.csv": TANKS,
        "people.csv": PEOPLE,
        "conditions.csv": CONDITIONS,
        "ledger.csv": "pkg,act,item,mass_kg,x_m,y_m,z_m,basis\n1 gear,add,anchor,10,5,0,0.5,weighed\n",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder
