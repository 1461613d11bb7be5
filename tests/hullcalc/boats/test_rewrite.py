"""Cells are changed, all else stays byte for byte, and a failure leaves the old file."""

import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcalc.boats.rewrite import update_cells
from hullcalc.boats.tables import Column, read_table
from hullcalc.errors import InputError, Problems

FILE = (
    '# weighed in spring, "hoist\r\n'
    "\r\n"
    "item,mass_kg, x_m ,note,colour\r\n"
    'anchor,24,5.95,"two lines\r\nof text",red\r\n'
    "# batteries next,,,,\r\n"
    "battery , 35,0.36,, \r\n"
    ",,,,\r\n"
    "pump,2,0.25,,blue"
)


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "ledger.csv"
    path.write_bytes(FILE.encode())
    return path


def test_only_the_row_of_the_cell_changes(path):
    update_cells(path, {(6, "mass"): "36.5", (6, "note"): 'hoist, "new" cell'})
    expected = FILE.replace("battery , 35,0.36,, ", 'battery ,36.5,0.36,"hoist, ""new"" cell",')
    assert path.read_bytes() == expected.encode()
    update_cells(path, {(8, "x_m"): "0.30"})  # the last line has no end
    assert path.read_bytes().endswith(b"\r\npump,2,0.30,,blue")


def test_a_cell_of_two_lines_keeps_them(path):
    update_cells(path, {(4, "mass_kg"): "25", (8, "mass_kg"): "3"})
    text = path.read_bytes().decode()
    assert text == FILE.replace("anchor,24", "anchor,25").replace("pump,2", "pump,3")


def test_nothing_to_change_writes_the_same_bytes(path):
    update_cells(path, {(4, "mass_kg"): "24"})
    assert path.read_bytes() == FILE.encode()
    update_cells(path, {})
    assert path.read_bytes() == FILE.encode()


@pytest.mark.parametrize(
    ("content", "text", "expected"),
    [
        (b"\xef\xbb\xbfitem;mass_kg\na;12,5\n", "13.25", b"\xef\xbb\xbfitem;mass_kg\na;13,25\n"),
        (b"item;mass_kg\na;12,5\n", "13.25 lb", b"item;mass_kg\na;13,25 lb\n"),
        (b"item\tmass_kg\ra\t12.5\r", "13.25", b"item\tmass_kg\ra\t13.25\r"),
        ("item\tmass_kg\r\nå\t1\r\n".encode("utf-16"), "2", "item\tmass_kg\r\nå\t2\r\n".encode("utf-16")),
    ],
)
def test_separator_mark_line_ends_and_encoding_stay(tmp_path, content, text, expected):
    path = tmp_path / "ledger.csv"
    path.write_bytes(content)
    update_cells(path, {(2, "mass_kg"): text})
    assert path.read_bytes() == expected


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({(5, "mass_kg"): "1"}, "row 5 holds no cells"),  # a remark
        ({(3, "mass_kg"): "1"}, "row 3 holds no cells"),  # the head
        ({(99, "mass_kg"): "1"}, "row 99 .* 4 to 8"),
        ({(4, "length"): "1"}, "no column 'length'.*item, mass_kg, x_m, note, colour"),
        ({(4, "mass_kg"): "25", (4, "nothing"): "1"}, "no column"),
        ({(4, "item"): "#1 anchor"}, "into a remark"),
    ],
)
def test_refused_with_nothing_written(path, changes, words):
    with pytest.raises(InputError, match=words):
        update_cells(path, changes)
    assert path.read_bytes() == FILE.encode()
    assert os.listdir(path.parent) == ["ledger.csv"]


def test_short_rows_twin_columns_and_damaged_files_are_refused(tmp_path):
    path = tmp_path / "ledger.csv"
    path.write_bytes(b"item,mass_kg,mass_lb\na,1\n")
    with pytest.raises(InputError, match="more than one column 'mass'"):
        update_cells(path, {(2, "mass"): "1"})
    with pytest.raises(InputError, match="row ends before"):
        update_cells(path, {(2, "mass_lb"): "1"})
    for content in (b"item,mass_kg\nk\xf6nig,1\n", b'item,mass_kg\n"a,1\n', b""):
        path.write_bytes(content)
        with pytest.raises(InputError, match=r"ledger\.csv"):
            update_cells(path, {(2, "mass_kg"): "2"})
        assert path.read_bytes() == content
    with pytest.raises(InputError, match="no such file"):
        update_cells(tmp_path / "none.csv", {(2, "mass_kg"): "2"})


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failure_while_writing_leaves_the_old_file_and_no_other(path, monkeypatch, step):
    def fail(*_):
        raise OSError("disk full")

    monkeypatch.setattr(os, step, fail)
    with pytest.raises(OSError, match="disk full"):
        update_cells(path, {(4, "mass_kg"): "25"})
    monkeypatch.undo()
    assert path.read_bytes() == FILE.encode()
    assert os.listdir(path.parent) == ["ledger.csv"]


@pytest.mark.skipif(os.name == "nt", reason="links and modes of Unix")
def test_links_and_modes_stay(path, tmp_path):
    path.chmod(0o640)
    link = tmp_path / "link.csv"
    link.symlink_to(path)
    update_cells(link, {(4, "mass_kg"): "25"})
    assert link.is_symlink() and "anchor,25" in path.read_text()
    assert path.stat().st_mode & 0o777 == 0o640


@settings(deadline=None, derandomize=True, database=None, max_examples=150)
@given(
    st.lists(
        st.text(st.characters(exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"]), max_size=8), min_size=3, max_size=3
    ),
    st.sampled_from([",", ";", "\t"]),
)
def test_what_is_written_is_read_back(tmp_path_factory, texts, delimiter):
    # Texts without spaces at their ends and without what a reader must refuse; any mark or letter else.
    texts = ["a" + text for text in texts]
    path = tmp_path_factory.mktemp("back") / "ledger.csv"
    path.write_text(f"item{delimiter}note{delimiter}more\n1{delimiter}2{delimiter}3\n# end\n", encoding="utf-8")
    update_cells(path, dict(zip([(2, "item"), (2, "note"), (2, "more")], texts, strict=True)))
    problems = Problems()
    table = read_table(path, [Column("item"), Column("note"), Column("more")], problems)
    assert problems == []
    assert [table.rows[0][name] for name in ("item", "note", "more")] == texts
    assert path.read_text(encoding="utf-8").endswith("\n# end\n")
