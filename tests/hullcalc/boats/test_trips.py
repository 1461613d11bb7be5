"""Trips: what a file says, who is aboard along them, and what is wrong with one said all at once."""

from __future__ import annotations

import pytest
from shoe_box import write_box

import hullcalc as hc
from hullcalc.boats.trips import Step, replay
from hullcalc.weights.items import item

HEAD = "step,nm,hours,burn_per_nm_l,burn_per_hour_l,fuel_percent,aboard,ashore,moves,changes\n"


@pytest.fixture
def trip(tmp_path):
    """trip(rows) -> the box boat read with one trip, "day", of these rows (without the head)."""

    def read(rows, head=HEAD):
        folder = write_box(tmp_path / "box")
        (folder / "trips").mkdir(exist_ok=True)
        (folder / "trips" / "day.csv").write_text(head + rows, encoding="utf-8")
        return hc.read_boat(folder)

    return read


def refused(trip, rows, **how):
    with pytest.raises(hc.InputError) as raised:
        trip(rows, **how)
    return raised.value.problems


def test_fuel_of_a_row_by_the_mile_by_the_hour_or_as_boat_toml_says(trip):
    # by hand: 10 nm at 1.5 L; 10 nm at 2 L; 3 h at 6 L; 3 h at 4 L; 8 nm in 2 h at 10 L an hour; engine off
    steps = (
        trip("a,10,,,,,,,,\nb,10,,2,,,,,,\nc,,3,,,,,,,\nd,,3,,4,,,,,\ne,8,2,,10,,,,,\nf,,1,,0,,,,,\ng,,,,,,,,,\n")
        .trips["day"]
        .steps
    )
    assert [round(1000 * step.burnt, 9) for step in steps] == [15, 20, 18, 12, 20, 0, 0]
    assert [step.timed for step in steps] == [False, False, True, True, True, True, True]


def test_fuel_in_gallons(trip):
    # 2 US gal of 231 cubic inches a mile (NIST SP 811, app. B: 3.785412 L)
    head = HEAD.replace("burn_per_nm_l", "burn_per_nm [US gal]")
    (step,) = trip("a,10,,2,,,,,,\n", head=head).trips["day"].steps
    assert step.burnt == pytest.approx(20 * 3.785411784e-3, rel=1e-12)


def test_who_is_aboard_along_the_day(trip):
    boat = trip(
        "off,,,,,95,owner + guest,,,\nfish,,2,,0,,,,owner to guest + guest to owner,\n"
        "catch,,1,,0,,,,,owner 20 kg + guest -30 kg\nland,,,,,,,guest,,\n"
    )
    scenes, slips = replay(boat.trips["day"].steps, boat.people, boat.conditions)
    assert not slips
    assert [scene.start for scene in scenes] == [
        {"owner": 80, "guest": 80}, {"guest": 80, "owner": 80}, {"guest": 80, "owner": 80}, {"owner": 100},
    ]  # fmt: skip
    assert scenes[2].end == {"guest": 50, "owner": 100}


def test_a_mover_takes_its_own_weight_along():
    people = {"child": thing("child", 40), "place": thing("place", 85)}
    steps = [Step("on", aboard=("child",)), Step("move", moves=(("child", "place"),))]
    scenes, slips = replay(steps, people, {})
    assert not slips and scenes[1].start == {"place": 40}


def thing(name, mass):
    return item(name, mass, (1.0, 0.0, 1.0), "estimated")


def test_all_that_is_wrong_is_said_at_once_with_row_and_mend(trip):
    problems = refused(
        trip,
        "off,,,,,120,owner + ownr,,,\nrun,20,,0,,,,,,\nstay,,-1,,,,,,,\nboth,1,1,1,1,,,,,\nhourless,,,,3,,,,,\n"
        "moved,,,,,,,nobody,guest to owner,owner 20\n",
    )
    said = [str(p) for p in problems if p.level == "mend"]
    for words in (
        "day.csv row 2 fuel_percent: read '120', expected",
        "day.csv row 2 aboard: read 'ownr', no person or store is called so. Did you mean owner?",
        "day.csv row 3 burn_per_nm_l: read '0', 20 nm on no fuel",
        "day.csv row 4 hours: read '-1'",
        "day.csv row 5 burn_per_hour_l: read '1', the fuel of this row is given by the mile and by the hour",
        "day.csv row 6 burn_per_hour_l: read '3', fuel by the hour needs the hours",
        "day.csv row 7 ashore: nobody is not aboard then",
        "day.csv row 7 moves: read 'guest to owner', guest is not aboard then",
        "day.csv row 7 changes: read 'owner 20'",
    ):
        assert any(words in one for one in said), (words, said)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("", "the table has a head and no rows"),
        ("off,,,,,,owner,,,\noff again,,,,,,owner,,,\n", "owner is aboard already"),
        ("off,,,,,,owner,,,\nm,,,,,,,,owner,\n", "expected who moves to whose place"),
        ("off,,,,,,owner + guest,,,\nm,,,,,,,,owner to guest,\n", "somebody stands in the place of guest already"),
        ("off,,,,,,owner,,,\nm,,,,,,,,owner to chair,\n", "no place is called 'chair'"),
        ("off,,,,,,owner,,,\nm,,,,,,,,,owner -90 kg\n", "80 kg of owner are aboard then"),
        ("off,,,,,,owner,,,\nm,,,,,,,,,guest -1 kg\n", "guest is not aboard then"),
    ],
)
def test_one_slip_one_message(trip, rows, words):
    (problem,) = [p for p in refused(trip, rows) if p.level == "mend"]
    assert words in str(problem) and problem.file == "day.csv" and problem.mend


def test_a_condition_belongs_to_the_first_row_and_a_tank_to_the_boat(trip):
    head = "step,condition,nm,burn_from\n"
    said = [str(p) for p in refused(trip, "off,famly,,\nrun,family,5,tnk\n", head=head) if p.level == "mend"]
    assert any("row 2 condition: read 'famly', no condition is called so. Did you mean family?" in one for one in said)
    assert any("row 3 condition: read 'family', only the first row" in one for one in said)
    assert any("row 3 burn_from: read 'tnk', no tank is called so. There are: tank" in one for one in said)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("per_nm_l = 1.5", "per_nm_l = 0", "she burns something: expected a positive figure"),
        ("per_nm_l = 1.5", "per_nm_l = -1.5", "she burns something"),
        ("per_nm_l = 1.5", "unusable_l = -3", "expected zero or more"),
        ("per_nm_l = 1.5", "head_sea = 0.5", "over that of a calm one, 1 to 5"),
        ("per_nm_l = 1.5", 'per_nm_l = "much"', "per_nm_l"),
    ],
)
def test_a_burn_that_cannot_be(tmp_path, old, new, words):
    folder = write_box(tmp_path / "box")
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    (folder / "boat.toml").write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(hc.InputError) as raised:
        hc.read_boat(folder)
    (problem,) = [p for p in raised.value.problems if p.level == "mend"]
    assert words in str(problem) and "[burn]" in problem.where


def test_a_boat_without_a_burn_still_reads_and_is_told(tmp_path):
    folder = write_box(tmp_path / "box")
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    (folder / "boat.toml").write_text(text[: text.index("[burn]")], encoding="utf-8")
    (folder / "trips").mkdir()
    (folder / "trips" / "day.csv").write_text(HEAD + "off,,,,,95,,,,\nrun,9,,,,,,,,\n", encoding="utf-8")
    boat = hc.read_boat(folder)
    (look,) = [p for p in boat.remarks if "what she burns a mile" in p.expected]
    assert look.row == 3 and "per_nm_l = 1.5" in look.mend
