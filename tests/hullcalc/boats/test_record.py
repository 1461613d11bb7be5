"""Weighed masses written into the ledger: the estimate stays, remarks and columns stay, and nothing is half written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import hullcalc as hc
from hullcalc.boats.record import record_weighing

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
ENGINE, BATTERIES = "250 hp four-stroke outboard dry XL leg", "two group-27 flooded batteries"


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(DEMO, tmp_path / "boat"))


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_the_weighed_figure_takes_the_estimates_place(folder):
    before = hc.read_boat(folder)
    assert record_weighing(folder, ENGINE, "279 kg", on="2026-03-02", by="JB", why="hung on the hoist") == (268, 279)
    boat = hc.read_boat(folder)
    assert float(boat.weight("first plan").mass - before.weight("first plan").mass) == pytest.approx(11, abs=1e-9)
    assert boat.tally("first plan").surprise == pytest.approx(11, abs=1e-9)
    (row,) = [r for r in boat.ledger.rows if r.item == ENGINE and r.action == "add"]
    assert float(row.new.estimate.mass) == 268 and row.new.item.basis == "weighed"
    assert row.record == "2026-03-02, JB, hung on the hoist"
    assert float(row.new.item.u_mass) == pytest.approx(0.01 * 279)  # a weighed figure's own uncertainty


def test_the_rest_of_the_ledger_stays_as_its_owner_wrote_it(folder):
    path = folder / "ledger.csv"
    path.write_bytes(b"# my own remark\r\n" + path.read_bytes().replace(b"\n", b"\r\n"))
    old = path.read_bytes().decode().split("\r\n")
    record_weighing(folder, ENGINE, "615 lb")
    new = path.read_bytes().decode().split("\r\n")
    assert new[0] == "# my own remark" and len(new) == len(old)
    assert new[1] == old[1] + ",weighed_kg,weighed_on,weighed_by,weighed_why"
    changed = [(a, b) for a, b in zip(old[2:], new[2:], strict=True) if b not in (a, a + ",,,,")]
    assert [b for _, b in changed] == [a + ",615 lb,,," for a, _ in changed] and len(changed) == 1
    assert {n: c for n, c in files(folder).items() if n != "ledger.csv"} == {
        n: c for n, c in files(DEMO).items() if n != "ledger.csv"
    }


def test_a_second_weighing_adds_no_second_column(folder):
    record_weighing(folder, ENGINE, "279")
    assert record_weighing(folder, ENGINE, "281.5 kg", by="JB") == (279, 281.5)
    assert (folder / "ledger.csv").read_text().splitlines()[0].count("weighed_kg") == 1


def test_a_thing_that_comes_off_is_weighed_too(folder):
    assert record_weighing(folder, BATTERIES, "52 kg") == (47, 52)
    assert float(hc.read_boat(folder).weight("first plan").mass) == pytest.approx(1943 - 5, abs=1e-9)


@pytest.mark.parametrize(
    ("item", "mass", "words"),
    [
        ("250 hp outboard", "279 kg", "did you mean .*250 hp four-stroke"),
        ("piano", "279 kg", "name it as the ledger does"),
        (ENGINE, "279 m", "mass"),
        (ENGINE, "heavy", "number"),
        (ENGINE, "2790 kg", "10 x what a 250 hp outboard weighs"),  # reads with something to mend: refused whole
        (ENGINE, "-279 kg", "-279"),
        (ENGINE, "279,5", "comma"),
    ],
)
def test_what_is_refused_leaves_nothing_written(folder, item, mass, words):
    before = files(folder)
    with pytest.raises(hc.InputError, match=words):
        record_weighing(folder, item, mass)
    assert files(folder) == before
