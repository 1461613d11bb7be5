"""A box of a boat on which most hand sums are exact: 6 m long, 2 m broad, 1.2 m deep, afloat level."""

LENGTH, BREADTH, DEPTH, DRAUGHT, RHO = 6.0, 2.0, 1.2, 0.5, 1025.0
MASS, VCG = RHO * LENGTH * BREADTH * DRAUGHT, 0.5

BOX = {
    "boat.toml": f"""
name = "box"
title = "a box, for tests"
invented = true
[water]
density_kg_m3 = {RHO}
[hull]
loft = "straight"
transom_rake_deg = 0
lines = ["keel", "chine", "sheer"]
[as_found]
mass_kg = {MASS}
lcg_m = {LENGTH / 2}
tcg_m = 0.0
vcg_m = {VCG}
basis = "weighed"
[plans]
"loaded" = ["1 middle"]
"forward" = ["2 forward"]
"aside" = ["3 aside"]
""",
    "stations.csv": "station_x_m,keel_height_m,chine_half_breadth_m,chine_height_m,"
    "sheer_half_breadth_m,sheer_height_m\n"
    + "".join(f"{x},0,{BREADTH / 2},0,{BREADTH / 2},{DEPTH}\n" for x in (0, 3, LENGTH)),
    "marks.csv": "mark,x_m,y_m,z_m,kind\naft,0,0,0,draught\nforward,6,0,0,draught\nscupper,0,-0.9,0.8,scupper\n"
    "sole,1,0.5,0.7,sole\n",
    "conditions.csv": "condition,fuel_percent,aboard\nlight,,\nhalf,50,\n",
    "ledger.csv": "pkg,act,item,mass_kg,x_m,y_m,z_m,basis\n1 middle,add,ballast,205,3,0,0.5,weighed\n"
    "2 forward,add,anchor,123,5,0,0.5,weighed\n3 aside,add,batteries,82,3,-0.75,0.5,weighed\n",
    "tanks.csv": "tank,use,density_kg_m3,x_from_m,x_to_m,y_from_m,y_to_m,z_from_m,z_to_m\n"
    "tank,fuel,740,2.4,3.6,-0.3,0.3,0.02,0.28\n",
    "spaces.csv": "space,x_m,y_m,z_m,openings\n"
    + "".join(f"well,{x},{y},{z},scupper\n" for x in (2, 4) for y in (-0.6, 0.6) for z in (0.3, 1.1)),
}
