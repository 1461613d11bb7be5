"""Parts written into a folder: they come out as they went in, tables stay their owner's, a refusal writes nothing."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.add_part import add_part
from hullcalc.boats.part_files import read_part
from hullcalc.errors import InputError
from hullcalc.weights.parts.fuel_tank import box_tank, fuel_tank, shell_lines, v_tank

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
LOCKER = "11 aft locker"


@pytest.fixture
def folder(tmp_path):
    made = Path(shutil.copytree(DEMO, tmp_path / "boat"))
    for more in ("moves.csv", "packages.csv", "seats.csv", "trips", "parts"):  # they speak of what is changed here
        path = made / more
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
    return made


def part(file):
    return read_part(DEMO / "parts" / f"{file}.toml").part


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def without(folder, file, start):
    """Take the rows that begin with a text out of a table."""
    lines = (folder / file).read_text(encoding="utf-8").splitlines(keepends=True)
    (folder / file).write_text("".join(line for line in lines if not line.startswith(start)), encoding="utf-8")


@pytest.fixture
def bare(folder):
    """The boat without any bracket and without her refit's plans that need it."""
    without(folder, "ledger.csv", ("3 bracket", "10 bracket"))
    (folder / "solids.csv").unlink()
    without(folder, "marks.csv", "bracket hatch")
    text = (folder / "boat.toml").read_text(encoding="utf-8").replace('"3 bracket", ', "")
    (folder / "boat.toml").write_text(text, encoding="utf-8")
    without(folder, "conditions.csv", ("light, bracket", '"light, bracket', "4 adults full, bracket",
                                       '"4 adults full, bracket'))  # fmt: skip
    return folder


def test_a_top_comes_out_as_it_went_in(folder):
    top = replace(part("t-top"), name="second top aft")
    before = hc.read_boat(folder)
    written = add_part(folder, LOCKER, top)
    assert written.rows == {"ledger.csv": 1}
    boat = hc.read_boat(folder)
    item = top.item
    added = boat.weight((LOCKER,)).mass - before.weight(()).mass
    assert float(added) == pytest.approx(float(item.mass), rel=1e-3)
    (row,) = [r for r in boat.ledger.rows if r.item == "second top aft"]
    assert row.package == LOCKER and row.new.item.basis == "calculated"
    assert_allclose(row.new.place, item.centre, atol=1e-3)
    assert float(row.new.item.u_mass) == pytest.approx(float(item.u_mass), rel=5e-3)
    assert_allclose(row.new.item.u_centre, item.u_centre, rtol=0.05, atol=1e-3)


def test_the_tables_stay_their_owners(folder):
    path = folder / "ledger.csv"
    path.write_bytes(b"# my own remark\r\n" + path.read_bytes().replace(b"\n", b"\r\n"))
    before = path.read_bytes().splitlines()
    add_part(folder, LOCKER, replace(part("t-top"), name="second top aft"))
    after = path.read_bytes().splitlines()
    assert len(after) == len(before) + 1 and path.read_bytes().count(b"\r\n") == len(after)
    assert after[0] == before[0]
    assert all(new.startswith(old) for old, new in zip(before, after[:-1], strict=True))  # empty cells came behind


def test_a_bracket_brings_its_pod_and_its_hatch(bare):
    bracket = part("bracket")
    written = add_part(bare, "3 bracket", bracket)
    assert written.rows == {"ledger.csv": 1, "marks.csv": 1, "solids.csv": 8}
    boat = hc.read_boat(bare)
    (pod,) = boat.solids
    assert pod.solid.volume == pytest.approx(bracket.body.volume, rel=1e-3)
    assert pod.openings == ("bracket hatch",) and pod.u_volume == pytest.approx(0.010)
    assert_allclose(boat.marks["bracket hatch"].point, [-0.55, 0, 0.58])
    # she floats as with the row and the body by hand: by the exact stiffness the pod's lift less its weight
    light, with_it = (boat.float(on, "light", shut=True) for on in ((), ("3 bracket",)))
    assert with_it.mass - light.mass == pytest.approx(float(bracket.item.mass), abs=0.01)
    assert with_it.volume > light.volume


def test_a_tank_and_a_well_bring_their_boxes(folder):
    tank = replace(part("fuel-tank"), name="second tank")
    box = box_tank(0.5, 0.5, 0.2, (4.3, 0.0, 0.35))
    bow = fuel_tank("tank under the bow", box, "inside", 0.004, shell_lines("tank under the bow", box, 0.004, 2680.0))
    shape = v_tank(0.6, 0.5, 0.3, 0.3, (4.4, 0.0, 0.4))
    odd = fuel_tank("odd tank", shape, "inside", 0.004, shell_lines("odd tank", shape, 0.004, 2680.0))
    before = files(folder)
    with pytest.raises(InputError, match=r"tanks.csv holds boxes, and this room is none: .* L in a box of"):
        add_part(folder, LOCKER, odd)
    with pytest.raises(InputError, match=r"share 415 L\. Two bodies cannot stand in one place"):
        add_part(folder, LOCKER, tank)
    assert files(folder) == before
    written = add_part(folder, LOCKER, bow)
    assert written.rows == {"ledger.csv": 1, "tanks.csv": 1}
    (made,) = [t for t in hc.read_boat(folder).tanks if t.name == "tank under the bow"]
    assert (made.use, made.density) == ("fuel", 740)
    assert_allclose(made.solid.bounds, bow.holds.bounds, atol=1e-4)


def test_a_livewell_keeps_its_standpipe(folder):
    without(folder, "tanks.csv", "livewell new")
    text = (folder / "conditions.csv").read_text(encoding="utf-8")
    well = replace(part("livewell"), name="well in the post")
    without(folder, "ledger.csv", "6 deck gear,add,leaning post")
    add_part(folder, "6 deck gear", well)
    (made,) = [t for t in hc.read_boat(folder).tanks if t.name == "well in the post"]
    assert_allclose(made.lip, well.lip)
    assert text == (folder / "conditions.csv").read_text(encoding="utf-8")


def test_places_go_into_the_files_own_datum(folder):
    toml = folder / "boat.toml"
    text = toml.read_text(encoding="utf-8").replace('ledger = "transom keel, forward"', 'ledger = "stem, aft"')
    toml.write_text(text, encoding="utf-8")
    lines = (folder / "ledger.csv").read_text(encoding="utf-8").splitlines()
    head = lines[0].split(",")
    at = [head.index(name) for name in ("x_m", "to_x_m")]
    for k, row in enumerate(lines[1:], start=1):
        cells = row.split(",")
        for i in at:
            cells[i] = f"{6.7 - float(cells[i]):.3f}" if cells[i] else ""
        lines[k] = ",".join(cells)
    (folder / "ledger.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    top = replace(part("t-top"), name="second top aft")
    add_part(folder, LOCKER, top)
    last = (folder / "ledger.csv").read_text(encoding="utf-8").splitlines()[-1]
    assert f"{6.7 - top.item.centre[0]:.4f} m" in last
    (row,) = [r for r in hc.read_boat(folder).ledger.rows if r.item == "second top aft"]
    assert_allclose(row.new.place, top.item.centre, atol=1e-3)


def test_decimal_commas_are_kept(folder):
    path = folder / "ledger.csv"
    text = path.read_text(encoding="utf-8").replace(";", ":").replace(",", ";")
    rows = [line.split(";") for line in text.splitlines()]
    for cells in rows[1:]:
        cells[3:] = [cell.replace(".", ",") for cell in cells[3:]]
    path.write_text("\n".join(";".join(cells) for cells in rows) + "\n", encoding="utf-8")
    top = replace(part("t-top"), name="second top aft")
    add_part(folder, LOCKER, top)
    last = path.read_text(encoding="utf-8").splitlines()[-1]
    assert last.startswith(f"{LOCKER};add;second top aft;97,02 kg;2,7706 m;")


@pytest.mark.parametrize(
    ("package", "name", "words"),
    [("", "second top", "the package has no name"), (LOCKER, "hard T-top with electronics box", "adds .* already"),
     ("# x", "second top", "would make the row a remark")],
)  # fmt: skip
def test_refusals_write_nothing(folder, package, name, words):
    before = files(folder)
    with pytest.raises(InputError, match=words):
        add_part(folder, package, replace(part("t-top"), name=name))
    assert files(folder) == before


def test_the_same_engine_twice_is_refused(folder):
    before = files(folder)
    with pytest.raises(InputError, match="both look like the new outboard"):
        add_part(folder, LOCKER, replace(part("engine"), name="250 hp outboard as hung"))
    assert files(folder) == before


def test_a_body_with_a_hollow_is_refused(folder):
    from hullcalc.geometry.makers import prism

    hollow = prism([(-0.9, 0.2), (-0.3, 0.2), (-0.3, 0.5), (-0.6, 0.3), (-0.9, 0.5)], "y", -0.3, 0.3)
    with pytest.raises(InputError, match="holds bodies without hollows"):
        add_part(folder, LOCKER, replace(part("bracket"), name="odd pod", body=hollow, openings={}))
    assert np.isclose(hollow.volume, 0.6 * 0.2 * 0.6, rtol=1e-9)  # 0.3 high at the sides, 0.1 in the middle
