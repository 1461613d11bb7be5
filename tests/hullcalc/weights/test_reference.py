"""Reference tables: found by name, every row with its source, figures as figures; near names where one is unknown."""

import importlib.metadata
import tomllib
from pathlib import Path

import pytest

from hullcalc.errors import InputError
from hullcalc.weights import reference
from hullcalc.weights.reference import STATUSES, figure, folder, look_up, reference_table

ROOT = Path(__file__).resolve().parents[3]
TABLES = sorted(path.stem for path in folder().glob("*.csv"))


@pytest.mark.parametrize("name", TABLES)
def test_every_row_says_where_it_comes_from_and_its_bounds_are_in_order(name):
    for row in reference_table(name):
        assert row["source"] and row["status"] in STATUSES
        for column in row:
            if column.startswith("low_"):
                unit = column.removeprefix("low_")
                between = figure(row, f"likely_{unit}") if f"likely_{unit}" in row else figure(row, column)
                assert 0 < figure(row, column) <= between <= figure(row, f"high_{unit}")


def test_keys_are_compared_as_people_write_them():
    assert look_up("batteries", group="4d", kind="agm") == look_up("batteries", group="4D", kind="AGM")
    assert look_up("plies", ply="woven-roving", process="Hand")["glass_fraction"] == 0.5
    assert look_up("cables", section_mm2=50)["wall_mm"] == 1.4


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"group": "31", "kind": "AGN"}, "no kind 'AGN'; did you mean: AGM"),
        ({"group": "31"}, "3 rows have group '31'; say which, kind: flooded, AGM, LFP"),
        ({"case": "31"}, "there is no column 'case'; the columns are: group, height_in, high_kg, kind"),
        ({"group": "xyz"}, "no group 'xyz'; there are: 24, 27, 31, 34M, GC2, 4D, 8D"),
        ({"group": 31.0}, "no group 31.0; did you mean: 31"),
    ],
)
def test_unknown_keys_give_the_near_names(keys, words):
    with pytest.raises(InputError, match=words):
        look_up("batteries", **keys)


def test_unknown_tables_and_missing_figures():
    with pytest.raises(InputError, match="no reference table 'batery'; did you mean: batteries"):
        reference_table("batery")
    with pytest.raises(InputError, match="has no figure 'mass_lb'"):
        figure({"mass_kg": 3.0}, "mass_lb")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wood,low_kg_m3,source\noak,700,me\n", "expected columns source and status"),
        ("wood,low_kg_m3,source,status\noak,700,,seen\n", "spoiled.csv row 2: source is empty"),
        ("wood,low_kg_m3,source,status\noak,700,me,read\n", "row 2: status 'read'; write one of: seen, from memory"),
        ("wood,low_kg_m3,source,status\noak,nan,me,seen\n", "row 2 low_kg_m3: read 'nan', expected a finite number"),
        ("wood,low_kg_m3,source,status\noak,7 00,me,seen\n", "row 2 low_kg_m3: read '7 00', expected a finite number"),
        ("wood,low_kg_m3,source,status\noak,700,me, too,seen\n", "row 2: 5 cells, expected 4; quote a text"),
        ("wood,low_kg_m3,source,status\n", "there are no rows"),
    ],
)
def test_a_spoiled_table_is_told(tmp_path, monkeypatch, text, words):
    (tmp_path / "spoiled.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(reference, "folder", lambda: tmp_path)
    reference_table.cache_clear()
    with pytest.raises(InputError, match=words):
        reference_table("spoiled")
    reference_table.cache_clear()


def test_empty_cells_are_empty_texts_and_no_figures(tmp_path, monkeypatch):
    (tmp_path / "half.csv").write_text("wood,note,low_kg,source,status\noak,,,me,seen\n", encoding="utf-8")
    monkeypatch.setattr(reference, "folder", lambda: tmp_path)
    reference_table.cache_clear()
    assert dict(reference_table("half")[0]) == {"wood": "oak", "note": "", "source": "me", "status": "seen"}
    reference_table.cache_clear()


def test_the_tables_go_with_the_package():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    patterns = project["tool"]["setuptools"]["data-files"]["share/hullcalc/reference"]
    packed = {path.stem for pattern in patterns for path in ROOT.glob(pattern)}
    assert packed == set(TABLES) and len(packed) > 10


def test_an_installed_copy_finds_them_in_its_data(tmp_path, monkeypatch):
    # as pip lists them: relative to site-packages, up to the prefix
    site = tmp_path / "lib" / "python3" / "site-packages"
    shared = tmp_path / "share" / "hullcalc" / "reference"
    shared.mkdir(parents=True)
    site.mkdir(parents=True)
    (shared / "woods.csv").write_text("wood,source,status\noak,me,seen\n", encoding="utf-8")
    listed = importlib.metadata.PackagePath("../../../share/hullcalc/reference/woods.csv")
    listed.dist = importlib.metadata.PathDistribution(site / "hullcalc.dist-info")
    monkeypatch.setattr(reference, "__file__", str(site / "hullcalc" / "weights" / "reference.py"))
    monkeypatch.setattr(importlib.metadata, "files", lambda name: [listed])
    assert reference.folder() == shared.resolve()
    monkeypatch.setattr(importlib.metadata, "files", lambda name: None)
    with pytest.raises(InputError, match="the reference tables are not there; install hullcalc again"):
        reference.folder()
