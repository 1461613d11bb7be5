"""The sterndrive cuddy and the open skiff: read without a word to say, weighed by plain sums over their tables.

Other road for masses and centres: the csv module and school arithmetic, no reader, no ledger, no mass item of ours.
Both boats are invented, and so are the sums printed with them.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.combinations import float_plans
from hullcalc.units.names import factor

BOATS = Path(__file__).parents[3] / "data" / "boats"
CUDDY, SKIFF = "demo-sterndrive-24", "demo-skiff-18"
ALL = ("demo-outboard-22", CUDDY, SKIFF)
AS_FOUND = {CUDDY: (2318, 2.130, -0.006, 0.78), SKIFF: (742, 1.660, 0.003, 0.44)}  # kg, m
SUMS = {CUDDY: (43, 966, 1160, 194, 2126), SKIFF: (32, 389, 622, 233, 1011)}  # rows but moves, kg


@pytest.fixture(scope="module", params=(CUDDY, SKIFF))
def name(request):
    return request.param


@pytest.fixture(scope="module")
def boat(name):
    return hc.read_boat(BOATS / name)


def table(name: str, file: str) -> list[dict[str, str]]:
    with (BOATS / name / file).open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


def by_hand(name: str, packages) -> tuple[float, list[float]]:
    """Mass and moments of a plan: as found, plus what is added, less what is removed, with moves carried out."""
    mass, *centre = AS_FOUND[name]
    moment = [mass * c for c in centre]
    rows = [row for row in table(name, "ledger.csv") if row["pkg"] in packages]
    places = {}
    for row in rows:
        if row["act"] in ("add", "remove"):
            places[row["item"]] = [float(row["mass_kg"]), *(float(row[f"{a}_m"]) for a in "xyz"), row["act"]]
    for row in rows:
        if row["act"] == "move":
            old = places[row["item"]]
            for k, axis in enumerate("xyz", start=1):
                if row[f"to_{axis}_m"]:
                    old[k] = float(row[f"to_{axis}_m"])
    for kg, x, y, z, act in places.values():
        sign = 1 if act == "add" else -1
        mass += sign * kg
        moment = [m + sign * kg * c for m, c in zip(moment, (x, y, z), strict=True)]
    return mass, moment


@pytest.mark.parametrize("folder", ALL)
def test_every_demo_reads_without_a_word(folder):
    boat = hc.read_boat(BOATS / folder)
    assert boat.remarks == ()
    assert boat.checked.startswith("0 to mend, 0 to look at, ")
    assert boat.invented
    assert boat.name == folder
    assert list(boat.plans) == ["as found", "first plan", "mended plan"]
    assert next(iter(boat.conditions)) == "light"


def test_the_sums_of_the_ledger_are_those_printed_with_it(name, boat):
    rows, removed, added, net, handled = SUMS[name]
    assert sum(row["act"] != "move" for row in table(name, "ledger.csv")) == rows
    tally = boat.tally("mended plan")
    assert (tally.removed, tally.added, tally.net, tally.absolute) == (removed, added, net, handled)


def test_a_mend_is_a_package_of_its_own(boat):
    mends = set(boat.plans["mended plan"].packages) - set(boat.plans["first plan"].packages)
    assert len(mends) >= 2
    for mend in mends:  # each can be judged alone
        alone = boat.weight([*boat.plans["first plan"].packages, mend])
        assert_allclose(alone.mass, boat.weight("first plan").mass, atol=1e-9)
        assert alone.centre[0] > boat.weight("first plan").centre[0]


def test_plans_weigh_what_a_sum_by_hand_says(name, boat):
    for plan in boat.plans.values():
        mass, moment = by_hand(name, plan.packages)
        weight = boat.weight(plan.name)
        assert_allclose(weight.mass, mass, rtol=1e-12)
        assert_allclose(weight.moment, moment, rtol=0, atol=1e-9 * mass)


def test_conditions_weigh_what_a_sum_by_hand_says(name, boat):
    people = {row["name"]: row for row in table(name, "people.csv")}
    tanks = table(name, "tanks.csv")

    def there(row, on):
        bring, take = (set(filter(None, row.get(c, "").split(" + "))) for c in ("brought_by", "taken_by"))
        return bring <= on and not take & on

    for condition in table(name, "conditions.csv"):
        for plan in boat.plans.values():
            on = set(plan.packages)
            mass, moment = by_hand(name, on)
            for who in filter(None, condition["aboard"].split(" + ")):
                if there(people[who], on):
                    kg = float(people[who]["mass_kg"])
                    mass += kg
                    moment = [m + kg * float(people[who][f"{a}_m"]) for m, a in zip(moment, "xyz", strict=True)]
            weight = boat.weight(plan.name, condition["condition"])
            assert_allclose(weight.mass, mass, rtol=1e-12)
            assert_allclose(weight.moment, moment, rtol=0, atol=1e-9 * mass)
            # with liquids: gross volume of the box times density and fill; the boat floats at the whole of it
            for tank in tanks:
                if there(tank, on):
                    size = math.prod(float(tank[f"{a}_to_m"]) - float(tank[f"{a}_from_m"]) for a in "xyz")
                    percent = condition[f"{tank['use']}_percent"]
                    mass += size * float(tank["density_kg_m3"]) * float(percent or 0) / 100
            state = boat.float(plan.name, condition["condition"], shut=True)
            assert_allclose(float(state.mass), mass, rtol=1e-9)
            if "bracket pod" not in condition["open"]:
                assert_allclose(boat.water_density * float(state.volume), mass, rtol=1e-9)


def test_tanks_hold_what_is_said_of_them(name, boat):
    # litres are printed whole
    for tank in boat.tanks:
        assert abs(tank.solid.volume - tank.capacity) < 0.0005 + 1e-9


def test_the_skiff_displaces_what_is_printed_at_her_two_notches():
    # Printed with her table, from a program that shares no code with this one: level immersion to z 0.510 displaces
    # 3289 kg of fresh water, to 0.635 4554 kg. Fresh water at 62.4 lb/ft3, as in 33 CFR 183.105.
    fresh = 62.4 * factor("lb", "mass") / factor("ft", "length") ** 3
    hull = hc.read_boat(BOATS / SKIFF).hull.solid
    for z, printed in ((0.510, 3289), (0.635, 4554)):
        assert abs(hull.cut((0, 0, 1), z).volume * fresh - printed) < 0.5


def test_the_notch_is_where_it_is_in_each_plan():
    skiff = hc.read_boat(BOATS / SKIFF)
    notches = {plan: [n for n in skiff.marks_in(plan) if "notch" in n] for plan in skiff.plans}
    assert notches["as found"] == ["transom notch as found (20 in engine)"]
    assert notches["first plan"] == notches["mended plan"] == ["transom notch after (25 in engine)"]
    rake = math.tan(math.radians(12))
    for mark in skiff.all_marks:
        if "notch" in mark.name:
            assert_allclose(mark.point[0], -rake * mark.point[2], atol=5e-4)  # on the transom, printed in mm


def test_stores_go_with_their_packages():
    cuddy, skiff = hc.read_boat(BOATS / CUDDY), hc.read_boat(BOATS / SKIFF)
    ice = {plan: [i for i in cuddy.carried_in("4 adults full", plan) if "ice" in i.name] for plan in cuddy.plans}
    assert ice["as found"] == []  # there is no fish box yet
    assert [(float(i.mass), float(i.centre[0])) for i in ice["first plan"]] == [(70.0, 0.62)]
    assert [(float(i.mass), float(i.centre[0])) for i in ice["mended plan"]] == [(70.0, 1.45)]
    fuel = {plan: sum("portable" in i.name for i in skiff.carried_in("two people", plan)) for plan in skiff.plans}
    assert fuel == {"as found": 1, "first plan": 0, "mended plan": 0}


def test_a_store_of_an_unknown_package_is_to_mend(spoil):
    folder = spoil({"people.csv": lambda text: _with_package(text, "6 deck gaer")})
    with pytest.raises(hc.InputError, match=r"people\.csv row 2 brought_by.*6 deck gaer.*[Dd]id you mean"):
        hc.read_boat(folder)
    folder = spoil({"people.csv": lambda text: text.replace("6 deck gaer,", "6 deck gear,6 deck gear")})
    with pytest.raises(hc.InputError, match=r"both brings helmsman standing and takes it off"):
        hc.read_boat(folder)


def _with_package(text: str, package: str) -> str:
    head, first, *rest = text.splitlines()
    lines = [f"{head},brought_by,taken_by", f"{first},{package},", *(f"{line},," for line in rest)]
    return "\n".join(lines) + "\n"


def test_many_plans_at_once_stow_what_each_of_them_has(boat):
    conditions = [name for name, said in boat.conditions.items() if not said.open]
    many = float_plans(boat, list(boat.plans), conditions)
    for i, plan in enumerate(boat.plans):
        for j, condition in enumerate(conditions):
            normal, offset = boat.float(plan, condition, shut=True).plane
            assert_allclose(many.normals[i, j], normal, rtol=0, atol=1e-9)
            assert_allclose(many.offsets[i, j], offset, rtol=0, atol=1e-9)
