"""Part files: every kind reads, all problems of a file come at once, and each says what to write."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.part_files import read_part
from hullcalc.errors import InputError

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
PARTS = DEMO / "parts"


@pytest.fixture
def write(tmp_path):
    """write(text) → the path of a part file with that text."""

    def once(text: str) -> Path:
        path = tmp_path / "thing.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return once


def spoiled(name: str, *pairs: tuple[str, str]) -> str:
    """A part file of the demonstration boat with some texts replaced."""
    text = (PARTS / name).read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text, f"{name} no longer holds {old!r}"
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize("path", sorted(PARTS.glob("*.toml")), ids=lambda path: path.stem)
def test_parts_of_the_demonstration_boat_read(path):
    read = read_part(path)
    item = read.part.item
    assert not read.remarks
    assert float(item.mass) > 0 and float(item.u_mass) > 0
    assert sum(float(one.item.mass) for one in read.part.lines) == pytest.approx(float(item.mass), rel=1e-12)
    assert all(one.how for one in read.part.lines)


@pytest.mark.parametrize(
    ("file", "names", "most"),
    [("engine", ("250 hp four-stroke outboard dry XL leg", "engine oil and gear oil", "stainless propeller",
                 "rigging tube harness fuel hose filter"), 0.03),
     ("bracket", ("bracket single 0.76 m setback with platform",), 0.08),
     ("fuel-tank", ("new fuel tank 416 L aluminium 4 mm",), 0.10),
     ("livewell", ("leaning post with 150 L livewell empty",), 0.05),
     ("t-top", ("hard T-top with electronics box",), 0.10)],
)  # fmt: skip
def test_reckoned_parts_lie_near_the_ledgers_typed_masses(file, names, most):
    # The ledger's figures are typed from sheets; the parts are reckoned from sizes: within the basis's 8 % or so.
    things = {row.item: row.new.item for row in hc.read_boat(DEMO).ledger.rows if row.action == "add"}
    part = read_part(PARTS / f"{file}.toml").part
    typed = sum(float(things[name].mass) for name in names)
    assert float(part.item.mass) == pytest.approx(typed, rel=most)
    at = sum(things[name].moment for name in names) / typed
    assert part.item.centre[0] == pytest.approx(at[0], abs=0.05 if file != "fuel-tank" else 0.6)  # she moved it


def test_bodies_are_those_of_the_demonstration_boat():
    boat = hc.read_boat(DEMO)
    pods = [pod.solid for pod in boat.solids if pod.name == "bracket pod"]
    for file, pod in zip(("bracket", "bracket-short"), pods, strict=True):
        body = read_part(PARTS / f"{file}.toml").part.body
        assert_allclose(body.bounds, pod.bounds, atol=1e-3)
        assert body.volume == pytest.approx(pod.volume, rel=5e-3)
    tank, well = read_part(PARTS / "fuel-tank.toml").part, read_part(PARTS / "livewell.toml").part
    (moved,) = [t.solid for t in boat.tanks if t.name == "fuel tank new" and t.solid.bounds[0, 0] > 1.2]
    (post,) = [t.solid for t in boat.tanks if t.name == "livewell new"]
    assert_allclose(tank.holds.bounds, moved.bounds, atol=1e-9)
    assert_allclose(well.holds.bounds, post.bounds, atol=1e-9)


def test_all_problems_of_a_file_at_once(write):
    text = spoiled("engine.toml", ("power_hp = 250", "power_hp = 0"), ('leg = "XL"', 'leg = "XXXL"'),
                   ("setback_m = 0.76", "setback_m = 7.6"), ('includes = ["dry"]', ""),
                   ("propeller_mass_kg = 8", "propeler_mass_kg = 8"))  # fmt: skip
    with pytest.raises(InputError) as caught:
        read_part(write(text))
    said = str(caught.value)
    for words in ("power_hp", "must be more than zero", "leg: read 'XXXL', expected one of: S, L, XL, XXL",
                  "setback_m: read '7.6', expected at least 0 m and at most 1.5 m", "the mass includes is not said",
                  "propeler_mass_kg"):  # fmt: skip
        assert words in said
    assert len(caught.value.problems) == 5 and said.splitlines()[-1].startswith("5 to mend")


@pytest.mark.parametrize(
    ("file", "old", "new", "words"),
    [("engine", "mass_kg = 255", "mass_kg = 2550", r"2550 kg is 10 x what .* Missing decimal point\? Type 255"),
     ("engine", 'includes = ["dry"]', 'includes = ["wet"]', "includes: 'wet' is not known"),
     ("engine", 'kind = "engine"', 'kind = "engin"', 'Did you mean "engine"'),
     ("engine", 'kind = "engine"', "", "kind is missing"),
     ("bracket", "depth_m = 0.44", "depth_m = 44", "depth_m: read '44', expected at most 3 m"),
     ("bracket", "[pod] ", "pod_litres = 144\n[pood] ", "litres alone do not say where they lift"),
     ("bracket", 'material = "aluminium 5083"', 'material = "aluminum 5083"', "did you mean: aluminium 5083"),
     ("bracket", "length_m = 0.56", "length_m = -0.56", "plate 1\\] length_m: read '-0.56', must be more than zero"),
     ("bracket", 'what = "bracket hatch"\nx_m = -0.55', 'what = "bracket hatch"', r"\[opening 1\] x: x is missing"),
     ("fuel-tank", 'measured = "inside"', "", "measured is missing"),
     ("fuel-tank", 'shape = "box"', 'shape = "wedge"', "height_forward is missing"),
     ("fuel-tank", 'shape = "box"', 'shape = "box"\ndeadrise_deg = 20', 'Write shape = "V bottom"'),
     ("fuel-tank", "height_m = 0.271", 'height = "271"', "expected a length with its unit"),
     ("fuel-tank", "nautical_miles = 175", "nautical_miles = 0", r"\[wish\] nautical_miles: read '0', must be more"),
     ("livewell", "standpipe_m = 0.42", "", "standpipe is missing"),
     ("livewell", "standpipe_m = 0.42", "standpipe_m = 0.52", "lies outside the well"),
     ("livewell", 'shape = "box"', 'shape = "cylinder"', "a cylinder has a diameter alone"),
     ("livewell", "wall_mass_per_area_kg_m2 = 9", "", "mass is missing"),
     ("t-top", "diameter_in = 2.0", "diameter_in = 2.0\ndiameter_mm = 51", "diameter is given twice"),
     ("t-top", "bend_radius_m = 0.20", "bend_radius_m = 1.9", r"\[tube 5\] points: .* too near for bends"),
     ("t-top", 'made_of = "hardtop cored"', 'made_of = "hardtop corded"', "did you mean: hardtop cored"),
     ("t-top", "[2.30, 0.55, 0.55]", "[2.30, 0.55]", "expected x, y and z in metres"),
     ("t-top", "mass_kg = 19", "mass_kg = 1900", r"\[gear 1\] mass_kg: read '1900', expected at most 500 kg")],
)  # fmt: skip
def test_slips_and_their_mends(write, file, old, new, words):
    with pytest.raises(InputError, match=f"(?is){words}"):
        read_part(write(spoiled(f"{file}.toml", (old, new))))


def test_a_bracket_without_a_pod_is_said_and_taken_as_open(write):
    bare = 'kind = "bracket"\nname = "b"\nmass_kg = 40\nx_m = -0.4\nz_m = 0.5\n'
    read = read_part(write(bare))
    assert read.part.body is None
    (remark,) = read.remarks
    assert "taken as 0 L (open bracket)" in str(remark) and "pod_litres = 0" in remark.mend
    assert not read_part(write(bare + "pod_litres = 0\n")).remarks  # it is known to be open


def test_defaults_are_said(write):
    read = read_part(write(spoiled("fuel-tank.toml", ("fuel_density_kg_m3 = 740", ""))))
    assert any("gasoline of 740 kg/m3 was used" in str(remark) for remark in read.remarks)
    read = read_part(write(spoiled("livewell.toml", ("water_density_kg_m3 = 1025", ""))))
    assert any("sea water of 1025 kg/m3 was used" in str(remark) for remark in read.remarks)
    read = read_part(write(spoiled("engine.toml", ("setback_m = 0.76", ""))))
    assert any("taken as 0, the engine hangs on the transom" in str(remark) for remark in read.remarks)


def test_inches_and_pounds_read_alike(write):
    metric = read_part(PARTS / "fuel-tank.toml").part
    us = read_part(write(spoiled("fuel-tank.toml", ("length_m = 2.10", 'length = "82.67716535 in"'),
                                 ("wall_mm = 4", "wall_in = 0.15748031")))).part  # fmt: skip
    assert us.holds.volume == pytest.approx(metric.holds.volume, rel=1e-8)
    assert float(us.item.mass) == pytest.approx(float(metric.item.mass), rel=1e-6)


def test_a_jack_plate_and_a_polyethylene_tank(write):
    plate = 'kind = "jack plate"\nname = "j"\ntype = "manual"\nsetback_mm = 150\nx_m = -0.25\nz_m = 0.6\n'
    jack = read_part(write(plate))
    assert jack.part.body is None and float(jack.part.item.mass) == pytest.approx(14)
    text = spoiled("fuel-tank.toml", ('material = "aluminium 5052"', 'material = "polyethylene"'),
                   ("wall_mm = 4", "wall_mm = 6"), ("baffles = 3", ""))  # fmt: skip
    plastic = read_part(write(text)).part
    area = 2 * (2.10 * 0.73 + 2.10 * 0.271 + 0.73 * 0.271)
    assert float(plastic.item.mass) == pytest.approx(area * 0.006 * 945 * 1.05, rel=1e-9)


def test_a_file_that_is_none(write, tmp_path):
    with pytest.raises(InputError, match="there is no such file"):
        read_part(tmp_path / "nothing.toml")
    with pytest.raises(InputError, match="cannot be read as name = value"):
        read_part(write("kind = engine\n"))
    with pytest.raises(InputError, match="nan or inf"):
        read_part(write('kind = "engine"\nmass_kg = nan\n'))


def test_corners_make_a_pod(write):
    (pod,) = [p.solid for p in hc.read_boat(DEMO).solids if p.name == "bracket pod" and p.solid.volume > 0.12]
    head = 'kind = "bracket"\nname = "b"\nmass_kg = 52\nx_m = -0.55\nz_m = 0.5\nu_volume_l = 10\n'
    body = read_part(write(f"{head}[pod]\ncorners = {pod.vertices.tolist()}\n")).part.body
    assert body.volume == pytest.approx(pod.volume, rel=1e-12)
    assert_allclose(np.sort(body.vertices, axis=0), np.sort(pod.vertices, axis=0))
    with pytest.raises(InputError, match="expected four or more corners"):
        read_part(write(f"{head}[pod]\ncorners = [[0, 0, 0]]\n"))
    with pytest.raises(InputError, match="enclose nothing"):
        read_part(write(f"{head}[pod]\ncorners = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]\n"))
