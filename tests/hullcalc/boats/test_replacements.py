"""Replacements, take-outs and package names as a yard types them, read from a folder: nothing is dropped in silence."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest

import hullcalc as hc

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
PLACE = {"x_m": "0.3", "y_m": "0.5", "z_m": "0.5"}


@pytest.fixture
def read(tmp_path):
    """Read the demo boat with rows added to her ledger; columns that are not there are added too."""

    def with_rows(*rows, **changes):
        folder = Path(shutil.copytree(DEMO, tmp_path / "boat"))
        path = folder / "ledger.csv"
        with open(path, newline="", encoding="utf-8") as file:
            table = list(csv.DictReader(file))
        for row in table:
            row.update(changes.get(row["item"].replace(" ", "_"), {}))
        names = list(dict.fromkeys(key for row in (*table, *rows) for key in row))
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, names)
            writer.writeheader()
            writer.writerows([*table, *rows])
        return hc.read_boat(folder)

    return with_rows


def replace(package="20 swap", item="old pump", to_item="new pump", mass="47", to_mass="60", **more):
    return {"pkg": package, "act": "replace", "item": item, "mass_kg": mass, **PLACE, "basis": "weighed",
            "to_item": to_item, "to_mass_kg": to_mass, **more}  # fmt: skip


def change(boat, package="20 swap"):
    (one,) = boat.changes([package])
    return one


def test_a_replacement_changes_the_mass_by_the_difference(read):
    boat = read(replace())
    assert float(change(boat).item.mass) == pytest.approx(13, abs=1e-12)
    assert float(boat.weight(["20 swap"]).mass) == pytest.approx(1612 + 13, abs=1e-9)


def test_a_thing_may_be_replaced_by_one_of_the_same_name(read):
    boat = read(replace(to_item="old pump"))
    assert float(change(boat).item.mass) == pytest.approx(13, abs=1e-12)


def test_weighing_range_and_doubt_are_the_new_thing_s(read):
    boat = read(replace(weighed_kg="64", u_mass_kg="20"))
    assert float(change(boat).item.mass) == pytest.approx(64 - 47, abs=1e-12)
    assert boat.tally(["20 swap"]).removed == pytest.approx(47)
    assert float(change(boat).went.item.u_mass) == pytest.approx(0.01 * 47)  # weighed: 1 %, not the 20 kg of the new
    assert change(boat).came.estimate is not None


def test_the_new_thing_has_a_basis_of_its_own(read):
    assert change(read(replace())).came.item.basis == "estimated"


def test_the_new_thing_s_stated_basis(read):
    assert change(read(replace(to_basis="data sheet"))).came.item.basis == "data sheet"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (
            [{"pkg": "20 a", "act": "remove", "item": "spare anchor", "mass_kg": "24", **PLACE},
             {"pkg": "21 b", "act": "add", "item": "spare anchor", "mass_kg": "24", **PLACE}],
            r"row 75 item: .*taken out here and put in by row 76 below",
        ),
        (
            [{"pkg": "20 a", "act": "add", "item": "new pump", "mass_kg": "60", **PLACE}, replace("21 b")],
            r"row 76 to_item: .*rows 75 and 76 both bring new pump",
        ),
        ([replace("20 a"), replace("21 b", to_item="other pump")], r"row 76 item: .*both replace old pump"),
        (
            [replace("20 a"), {"pkg": "21 b", "act": "remove", "item": "old pump", "mass_kg": "47", **PLACE}],
            r"row 76 item: .*both take old pump",
        ),
    ],
)  # fmt: skip
def test_what_would_be_counted_twice_or_not_at_all_is_refused(read, rows, words):
    with pytest.raises(hc.InputError, match=words) as caught:
        read(*rows)
    assert len([p for p in caught.value.problems if p.level == "mend"]) == 1


@pytest.mark.parametrize("slip", ["4 engne", "4 Engine", "4  engine"])
def test_a_package_misspelt_on_one_row_is_not_left_out_in_silence(read, slip):
    with pytest.raises(hc.InputError, match=r'nearly "4 engine", and no plan has it\. Write "4 engine"'):
        read(stainless_propeller={"pkg": slip})


def test_packages_that_differ_by_a_figure_are_meant_to(read):
    boat = read(
        {"pkg": "bracket 0.51 m", "act": "add", "item": "short plate", "mass_kg": "9", **PLACE},
        {"pkg": "bracket 0.76 m", "act": "add", "item": "long plate", "mass_kg": "9", **PLACE},
    )
    assert {"bracket 0.51 m", "bracket 0.76 m"} <= set(boat.packages)
