"""What people get wrong in a boat folder: one clear message each, all at once, nothing lost and nothing written."""

from __future__ import annotations

import random

import pytest

import hullcalc as hc

MEND, LOOK = "mend", "look"
TANK_ROW = "fuel tank as found,fuel,740,265,1.84,3.40,-0.36,0.36,0.185,0.421,,5 fuel,\n"
PLAN = '"first plan" = [\n    "1 strip"'


def keep_head(text):
    return text.splitlines()[0] + "\n"


def seeded_noise(size):
    return random.Random(3).randbytes(size)


# id: (slips, where the one problem stands, words of it); "" for a place in no row
CASES = {
    "boat.toml missing": ({"boat.toml": None}, "boat.toml", "no such file"),
    "boat.toml empty": ({"boat.toml": b""}, "boat.toml", "as_found] mass"),
    "stations missing": ({"stations.csv": None}, "stations.csv", "no such file"),
    "stations empty": ({"stations.csv": b""}, "stations.csv", "empty"),
    "stations a head only": ({"stations.csv": keep_head}, "stations.csv", "no rows"),
    "stations are noise": ({"stations.csv": seeded_noise(200_000)}, "stations.csv", ""),
    "ledger of 10 MB of noise": ({"ledger.csv": seeded_noise(10_000_000)}, "ledger.csv", ""),
    "a workbook saved as csv": ({"ledger.csv": b"PK\x03\x04" + bytes(5000)}, "ledger.csv", "CSV"),
    "comma inside a number": ({"ledger.csv": ("propeller,214,", "propeller,2,140,")}, "ledger.csv row 2", "14 cells"),
    "misspelt column": ({"ledger.csv": ("mass_kg,x_m", "mas_kg,x_m")}, "ledger.csv row 1 mas_kg", "mass"),
    "unknown unit": (
        {"ledger.csv": ("mass_kg,x_m", "mass_stone,x_m")},
        "ledger.csv row 1 mass_stone",
        "expected a mass",
    ),
    "gallons of no country": ({"tanks.csv": ("740,265,", "740,70 gal,")}, "tanks.csv row 2 capacity_l", "US gal"),
    "NaN": ({"ledger.csv": ("propeller,214,", "propeller,NaN,")}, "ledger.csv row 2 mass_kg", ""),
    "1e308": ({"ledger.csv": ("propeller,214,", "propeller,1e308,")}, "ledger.csv row 2 mass_kg", ""),
    "a formula": ({"ledger.csv": ("propeller,214,", "propeller,=B2+C2,")}, "ledger.csv row 2 mass_kg", "formula"),
    "a spreadsheet's error mark": (
        {"ledger.csv": ("propeller,214,", "propeller,#REF!,")},
        "ledger.csv row 2 mass_kg",
        "error",
    ),
    "empty mass": ({"ledger.csv": ("propeller,214,", "propeller,,")}, "ledger.csv row 2 item", "what old 200 hp"),
    "unknown act": (
        {"ledger.csv": ("1 strip,remove,old 200", "1 strip,rempve,old 200")},
        "ledger.csv row 2 act",
        "one of: remove, add, move, replace",
    ),
    "unknown basis": (
        {"ledger.csv": (",weighed,,hung", ",wieghed,,hung")},
        "ledger.csv row 2 basis",
        "one of: weighed",
    ),
    "move of a thing that is not there": (
        {"ledger.csv": ("console,move,three group-31", "console,move,four group-31")},
        "ledger.csv row 64 item",
        "no row adds it",
    ),
    "move from elsewhere": (
        {"ledger.csv": ("with boxes,,0.36,", "with boxes,,0.63,")},
        "ledger.csv row 64 x_m",
        "stands at x = 0.36 m in row 56",
    ),
    "move to nowhere": (
        {"ledger.csv": ("with boxes,,0.36,,,2.72,0.00,0.60", "with boxes,,0.36,,,,,")},
        "ledger.csv row 64 to_x",
        "not where to",
    ),
    "replaced by nothing": (
        {"ledger.csv": ("7 electrical,add,battery switches", "7 electrical,replace,battery switches")},
        "ledger.csv row 57",
        "not by what",
    ),
    "added twice": (
        {"ledger.csv": ("4 engine,add,rigging tube harness fuel hose filter", "4 engine,add,stainless propeller")},
        "ledger.csv row 39 item",
        "rows 38 and 39 both add stainless propeller",
    ),
    "removed and added under one name": (
        {"ledger.csv": ("1 strip,remove,old leaning post,25", "1 strip,remove,safety gear and tools,25")},
        "ledger.csv row 14 mass_kg",
        "weighs 26 kg in row 63",
    ),
    "adding less than nothing": (
        {"ledger.csv": ("leg,268,", "leg,-268,")},
        "ledger.csv row 36 mass_kg",
        "adding -268 kg would take it off",
    ),
    "low without high": (
        {
            "ledger.csv": lambda t: "\n".join(
                line + (",low_kg" if n == 0 else ",200" if n == 1 else ",") for n, line in enumerate(t.splitlines())
            )
        },
        "ledger.csv row 2 mass_kg",
        "low and high",
    ),
    "off the boat": (
        {"ledger.csv": ("old leaning post,25,2.05", "old leaning post,25,20.5")},
        "ledger.csv row 14 x_m",
        "off the boat",
    ),
    "plan with an unknown package": (
        {"boat.toml": (PLAN, '"first plan" = [\n    "1 strp"')},
        'boat.toml [plans] "first plan"',
        'Did you mean "1 strip"?',
    ),
    "package that excludes itself": (
        {"boat.toml": ("exclusive = []", 'exclusive = [["3 bracket", "3 bracket"]]')},
        "boat.toml exclusive",
        "excludes itself",
    ),
    "plan with two that exclude each other": (
        {"boat.toml": ("exclusive = []", 'exclusive = [["2 structure", "8 equipment"]]')},
        "boat.toml [plans]",
        "exclude each other",
    ),
    "exclusive package unknown": (
        {"boat.toml": ("exclusive = []", 'exclusive = [["2 structure", "11 sail"]]')},
        "boat.toml exclusive",
        "11 sail",
    ),
    "line that is no TOML": ({"boat.toml": ("invented = true", "invented: true")}, "boat.toml row 6", "name = value"),
    "no transom rake": ({"boat.toml": ("transom_rake_deg = 14", "")}, "boat.toml [hull] transom_rake", "rake"),
    "rake out of reason": (
        {"boat.toml": ("transom_rake_deg = 14", "transom_rake_deg = 140")},
        "boat.toml [hull] transom_rake",
        "0 to 45 deg",
    ),
    "misspelt key": ({"boat.toml": ("lcg_m = 2.075", "lgc_m = 2.075")}, "boat.toml [as_found] lcg", "missing"),
    "as found of nothing": ({"boat.toml": ("mass_kg = 1612", "mass_kg = 0")}, "boat.toml [as_found] mass", "positive"),
    "as found nan": ({"boat.toml": ("mass_kg = 1612", "mass_kg = nan")}, "boat.toml", ""),
    "unknown loft": ({"boat.toml": ('"straight"  ', '"curvy"  ')}, "boat.toml [hull] loft", "one of: straight, smooth"),
    "water of another unit": (
        {"boat.toml": ("density_kg_m3 = 1025", "density_kg_m3 = 1.025")},
        "boat.toml [water] density",
        "995 to 1030",
    ),
    "datum unknown": (
        {"boat.toml": ('marks = "transom keel, forward"', 'marks = "engine well, forward"')},
        "boat.toml [datum] marks",
        "this boat declares",
    ),
    "length of nothing": (
        {"boat.toml": ("length_m = 6.94", "length_m = 0")},
        "boat.toml [hull] length",
        "expected the length",
    ),
    "half a line of the hull": (
        {"stations.csv": ("chine_flat_outer_height_m", "spray_rail_m")},
        "stations.csv chine_flat_outer_height",
        "is missing",
    ),
    "readings of no mark": (
        {"boat.toml": ('stem_head = "stem head"', 'stem_head = "stem top"')},
        "boat.toml [readings] stem_head",
        "no mark",
    ),
    "station out of order": (
        {"stations.csv": ("1.600,0.000,", "0.600,0.000,")},
        "stations.csv row 4 x",
        "stations go forward",
    ),
    "chine above the sheer": (
        {"stations.csv": ("1.222,0.996", "1.222,0.366")},
        "stations.csv row 5 sheer height",
        "no lower than",
    ),
    "station with a hole": (
        {"stations.csv": ("1.020,0.384", ",0.384")},
        "stations.csv row 5 chine_half_breadth_m",
        "empty",
    ),
    "marks twice in one plan": (
        {"marks.csv": ("battery box lid old,", "transom top port,")},
        "marks.csv row 20 mark",
        "stands in row 9 too",
    ),
    "mark of an unknown kind": (
        {"marks.csv": (",scupper,invert", ",skupper,invert")},
        "marks.csv row 2 kind",
        'Did you mean "scupper"?',
    ),
    "mark off the boat": ({"marks.csv": ("stem head,6.70", "stem head,67.0")}, "marks.csv row 15 x_m", "off the boat"),
    "brought by nobody": (
        {"marks.csv": (",3 bracket,\n", ",3 brackett,\n")},
        "marks.csv row 21 brought_by",
        'Did you mean "3 bracket"?',
    ),
    "brought and taken by one package": (
        {"marks.csv": ("inspection hatch,3 bracket,", "inspection hatch,3 bracket,3 bracket")},
        "marks.csv row 21 taken_by",
        "never there",
    ),
    "raised scuppers not taken": (
        {"marks.csv": ("0.472,scupper,invert,,9 mend: sole raised 30 mm", "0.472,scupper,invert,,")},
        "marks.csv row 22 mark",
        "with 9 mend: sole raised 30 mm on",
    ),
    "tank through the side": (
        {"tanks.csv": (TANK_ROW, TANK_ROW.replace("-0.36,0.36,0.185,0.421", "0.40,1.20,0.45,0.60"))},
        "tanks.csv row 2 tank",
        "outside the side",
    ),
    "tank through the transom": (
        {"tanks.csv": ("livewell,1025,76,0.16,0.56", "livewell,1025,76,-0.30,0.10")},
        "tanks.csv row 3 tank",
        "transom",
    ),
    "tank without thickness": (
        {"tanks.csv": ("1.84,3.40,-0.36", "1.84,1.84,-0.36")},
        "tanks.csv row 2",
        "no size along x",
    ),
    "tank named as a space": (
        {"tanks.csv": ("livewell new,", "cockpit,")},
        "tanks.csv row 6 tank",
        "spaces.csv has something called cockpit too",
    ),
    "remnant in an unknown tank": (
        {"aboard.csv": ("fuel tank as found", "fuel tank")},
        "aboard.csv",
        "no tank of tanks.csv",
    ),
    "aboard, but nothing says what it weighs": (
        {"aboard.csv": ("fuel left in the old tank 14 L", "fuel left in the tank")},
        "aboard.csv row 2 item",
        "nothing says",
    ),
    "space outside the hull": (
        {"spaces.csv": ("cockpit,0.05,0.980,0.500", "cockpit,0.05,1.480,0.500")},
        "spaces.csv row 2 space",
        "outside the side",
    ),
    "space with an unknown opening": (
        {"spaces.csv": lambda t: t.replace("transom notch", "transom nitch", 8)},
        "spaces.csv row 2 openings",
        "no mark",
    ),
    "pod of three corners": (
        {"solids.csv": lambda t: "\n".join([*t.splitlines()[:4], *t.splitlines()[9:]]) + "\n"},
        "solids.csv row 2 solid",
        "enclose nothing",
    ),
    "pod litres without a shape": (
        {"boat.toml": ("invented = true", "invented = true\npod_litres = 144")},
        "boat.toml pod_litres",
        "litres alone",
    ),
    "tight in an unknown space": (
        {
            "solids.csv": lambda t: "\n".join(
                line + (",inside" if n == 0 else ",cuddy" if n <= 8 else ",") for n, line in enumerate(t.splitlines())
            )
        },
        "solids.csv row 2 inside",
        "no space of spaces.csv",
    ),
    "person of negative mass": (
        {"people.csv": ("child 12 seated forward,40", "child 12 seated forward,-40")},
        "people.csv row 10 mass_kg",
        "between 0 kg and 2000 kg",
    ),
    "two people of one name": (
        {"people.csv": ("stern crew 2,", "stern crew 1,"), "conditions.csv": (" + stern crew 2", "")},
        "people.csv row 7 name",
        "stands in row 6 too",
    ),
    "fill over 100 percent": (
        {"conditions.csv": ("two people,50", "two people,120")},
        "conditions.csv row 4 fuel_percent",
        "between 0 % and 100 %",
    ),
    "fill below empty": (
        {"conditions.csv": ("two people,50", "two people,-5")},
        "conditions.csv row 4 fuel_percent",
        "between 0 % and 100 %",
    ),
    "condition with an unknown person": (
        {"conditions.csv": ("mate standing + child", "mat standing + child")},
        "conditions.csv row 5 aboard",
        'Did you mean "mate standing"?',
    ),
    "condition that opens nothing known": (
        {"conditions.csv": (",bracket pod,the pod", ",bracket pot,the pod")},
        "conditions.csv row 3 open",
        'Did you mean "bracket pod"?',
    ),
    "condition of an unknown tank": (
        {"conditions.csv": ("livewell_percent", "diesel_percent")},
        "conditions.csv diesel_percent",
        "no tank of this boat",
    ),
    "condition twice": (
        {"conditions.csv": ("family,", "two people,")},
        "conditions.csv row 5 condition",
        "stands in row 4 too",
    ),
    "standpipe without a lip": (
        {
            "conditions.csv": lambda t: "\n".join(
                line + (",at_lip" if n == 0 else ",livewell" if n == 3 else ",")
                for n, line in enumerate(t.splitlines())
            )
        },
        "conditions.csv row 4 at_lip",
        "standpipe",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_one_slip_one_message(problems_of, name):
    slips, where, words = CASES[name]
    mends = [p for p in problems_of(slips) if p.level == MEND]
    named = [p for p in mends if p.where.startswith(where) and words in f"{p.where} {p.expected}. {p.mend}"]
    assert named, "\n".join(map(str, mends))
    assert all(p.file == where.split()[0] for p in mends), "\n".join(map(str, mends))  # no other file in its wake
    for problem in mends:
        assert problem.expected and problem.mend
    if name in ALONE:  # no second message in its wake
        assert len({(p.where, p.expected) for p in mends}) == 1, "\n".join(map(str, mends))


ALONE = set(CASES) - {  # slips that truly are two: a column renamed leaves one missing, a plan names two packages
    "boat.toml empty", "plan with two that exclude each other", "package that excludes itself", "as found nan",
    "misspelt key", "ledger of 10 MB of noise", "stations are noise", "space outside the hull",
}  # fmt: skip


def test_every_file_spoiled_at_once(problems_of):
    names = [
        "NaN", "unknown basis", "off the boat", "move to nowhere", "plan with an unknown package", "rake out of reason",
        "chine above the sheer", "mark of an unknown kind", "brought by nobody", "tank without thickness",
        "aboard, but nothing says what it weighs", "space with an unknown opening", "person of negative mass",
        "fill over 100 percent", "condition that opens nothing known",
    ]  # fmt: skip
    slips: dict = {}
    for name in names:
        for file, slip in CASES[name][0].items():
            slips.setdefault(file, []).append(slip)
    slips = {file: of[0] if len(of) == 1 else of for file, of in slips.items()}
    mends = [p for p in problems_of(slips) if p.level == MEND]
    for name in names:
        _, where, words = CASES[name]
        if name == "off the boat":
            continue  # how long she is nobody knows while the stations are wrong
        assert any(p.where.startswith(where) and words in f"{p.expected}. {p.mend}" for p in mends), name
    assert [p.weight for p in mends] == sorted((p.weight for p in mends), reverse=True)  # worst first


@pytest.mark.parametrize("folder", ["nowhere", "file.txt"])
def test_no_folder(tmp_path, folder):
    (tmp_path / "file.txt").write_text("not a folder")
    with pytest.raises(hc.InputError, match=r"boat\.toml"):
        hc.read_boat(tmp_path / folder)


LOOKS = {
    "pod overlapping the hull": (
        {"solids.csv": ("bracket pod,-0.035,0.300,0.140", "bracket pod,0.165,0.300,0.140")},
        "solids.csv row 2",
        "share about",
    ),
    "bottom angle off": (
        {"stations.csv": ("0.996,20.6", "0.996,22.6")},
        "stations.csv row 5 deadrise_deg",
        "make 20.6 deg",
    ),
    "length off": ({"boat.toml": ("length_m = 6.94", "length_m = 7.94")}, "boat.toml [hull] length", "6.94 m"),
    "capacity off": ({"tanks.csv": ("740,265,", "740,300,")}, "tanks.csv row 2 capacity_l", "265 L"),
    "unknown column": (
        {"marks.csv": (",note,brought_by", ",remark,brought_by")},
        "marks.csv row 1 remark",
        "not known",
    ),
    "heavy for its kind": (
        {"ledger.csv": ("dry XL leg,268,", "dry XL leg,330,")},
        "ledger.csv row 36 mass_kg",
        "255-300",
    ),
}


@pytest.mark.parametrize("name", LOOKS)
def test_remarks_never_stop_a_reading(spoil, name):
    slips, where, words = LOOKS[name]
    boat = hc.read_boat(spoil(slips))
    assert any(p.where.startswith(where) and words in p.expected for p in boat.remarks), boat.remarks
    assert all(p.level == LOOK for p in boat.remarks)
    assert f"0 to mend, {len(boat.remarks)} to look at" in boat.checked
