"""A box of a boat as a folder: rectangular sections, plumb ends, one weight that may be moved; closed forms hold."""

from __future__ import annotations

from pathlib import Path

LENGTH, BREADTH, DEPTH = 6.0, 2.0, 1.2  # m
MASS, VCG, WEIGHT, AT = 2400.0, 0.5, 120.0, 1.0  # kg, m, kg, m: the boat without the weight, and the weight
SEA = 1000.0  # kg/m3

TOML = f"""
name = "box"
invented = true
currency = "USD"

[water]
density_kg_m3 = {SEA:g}

[hull]
loft = "straight"
transom_rake_deg = 0
lines = ["keel", "chine", "sheer"]

[as_found]
mass_kg = {MASS:g}
lcg_m = {LENGTH / 2:g}
tcg_m = 0
vcg_m = {VCG:g}
basis = "weighed"

[uncertainty]
mark_mm = 0
hull_mm = 0

[trailer]
mass_kg = 500
tongue_kg = 40
axle_x_m = 2.4
ball_x_m = 7.4

[plans]
"with weight" = ["weight"]
"""

TABLES = {
    "stations.csv": "station_x_m,keel_height_m,chine_half_breadth_m,chine_height_m,"
    "sheer_half_breadth_m,sheer_height_m\n"
    + "".join(f"{x:g},0,{BREADTH / 2:g},0,{BREADTH / 2:g},{DEPTH:g}\n" for x in (0.0, 2.0, 4.0, LENGTH)),
    "marks.csv": "mark,x_m,y_m,z_m,kind\nsole aft,0,0,0.5,sole\nsole forward,4,0,0.5,sole\n"
    f"sheer aft,0,{BREADTH / 2:g},{DEPTH:g},freeboard\nsheer forward,{LENGTH:g},{-BREADTH / 2:g},{DEPTH:g},freeboard\n",
    "ledger.csv": "pkg,act,item,mass_kg,x_m,y_m,z_m,to_x_m,to_y_m,to_z_m,basis\n"
    f"weight,add,ballast,{WEIGHT:g},{AT:g},0,{VCG:g},,,,weighed\n"
    f"ballast forward,move,ballast,,{AT:g},,,2,0,{VCG:g},\n",
    "conditions.csv": "condition,aboard\nlight,\n",
    "packages.csv": "package,hours,hours_later,cost\nweight,2,,100\nballast forward,4,12,50\n",
    "moves.csv": "thing,x_from_m,x_to_m,y_from_m,y_to_m,z_m,up_by_mm,hours,hours_later,cost\n"
    "ballast,0.5,5.5,-0.6,0.6,,,5,20,80\nsole,,,,,,30,0,40,30\n",
}


def write_box_boat(folder: Path, **tables: str) -> Path:
    """The folder of the box; `tables` by stem put other texts in their place ("" leaves a table out)."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "boat.toml").write_text(tables.pop("toml", TOML), encoding="utf-8")
    for name in dict.fromkeys([*TABLES, *(f"{stem}.csv" for stem in tables)]):
        said = tables.get(Path(name).stem, TABLES.get(name, ""))
        if said:
            (folder / name).write_text(said, encoding="utf-8")
    return folder
