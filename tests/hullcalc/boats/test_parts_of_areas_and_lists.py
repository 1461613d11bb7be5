"""Part files of laminates, wood, foam, batteries, people, coolers and lists: read right, and every slip said once."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.boats.part_files import read_part
from hullcalc.boats.part_kinds import KINDS
from hullcalc.errors import InputError
from hullcalc.units import factor

DEMO = Path(__file__).resolve().parents[3] / "data" / "boats" / "demo-outboard-22"
MINE = (
    "anchor-gear", "batteries", "cables", "cockpit-sole-new", "cockpit-sole-wet", "new-foam", "soaked-foam",
    "transom-core-new", "transom-core-wet",
)  # fmt: skip


def read(tmp_path, text):
    path = tmp_path / "thing.toml"
    path.write_text(text, encoding="utf-8")
    return read_part(path)


@pytest.mark.parametrize("name", MINE)
def test_parts_of_the_demonstration_boat_are_near_their_ledger_rows(name, demo):
    # The ledger was typed from the invented boat's description; each part is within two of its own uncertainties.
    part = read_part(DEMO / "parts" / f"{name}.toml").part
    added = {row.item: row.new for row in demo.ledger.rows if row.action == "add"}
    typed = (dict(demo.ledger.found) | added)[part.name].item
    assert abs(float(typed.mass) - float(part.item.mass)) <= 2 * float(part.item.u_mass)
    assert_allclose(part.item.centre, typed.centre, atol=1e-9)


def test_the_family_and_the_cooler_are_near_the_people_of_the_boat():
    people = read_part(DEMO / "parts" / "people.toml").part
    by_name = {line.what: line.item for line in people.lines}
    assert_allclose(by_name["helmsman"].centre, [2.35, 0.35, 1.45], atol=0.05)  # people.csv; the sole rises forward
    assert_allclose(by_name["child 12"].centre, [4.60, 0.25, 1.15], atol=0.06)
    assert_allclose(read_part(DEMO / "parts" / "cooler.toml").part.item.mass, 45.0, atol=1.0)


def test_us_units(tmp_path):
    # 3 ft³ of 2 lb/ft³ foam; ⅝ in plywood of 24 ft²
    foam = read(tmp_path, 'kind = "new foam"\nvolume_ft3 = 3\ndensity_pcf = 2\nx_ft = 6\nz_ft = 1\n').part
    assert_allclose(foam.item.mass, 6 * factor("lb", "mass"), rtol=1e-12)
    text = 'kind = "dry wood"\nwood = "okoume plywood"\narea_ft2 = 24\nthickness = "5/8 in"\nx_m = 2\nz_m = 0.3\n'
    expected = 24 * 0.3048**2 * 0.625 * 0.0254 * 500
    assert_allclose(read(tmp_path, text).part.item.mass, expected, rtol=1e-9)


def test_resin_ratio_is_read(tmp_path):
    text = 'kind = "laminate"\narea_m2 = 2\nx_m = 1\nz_m = 0.4\n[[layer]]\nply = "mat"\nglass_g_m2 = 450\n'
    text += "resin_ratio = 2.5\n"
    assert_allclose(read(tmp_path, text).part.item.mass, 2 * 0.45 * 3.5, rtol=1e-12)


def test_gelcoat_and_coat_are_layers(tmp_path):
    text = """kind = "laminate"
length_m = 2
width_m = 1.5
x_m = 1
z_m = 0.4
[[layer]]
gelcoat_mm = 0.6
[[layer]]
coat = "nonskid"
mass_per_area_g_m2 = 400
"""
    assert_allclose(read(tmp_path, text).part.item.mass, 3 * (0.75 + 0.4), rtol=1e-12)


def test_bounds_in_the_place_of_plugs(tmp_path):
    text = """kind = "soaked foam"
volume_l = 340
low_kg_m3 = 180
likely_kg_m3 = 280
high_kg_m3 = 390
x_m = 1.75
z_m = 0.24
"""
    found = read(tmp_path, text).part.item
    # triangular: variance (a² + ab + b²) / 18 of the sides a, b = 100, 110; the mean (b - a) / 3 over the peak
    u = 0.34 * np.sqrt((100**2 + 100 * 110 + 110**2) / 18)
    assert_allclose(found.sources["all soaked foam"][0], u, rtol=1e-12)
    assert_allclose(found.shift[0], 0.34 * 10 / 3, rtol=1e-9)


def test_a_cooler_later_in_the_day(tmp_path):
    # 60 L: box 5.85, ice 22.5, drinks 22.5 kg. After 4 h of 12 a third of the ice has run off, half of the drinks of
    # 8 h are gone, half of 30 kg of fish (hours 2 to 6) are in: 5.85 + 15 + 11.25 + 15.
    text = """kind = "cooler"
volume_l = 60
x_m = 3.4
z_m = 0.75
[day]
at_hours = [0, 4]
ice_lasts_hours = 12
drinks_gone_by_hours = 8
catch_kg = 30
catch_from_hours = 2
catch_until_hours = 6
drained = true
"""
    facts = {fact.what: fact.value for fact in read(tmp_path, text).part.facts}
    assert_allclose([facts["mass after 0 h"], facts["mass after 4 h"]], [50.85, 47.1], rtol=1e-9)


def test_every_way_of_a_list(tmp_path):
    text = """kind = "list"
x_m = 1
z_m = 0.5
[[thing]]
what = "lid"
mass_kg = 7
[[thing]]
what = "liner"
mass_per_area_kg_m2 = 9
area_m2 = 2
[[thing]]
what = "rail"
mass_per_length_kg_per_m = 0.9
length_m = 4
count = 2
[[thing]]
what = "cable"
section_mm2 = 50
length_m = 10
[[thing]]
what = "chain"
chain_mm = 8
length_m = 5
[[thing]]
what = "rope"
rope_mm = 12
length_m = 10
[[thing]]
what = "rods"
gear = "rod holder"
count = 4
[[thing]]
what = "rub rail"
gear_by_length = "rub rail PVC"
length_m = 10
basis = "data sheet"
x_m = 2
z_m = 0.9
"""
    lines = {line.what: line.item for line in read(tmp_path, text).part.lines}
    masses = [float(lines[what].mass) for what in ("lid", "liner", "rail", "rods", "rub rail")]
    assert_allclose(masses, [7, 18, 7.2, 2.4, 11], rtol=1e-12)
    assert_allclose([float(lines[what].mass) for what in ("cable", "chain", "rope")], [5.2, 7.4, 0.9], atol=0.1)
    assert_allclose(lines["rub rail"].u_mass, 0.03 * 11, rtol=1e-9)  # its own basis, not the table's range
    assert_allclose(lines["rub rail"].centre, [2, 0, 0.9], rtol=1e-12)


def test_a_list_has_four_names():
    assert len({KINDS[kind] for kind in ("list", "cables", "anchor gear", "deck gear")}) == 1


PLACE = "x_m = 1\nz_m = 0.4\n"
LAYER = '[[layer]]\nply = "mat"\nglass_g_m2 = 450\n'
LAMINATE = f'kind = "laminate"\narea_m2 = 5\n{PLACE}'
FOAM = f'kind = "soaked foam"\nvolume_l = 340\n{PLACE}'
WET = f'kind = "wet wood"\narea_m2 = 5\n{PLACE}'
BATTERY = f'kind = "batteries"\n{PLACE}group = "31"\ntype = "AGM"\n'
PERSON = 'kind = "people"\n[[person]]\nwho = "a"\nposture = "standing"\nx_m = 2\ny = "CL"\n'
COOLER = f'kind = "cooler"\nvolume_l = 60\n{PLACE}[day]\nice_lasts_hours = 12\n'
LIST = f'kind = "list"\n{PLACE}[[thing]]\nwhat = "a"\n'


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (LAMINATE, "layer: there is no .*layer.*Begin each with a line"),
        (LAMINATE.replace("5", "-5") + LAYER, "area_m2: read '-5', must be more than zero"),
        (LAMINATE.replace("area_m2 = 5\n", "") + LAYER, "area: area is missing. Write area_m2 = 1.62"),
        (LAMINATE.replace("area_m2 = 5\n", "length_m = 2\n") + LAYER, "area: area is missing beside length_m"),
        (LAMINATE + "length_m = 2\nwidth_m = 1\n" + LAYER, "area is given, and sides too"),
        (LAMINATE + LAYER + "glass_fraction = 1.2\n", r"glass_fraction: read '1.2', expected a share: percent"),
        (LAMINATE + LAYER + "glass_fraction = 0\n", "glass fraction of mat = 0 must lie between 0 and 1. Write 0.30"),
        (LAMINATE + LAYER + "glass_percent = 30\n", "glass_percent.*not known here"),
        (LAMINATE + LAYER.replace("mat", "mta"), "no ply 'mta'. Did you mean: mat"),
        (LAMINATE + LAYER.replace("_g_m2", "_kg_m2"), "glass of mat = 450 kg/m2 must be more than 0 and at most 5"),
        (LAMINATE + LAYER + 'core = "PVC foam"\n', "ply and core in one layer"),
        (LAMINATE + "[[layer]]\nthickness_mm = 20\n", "what the layer is is not said"),
        (LAMINATE + LAYER + "count = 2.5\n", "count: read '2.5', expected a whole number"),
        (LAMINATE + LAYER + "glass_fraction = 0.3\nresin_ratio = 2\n", "glass_fraction is given too"),
        (FOAM, "plug: neither plugs nor bounds of its density"),
        (FOAM + "low_kg_m3 = 180\nhigh_kg_m3 = 390\n", "likely: likely is missing"),
        (FOAM + "low_kg_m3 = 300\nlikely_kg_m3 = 280\nhigh_kg_m3 = 390\n", "must not exceed the likely value"),
        (FOAM + "[[plug]]\nmass_g = 53\n", r"\[plug 1\] volume: volume is missing"),
        (FOAM + "[[plug]]\nmass_g = 53\ndiameter_mm = 50\n", r"\[plug 1\] length: length is missing"),
        (FOAM + "[[plug]]\nmass_g = 53\nvolume_ml = 200\nlength_mm = 9\n", "volume is given, and sizes too"),
        (FOAM + "[[plug]]\nmass_g = 530\nvolume_ml = 200\n", "plugs of thing.0. = 2650 kg/m3 cannot be foam"),
        (FOAM + "[[plug]]\nmass_kg = 0\nvolume_ml = 200\n", r"\[plug 1\] mass_kg: read '0', must be more than zero"),
        (FOAM + "low_kg_m3 = 180\n[[plug]]\nmass_g = 53\nvolume_ml = 200\n", "low: there are plugs too"),
        (FOAM.replace("340", "340000") + "[[plug]]\nmass_g = 53\nvolume_ml = 200\n", "volume_l: .*at most 20000 L"),
        (WET, "square: there is no .*square"),
        (WET + "[[square]]\nmass_g = 1566\n", r"\[square 1\] area: area is missing. Write area_cm2 = 400"),
        (WET + 'wood = "teak"\n[[square]]\nmass_g = 1566\narea_cm2 = 400\n', "no wood 'teak'. There are: okoume"),
        ('kind = "dry wood"\narea_m2 = 2\nthickness_mm = 12\n' + PLACE, "wood: wood is missing"),
        (f'kind = "new foam"\nvolume_l = 380\nfoam = "cork"\n{PLACE}', "no foam 'cork'"),
        (BATTERY, "count: count is missing. Write count = 1"),
        (BATTERY + "count = 0\n", "count: read '0', expected a whole number, 1 to 20"),
        (BATTERY.replace("AGM", "gel") + "count = 1\n", "type: read 'gel', expected one of: flooded, AGM, LFP"),
        (BATTERY.replace('"31"', '"32"') + "count = 1\n", "no group '32'"),
        (PERSON, r"\[person 1\] mass: mass is missing. Write mass_kg = 85, or rule"),
        (PERSON + "mass_kg = 85\n", r"\[person 1\] surface: the height stood or sat on is missing"),
        (PERSON + 'rule = "ISO crews"\nsurface_m = 0.5\n', "no person 'ISO crews'. Did you mean: ISO crew"),
        (PERSON + 'rule = "ISO crew"\nmass_kg = 80\nsurface_m = 0.5\n', "rule: .*mass is given too"),
        (PERSON.replace("standing", "lying") + "mass_kg = 85\nsurface_m = 0.5\n", "posture: read 'lying', expected"),
        (PERSON + "mass_kg = 850\nsurface_m = 0.5\n", "mass_kg: read '850', expected at most 250 kg"),
        (PERSON + "mass_kg = 85\nsurface = [[0, 0]]\n", "surface: .*expected x, y and z in metres"),
        (PERSON + "mass_kg = 85\nsurface = []\n", "surface: .*expected points"),
        (f'surface = "deck"\n{PERSON}mass_kg = 85\n', "surface: read 'deck', expected a number"),
        ('kind = "people"\n', "person: there is no .*person"),
        (f'kind = "cooler"\nvolume_l = 60\nfilled_percent = 120\n{PLACE}', "filled_percent: read '120'"),
        (f'kind = "cooler"\nvolume_l = 60\nwall = "thick"\n{PLACE}', "wall: read 'thick', expected one of: thin wall"),
        (COOLER, r"\[day\] at_hours: expected hours, 0 to 240"),
        (COOLER + "at_hours = [4, -1]\n", r"\[day\] at_hours: read .* expected hours"),
        (COOLER.replace("12", "0") + "at_hours = [4]\n", "hours that the ice lasts = 0 h must be after hour 0"),
        (COOLER + "at_hours = [4]\ncatch_kg = 9\n", "catch_until is missing"),
        (COOLER + "at_hours = [4]\nice_last_hours = 2\n", "ice_last_hours"),
        (f'kind = "list"\n{PLACE}', "thing: there is no .*thing"),
        (LIST, r"\[thing 1\] mass: how much it weighs is not said. Write one of: mass_kg = 7"),
        (LIST + "mass_kg = -7\n", r"\[thing 1\] mass_kg: read '-7', must be more than zero"),
        (LIST + "mass_kg = 7\nchain_mm = 8\n", r"\[thing 1\] chain: mass is given too"),
        (LIST + "chain_mm = 8\n", r"\[thing 1\] length: length is missing"),
        (LIST + 'gauge = "00"\nlength_m = 2\n', "gauge '00' is not known"),
        (LIST + 'gear = "windlas"\n', "no item 'windlas'"),
        (LIST + "section_mm2 = 500\nlength_m = 2\n", "500 mm2 is larger than the table's largest, 120 mm2"),
        (LIST.replace(PLACE, "") + "mass_kg = 7\nz_m = 1\n", r"\[thing 1\] x: x is missing"),
        (LIST.replace("x_m = 1", "x_m = true") + "mass_kg = 7\n", "x_m: read 'True', expected a figure"),
        (LIST.replace("x_m = 1\n", "") + "mass_kg = 7\n", "x: x is missing. Give x and z both, or neither"),
        (LIST + "mass_kg = 7\nx_m = 2\n", r"\[thing 1\] z: z is missing"),
        (LIST + 'mass_kg = 7\n[[thing]]\nwhat = "a"\nmass_kg = 7\n', '"a" is listed 2 times'),
        (f"allowance_percent = 130\n{LIST}mass_kg = 7\n", "allowance_percent: read '130', expected at least 0 %"),
        (LIST + 'mass_kg = 7\nbasis = "brochure"\n', "basis: read 'brochure', expected one of: weighed, data sheet"),
    ],
)  # fmt: skip
def test_every_slip_is_said_once(tmp_path, text, words):
    with pytest.raises(InputError, match=words) as said:
        read(tmp_path, text)
    assert len([problem for problem in said.value.problems if problem.level == "mend"]) == 1, str(said.value)
