"""Slips that would change the answer without a word: each is said where it stands, and good folders stay quiet."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

import hullcalc as hc

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
TOML, LEDGER, PEOPLE, MARKS = "boat.toml", "ledger.csv", "people.csv", "marks.csv"
TANKS, SOLIDS, SPACES = "tanks.csv", "solids.csv", "spaces.csv"

TO_MEND = {
    "as found in tonnes": (TOML, r"mass_kg = 1612", "mass_kg = 1.612", "a hull of this size weighs"),
    "as found ten times": (TOML, r"mass_kg = 1612", "mass_kg = 16120", "a hull of this size weighs"),
    "LCG with the wrong sign": (TOML, r"lcg_m = 2\.075", "lcg_m = -2.075", "the hull reaches from"),
    "TCG in another unit": (TOML, r"tcg_m = 0\.004", "tcg_m = 4", "to each side"),
    "VCG in centimetres": (TOML, r"vcg_m = 0\.60", "vcg_m = 60", "stands .* high"),
    "a word astray under water": (TOML, r"density_kg_m3 = 1025 ", 'kind = "fresh" ', "not known here"),
    "density misspelt": (TOML, r"density_kg_m3 = 1025", "densty_kg_m3 = 1000", "density"),
    "exclusive below a section": (
        TOML,
        r"\[weighing\]",
        '[weighing]\nexclusive = [["3 bracket"]]',
        r"below the line \[weighing\]",
    ),
    "a move off the boat": (LEDGER, r"0\.36,,,2\.72,0\.00,0\.60", "0.36,,,272,0.00,0.60", "off the boat"),
    "a person overboard": (PEOPLE, r"mate standing,85,2\.35", "mate standing,85,23.5", "off the boat"),
    "a pod corner astray": (SOLIDS, r"(?m)^bracket pod,-0\.8,", "bracket pod,-8,", "off the boat"),
    "millimetres over metres": (MARKS, "x_m", "x [mm]", "Are the figures in metres"),
    "a tank of who knows what": (TANKS, r"livewell new,livewell,1025", "brine new,brine,", "what a tank for"),
    "a solid called hull": (SOLIDS, "bracket pod", "Hull", "the hull itself has that name"),
    "a lost minus sign on a corner": (SOLIDS, r"-0\.8,-0\.260,0\.310", "-0.8,0.260,0.310", "give the same corner"),
    "a hollow body": (
        SPACES,
        r"(?m)^(cockpit,)0\.05,(0\.980,0\.500.*)$",
        r"\g<1>0.05,\2\n\g<1>2.0,0.3,0.700,,,9 mend: sole raised 30 mm,",
        "inside the body round the others",
    ),
    "two tanks in one place": (
        TANKS,
        r"(?m)^(livewell new,.*)$",
        r"\1\nbait tank,bait,1025,,1.9,2.1,-0.3,0.3,0.7,1.0,6 deck gear,,",
        "bait tank and livewell new .* share",
    ),
    "a space above the sheer": (SPACES, r"1\.100,0\.950", "1.100,1.450", "above the sheer"),
}
TO_LOOK_AT = {
    "LCG from the stem": (TOML, r"lcg_m = 2\.075", "lcg_m = 4.625", "most boats balance"),
    "TCG well off": (TOML, r"tcg_m = 0\.004", "tcg_m = 0.4", "seldom lies that far off"),
    "a person of 850 kg": (PEOPLE, r"mate standing,85,", "mate standing,850,", "more than a person weighs"),
    "a way in that is not there": (MARKS, r"(?m)^(bracket hatch,.*),3 bracket,$", r"\1,10 bracket 0.51 m instead,",
                                   'in "first plan" no opening of bracket pod'),
}  # fmt: skip


@pytest.fixture
def spoil(tmp_path):
    def spoiled(file, old, new):
        folder = Path(shutil.copytree(DEMO, tmp_path / "boat"))
        text = (folder / file).read_text(encoding="utf-8")
        changed = re.sub(old, new, text, count=0 if file in (SPACES, SOLIDS) else 1)
        assert changed != text
        (folder / file).write_text(changed, encoding="utf-8")
        return folder

    return spoiled


@pytest.mark.parametrize("name", TO_MEND)
def test_said_and_to_mend(spoil, name):
    file, old, new, words = TO_MEND[name]
    with pytest.raises(hc.InputError, match=words) as caught:
        hc.read_boat(spoil(file, old, new))
    said = [p for p in caught.value.problems if p.level == "mend" and re.search(words, f"{p.expected} {p.mend}")]
    assert said and all(p.file == file for p in said)


@pytest.mark.parametrize("name", TO_LOOK_AT)
def test_said_and_to_look_at(spoil, name):
    file, old, new, words = TO_LOOK_AT[name]
    remarks = hc.read_boat(spoil(file, old, new)).remarks
    assert [p for p in remarks if re.search(words, p.expected) and p.file in (file, SOLIDS)]


def test_a_length_with_an_underscore_serves_a_datum(spoil):
    lengths = '\n[lengths]\ntransom_top = "0.239 m aft"\n\n[plans]'
    folder = spoil(TOML, r"\n\[plans\]", lengths)
    assert hc.read_boat(folder).remarks == ()


@pytest.mark.parametrize("use", ["Fuel", "gasoline", "fuel tank"])
def test_fuel_by_any_name_is_gasoline(spoil, use):
    folder = spoil(TANKS, r"fuel tank as found,fuel,740", f"fuel tank as found,{use},")
    tank = next(t for t in hc.read_boat(folder).tanks if t.name == "fuel tank as found")
    assert tank.density == 740


def test_the_demo_boat_stays_quiet():
    assert hc.read_boat(DEMO).remarks == ()


@pytest.mark.parametrize(
    "row",
    [
        "harness for 250 hp outboard,4,0.5,0,0.6", "outboard engine oil 250 hp,6,2.0,0,0.6",
        "250 hp outboard lower unit guard,5,-1.2,0,0.1", "anchor light on T-top,0.6,2.7,0,2.6",
        "T-top canvas,6,2.7,0,2.3", "leaning post backrest,5,2.0,0,1.4", "bracket ladder,4,0.4,0,0.6",
        "bracket for VHF aerial,0.4,2.7,0,2.2", "battery charger for group-31,3,2.5,0.2,0.7",
        "jack plate controls,2,1.9,-0.3,0.8", "trim tab indicator,0.5,2.4,0,1.1",
        "hp water pump for outboard flushing,3,1.5,0.4,0.5",
    ],
)  # fmt: skip
def test_small_things_named_after_large_ones_raise_no_alarm(spoil, row):
    item, figures = row.split(",", 1)
    mass, x, y, z = figures.split(",")
    folder = spoil(LEDGER, r"\Z", f"8 equipment,add,{item},{mass},{x},{y},{z},,,,estimated,,\n")
    assert hc.read_boat(folder).remarks == ()


@pytest.mark.parametrize("head", ["weight_kg", "Weight (kg)", "wt_kg", "weight [kg]"])
def test_a_column_of_weights_is_one_of_masses(spoil, head):
    boat = hc.read_boat(
        spoil(
            LEDGER,
            "mass_kg",
            head,
        )
    )
    assert float(boat.weight("first plan").mass) == pytest.approx(1943)


@pytest.mark.parametrize(
    ("file", "old", "new", "words"),
    [
        (LEDGER, r"\Apkg,act,item,", "pkg,act,item,colour,", "the head names 14 columns, and every row has 13 cells"),
        (TANKS, r"\Atank,use,", "tank,use,colour,", "every row has 13 cells"),
        (MARKS, r"(?m)^(transom notch,.*)$", r"\1,more", "the row has 9 cells where the head has 8"),
        (LEDGER, r"5 fuel,add,new fuel tank", "5 fuel,,new fuel tank", "act"),
    ],
)
def test_one_slip_of_a_row_or_head_brings_no_others_in_its_wake(spoil, file, old, new, words):
    with pytest.raises(hc.InputError, match=words) as caught:
        hc.read_boat(spoil(file, old, new))
    assert len([p for p in caught.value.problems if p.level == "mend"]) == 1, str(caught.value)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (r"density_kg_m3 = 1025 .*\n", "sea water of 1025 kg/m3 was used"),
        (r"loft = .*\n", '"smooth" lines through the stations were used'),
        (r"tcg_m = .*\n", "taken to balance on the centreline"),
        (r"mark_mm = .*\n", "the heights of marks were taken as exact"),
        (r"hull_mm = .*\n", "the hull's shape was taken as exact"),
    ],
)
def test_what_is_used_where_nothing_is_said_is_said(spoil, line, words):
    (remark,) = hc.read_boat(spoil(TOML, line, "")).remarks
    assert words in remark.expected and remark.mend.startswith("If that is so, write ")
