"""Tables: what spreadsheets write is simply read; what is wrong gives one Problem each, all at once, nothing raised."""

import math
import os
import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcalc.boats.datum import Datum
from hullcalc.boats.sheets import MOST_BYTES, column_letter, shorten
from hullcalc.boats.tables import Column, read_table, read_toml
from hullcalc.errors import LOOK, MEND, InputError, Problems

ACTS = ("remove", "add", "move", "replace")
COLUMNS = (
    Column("item", required=True),
    Column("act", "choice", required=True, choices=ACTS),
    Column("mass", "mass", required=True, low=0.0, high=1000.0),
    Column("x", "x", required=True, low=-3.0, high=8.0),
    Column("y", "y"),
    Column("z", "z"),
    Column("fill", "fraction", low=0.0, high=1.0),
    Column("rake", "angle"),
    Column("count", "number", default=1.0),
    Column("aboard", "list", choices=("helmsman", "mate", "cooler")),
    Column("keep", "flag", default=False),
    Column("capacity", "volume"),
    Column("water", "density"),
    Column("note"),
)


@pytest.fixture
def read(tmp_path):
    """read(text or bytes) -> (table, problems) of a file with that content."""

    def reader(content, columns=COLUMNS, datum=None, required=True, name="ledger.csv"):
        data = content if isinstance(content, bytes) else content.encode()
        (tmp_path / name).write_bytes(data)
        problems = Problems()
        return read_table(tmp_path / name, columns, problems, datum, required), problems

    return reader


GOOD = "item,act,mass_kg,x_m,y_m\nanchor,add,24,5.95,0\nbattery,move,35,0.36,0.50 S\n"


def test_a_plain_table(read):
    table, problems = read(GOOD)
    assert problems == [] and problems.fine == 2
    anchor, battery = table.rows
    assert (anchor.number, battery.number) == (2, 3)
    assert anchor["item"] == "anchor" and anchor["act"] == "add"
    assert (anchor["mass"], anchor["x"], anchor["y"]) == (24.0, 5.95, 0.0)  # zero is a value
    assert battery["y"] == -0.5 and battery.read["y"] == "0.50 S"
    assert anchor["z"] is None and anchor["count"] == 1.0 and anchor["keep"] is False
    assert anchor.units == {"mass": "kg", "x": "m", "y": "m"}
    assert table.heads["mass"] == "mass_kg" and table.has("y") and not table.has("z")


def test_every_kind(read):
    head = "item,act,mass [lb],x (ft),y,z_mm,fill_percent,rake_deg,count,aboard,keep,capacity_us_gal,water_kg_m3,note\n"
    table, problems = read(
        head + "pump,Add,100,-2 1/2,2-6-0 P,120 below,50,14,2,helmsman + mate,yes,10,1025,two; spare\n"
    )
    assert problems == []
    row = table.rows[0]
    assert row["mass"] == pytest.approx(45.359237, rel=1e-15)
    assert row["x"] == pytest.approx(-0.762, rel=1e-15)
    assert row["y"] == pytest.approx(0.762, rel=1e-15)
    assert (row["z"], row["fill"], row["count"], row["keep"], row["water"]) == (-0.12, 0.5, 2.0, True, 1025.0)
    assert row["rake"] == pytest.approx(math.radians(14), rel=1e-15)
    assert row["capacity"] == pytest.approx(10 * 231 * 0.0254**3, rel=1e-15)
    assert row["aboard"] == ("helmsman", "mate") and row["act"] == "add" and row["note"] == "two; spare"
    assert row.units["x"] == "ft" and row.units["mass"] == "lb"


# ---- what spreadsheets write every day


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbf" + GOOD.encode(),
        GOOD.replace("\n", "\r\n").encode(),
        GOOD.replace("\n", "\r").encode(),
        GOOD.rstrip("\n").encode(),
        GOOD.replace(",", ";").encode(),
        GOOD.replace(",", "\t").encode(),
        GOOD.replace(",", ";").replace(".", ",").encode(),
        GOOD.replace(",", "\t").replace(".", ",").replace("\n", "\r\n").encode(),
        GOOD.replace(",", ", ").encode(),
        GOOD.replace("\n", ",,,\n").encode(),
        GOOD.replace("anchor", '"anchor"').encode(),
        (GOOD + ",,,,\n\n\n").encode(),
        b"\xff\xfe" + GOOD.replace(",", "\t").encode("utf-16-le"),
        b"\xfe\xff" + GOOD.encode("utf-16-be"),
        GOOD.replace("mass_kg", "Mass [kg]").replace("x_m", "X (m)").replace("item", " Item ").encode(),
        GOOD.replace("mass_kg", "mass").replace(",24,", ",24 kg,").replace(",35,", ",35kg,").encode(),
        GOOD.replace("mass_kg", "mass_lb").replace(",24,", ",24 kg,").replace(",35,", ",35 kg,").encode(),
    ],
)
def test_simply_read(read, content):
    table, problems = read(content)
    assert problems == []
    assert [(r.number, r["item"], r["mass"], r["x"], r["y"]) for r in table.rows] == [
        (2, "anchor", 24.0, 5.95, 0.0),
        (3, "battery", 35.0, 0.36, -0.5),
    ]


def test_rows_are_counted_as_a_spreadsheet_shows_them(read):
    content = (
        '# weighed in spring, "hoist\n'  # a quotation mark in a remark opens nothing
        "\n"
        "item,act,mass_kg,x_m,note\n"
        "# next: the bow,,,,\n"
        "anchor,add,24,5.95,\n"
        "\n"
        ",,,,\n"
        'battery,add,35,0.36,"two lines\r\n# and no remark"\n'
        '"# remark, in quotes",,,,\n'
        "pump,add,2,0.25,\n"
    )
    table, problems = read(content)
    assert problems == []
    assert [(row.number, row["item"]) for row in table.rows] == [(5, "anchor"), (8, "battery"), (10, "pump")]
    assert table.rows[1]["note"] == "two lines\r\n# and no remark"


def test_a_remark_before_the_head_does_not_choose_the_separator(read):
    _, problems = read('"# a, b, c, d, e, f, g"\n' + GOOD.replace(",", ";"))
    assert problems == []


def test_long_texts_unknown_columns_and_columns_in_any_order(read):
    table, problems = read("colour,mass_kg,x_m,act,item\nred,1,0,add,fender\n")
    (problem,) = problems
    assert problem.level == LOOK and problem.column == "colour" and problem.row == 1
    assert table.rows[0].extra == {"colour": "red"} and table.rows[0]["item"] == "fender"


def test_a_file_the_boat_may_do_without(tmp_path, read):
    problems = Problems()
    assert read_table(tmp_path / "spaces.csv", COLUMNS, problems, required=False) is None
    assert problems == []
    table, problems = read("item,act,mass_kg,x_m\n", required=False)
    assert table.rows == () and [p.level for p in problems] == [LOOK]


def test_a_figure_in_another_files_datum(read):
    table, problems = read(
        "item,act,mass_kg,x_m\nanchor,add,24,0.6\nengine,add,214,7.8\nlamp,add,1,0.6 aft\nsprit,add,1,0.2 fwd\n",
        datum=Datum(6.7, -1, "stem"),
    )
    assert problems == []
    assert [row["x"] for row in table.rows] == pytest.approx([6.1, -1.1, 6.1, 6.9], rel=1e-14)


# ---- what is wrong: one Problem each

HEAD = "item,act,mass_kg,x_m,y_m\n"
WIDE = HEAD.strip()  # for one more column
BAD = [  # name, content, row, column, level, words of the whole message
    ("empty file", "", 1, None, MEND, "empty"),
    ("blank file", "\n \n\t\n", 1, None, MEND, "empty"),
    ("remarks only", "# nothing yet\n#\n", 1, None, MEND, "empty"),
    ("head only", HEAD, 1, None, MEND, "no rows"),
    ("no head", "anchor,add,24,5.95,0\n", 1, None, MEND, "not one of them is known.*item, act, mass_kg"),
    ("prose", "Dear yard, here are the weights you asked for.\nAnchor is 24.\n", 1, None, MEND, "not one of them"),
    ("decimal comma between commas", HEAD + "anchor,add,24,5,95,0\n", 2, None, MEND, "6 cells .* has 5.*12.5"),
    ("too few cells", HEAD + "anchor,add,24\n", 2, None, MEND, "3 cells where the head has 5"),
    ("comma in a text", HEAD + "anchor, chain,add,24,5.95,0\n", 2, None, MEND, "quotation marks"),
    ("column twice", "item,act,mass_kg,mass_lb,x_m\nanchor,add,24,53,5\n", 1, "mass_lb", MEND, "twice, first as"),
    ("column missing", "item,act,x_m\nanchor,add,5\n", 1, "mass", MEND, "missing.*mass_kg"),
    ("column misspelt", "item,act,mas_kg,x_m\nanchor,add,24,5\n", 1, "mas_kg", MEND, "mass is nearly.*mass_kg"),
    ("misspelt but optional", WIDE + ",capasity_l\na,add,1,1,0,5\n", 1, "capasity_l", MEND, "capacity is nearly"),
    ("column unknown", WIDE + ",colour\na,add,1,1,0,red\n", 1, "colour", LOOK, "kept, not used"),
    ("unit of the head unknown", "item,act,mass_stone,x_m\na,add,1,1\n", 1, "mass_stone", MEND, "no unit.*mass_kg"),
    ("unit in brackets unknown", "item,act,mass [st],x_m\na,add,1,1\n", 1, "mass [st]", MEND, "no unit"),
    ("unit of the head of another kind", "item,act,mass_m,x_m\na,add,1,1\n", 1, "mass_m", MEND, "is a length"),
    ("gallons in the head", WIDE + ",capacity_gal\na,add,1,1,0,9\n", 1, "capacity_gal", MEND, "US gal or imp gal"),
    ("no unit anywhere", "item,act,mass,x_m\na,add,24,1\n", 2, "mass", MEND, "with its unit.*column head"),
    ("column without a name", "item,act,,mass_kg,x_m\na,add,7,24,1\n", 2, "column C", MEND, "no name in the head"),
    ("unit of another kind", HEAD + "a,add,12 ft,1,0\n", 2, "mass_kg", MEND, "'12 ft'.*is a length"),
    ("unit unknown", HEAD + "a,add,12 kilogramm,1,0\n", 2, "mass_kg", MEND, "Did you mean kg"),
    ("gallons", WIDE + ",capacity\na,add,1,1,0,110 gal\n", 2, "capacity", MEND, "US gal or imp gal"),
    ("nan", HEAD + "a,add,nan,1,0\n", 2, "mass_kg", MEND, "expected a number"),
    ("inf", HEAD + "a,add,1,-inf,0\n", 2, "x_m", MEND, "number"),
    ("huge", HEAD + "a,add,1e308,1,0\n", 2, "mass_kg", MEND, "small boat"),
    ("overflow", HEAD + "a,add,1e309,1,0\n", 2, "mass_kg", MEND, "ordinary size"),
    ("formula", HEAD + "a,add,=A1*2,1,0\n", 2, "mass_kg", MEND, "formula, not its result"),
    ("formula in a text", HEAD + "=B2&C2,add,1,1,0\n", 2, "item", MEND, "formula, not its result"),
    ("formula in a choice", HEAD + "a,=B2,1,1,0\n", 2, "act", MEND, "formula, not its result"),
    ("error mark", HEAD + "a,add,#REF!,1,0\n", 2, "mass_kg", MEND, "error mark"),
    ("error mark in the first cell", HEAD + "#N/A,add,1,1,0\n", 2, "item", MEND, "error mark"),
    ("error mark of another program", HEAD + "a,add,Err:502,1,0\n", 2, "mass_kg", MEND, "error mark"),
    ("column too narrow", HEAD + "a,add,####,1,0\n", 2, "mass_kg", MEND, "too narrow"),
    ("item like a remark", HEAD + "#3 battery,add,35,1,0\nb,add,1,1,0\n", 2, None, LOOK, "left out"),
    ("required cell empty", HEAD + "a,add,,1,0\n", 2, "mass_kg", MEND, "cell is empty; expected the mass"),
    ("name empty", HEAD + ",add,1,1,0\n", 2, "item", MEND, "cell is empty"),
    ("below the least", HEAD + "a,add,-214,1,0\n", 2, "mass_kg", MEND, "'-214'.*between 0 kg and 1000 kg"),
    ("above the most, in pounds", HEAD + "a,add,2680 lb,1,0\n", 2, "mass_kg", MEND, "'2680 lb'.*0 lb and 2205 lb"),
    ("too far aft", HEAD + "a,add,1,4 aft,0\n", 2, "x_m", MEND, "'4 aft'.*3.00 m aft of the transom"),
    ("too far, in feet", HEAD + "a,add,1,30 ft,0\n", 2, "x_m", MEND, "26 ft 3 in forward of the transom"),
    ("choice unknown", HEAD + "a,remov,1,1,0\n", 2, "act", MEND, 'one of: remove.*Did you mean "remove"'),
    ("choice far off", HEAD + "a,???,1,1,0\n", 2, "act", MEND, "one of: remove, add, move, replace"),
    ("wrong side word", HEAD + "a,add,1,1,0.5 aft\n", 2, "y_m", MEND, "belongs to x"),
    ("sign and word", HEAD + "a,add,1,-0.5 aft,0\n", 2, "x_m", MEND, "not both"),
    ("thousands", HEAD + 'a,add,"1,612",1,0\n', 2, "mass_kg", MEND, "may mean 1612 or 1.612"),
    ("thousands with a space", HEAD + "a,add,1 612,1,0\n", 2, "mass_kg", MEND, "1612"),
    ("quoted decimal comma", HEAD + 'a,add,"12,5",1,0\n', 2, "mass_kg", MEND, "Write 12.5"),
    ("range", HEAD + "a,add,10-12,1,0\n", 2, "mass_kg", MEND, "not a range"),
    ("date", HEAD + "a,add,1,2025-04-03,0\n", 2, "x_m", MEND, "may be a date"),
    ("percent over 100", WIDE + ",fill_percent\na,add,1,1,0,110\n", 2, "fill_percent", MEND, "0 % and 100 %"),
    ("share or percent", WIDE + ",fill\na,add,1,1,0,95\n", 2, "fill", MEND, "95 %"),
    ("a half under percent", WIDE + ",fill_percent\na,add,1,1,0,0.5\n", 2, "fill_percent", LOOK, "read as 0.5 %"),
    ("flag", WIDE + ",keep\na,add,1,1,0,maybe\n", 2, "keep", MEND, "yes or no"),
    ("list item unknown", WIDE + ",aboard\na,add,1,1,0,helmsman + mat\n", 2, "aboard", MEND, 'Did you mean "mate"'),
    ("list item empty", WIDE + ",aboard\na,add,1,1,0,helmsman + \n", 2, "aboard", MEND, "none of them empty"),
    ("unit on a plain number", WIDE + ",count\na,add,1,1,0,3 kg\n", 2, "count", MEND, "without a unit"),
    ("quote left open", HEAD + '"anchor,add,24,5.95,0\n', 2, None, MEND, "quotation mark"),
    ("quote in a quoted text", HEAD + '"a 6" pipe",add,24,5.95,0\n', 2, None, MEND, "quotation mark"),
    ("very long cell", HEAD + f"a,add,{'9' * 5000},1,0\n", 2, "mass_kg", MEND, "expected a mass"),
    ("very long text", HEAD + f"{'a' * 5000},add,1,1,0\n", 2, "item", MEND, "at most 2000 characters"),
    ("enormous cell", HEAD + f"{'a' * 200_000},add,1,1,0\n", 2, None, MEND, "too long"),
    ("Latin-1 degree sign", HEAD.encode() + b"a,add,1,1,0.1\xb0\n", 2, "y_m", MEND, "cannot be read.*UTF-8"),
    ("Latin-1 text", HEAD.encode() + b"k\xf6nig,add,1,1,0\nj\xfcrgen,add,1,1,0\n", 2, "item", MEND, "and 1 more"),
    ("hundreds of columns", "item" + ",more" * 900 + "\n", 1, None, MEND, "at most 200 columns, not 901"),
    ("zeros", b"\0" * 5000, None, None, MEND, "no text"),
    ("binary", bytes(random.Random(1).randbytes(50_000)), None, None, MEND, "no text"),
    ("ten megabytes of noise", bytes(random.Random(2).randbytes(10_000_000)), None, None, MEND, "10.0 MB"),
    ("ten megabytes of letters", b"abc, " * 2_000_000, None, None, MEND, "10.0 MB"),
    ("workbook", b"PK\x03\x04" + b"\x14\x00" * 500, None, None, MEND, "workbook.*CSV"),
    ("old workbook", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 500, None, None, MEND, "workbook"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "row", "column", "level", "words"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_bad_input_gives_one_problem(read, content, row, column, level, words):
    _, problems = read(content)
    assert len(problems) == 1, [str(p) for p in problems]
    (problem,) = problems
    assert problem.file == "ledger.csv"
    assert (problem.row, problem.column, problem.level) == (row, column, level)
    assert re.search(words, str(problem)), str(problem)
    assert problem.expected and problem.mend and len(str(problem)) < 500 and str(problem).isprintable()


def test_missing_file_and_a_folder_in_its_place(tmp_path):
    problems = Problems()
    assert read_table(tmp_path / "marks.csv", COLUMNS, problems) is None
    (tmp_path / "tanks.csv").mkdir()
    assert read_table(tmp_path / "tanks.csv", COLUMNS, problems) is None
    assert [p.file for p in problems] == ["marks.csv", "tanks.csv"]
    assert "no such file" in str(problems[0]) and "cannot be opened" in str(problems[1])
    with pytest.raises(InputError, match="2 to mend, 0 to look at, 0 fine"):
        problems.raise_if_any()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path):
    path = tmp_path / "marks.csv"
    path.write_text(GOOD)
    path.chmod(0)
    problems = Problems()
    assert read_table(path, COLUMNS, problems) is None
    assert "who may read it" in str(problems[0])


def test_all_problems_at_once_each_at_its_place(read):
    table, problems = read(
        "item,act,mas_kg,x_m,y_m,colour\na,ad,1,1,0,\nb,add,1,#REF!,2 fathoms,\nc,add\nd,add,1,1,0.2 P,red\n"
    )
    assert [(p.row, p.column, p.level) for p in problems] == [
        (1, "mas_kg", MEND),
        (1, "colour", LOOK),
        (2, "act", MEND),
        (3, "x_m", MEND),
        (3, "y_m", MEND),
        (4, None, MEND),
    ]
    assert problems.summary() == "5 to mend, 1 to look at, 1 fine"
    assert [row.number for row in table.rows] == [2, 3, 5]  # what can be read still is
    assert table.rows[1]["x"] is None and table.rows[2]["y"] == 0.2


def test_many_alike_are_shown_some_and_counted(read):
    _, problems = read(HEAD + "a,add,?,1,0\n" * 1000)
    assert len(problems) == 21
    assert "980 more cells" in problems[-1].expected
    assert problems.fine == 0


def test_runaway_quotes_do_not_swallow_the_file(read):
    table, problems = read(HEAD + '"a,add,1,1,0\nb,add,1,1,0\n"c,add,1,1,0\nd,add,2,1,0\n')
    assert {p.row for p in problems} == {2, 4}
    assert [row.number for row in table.rows] == [3, 5]
    _, problems = read(HEAD + '"a,add,1,1,0\n' * 50_000)  # and are given up in the end
    assert len(problems) == 21 and "not read beyond" in str(problems[-1])


@pytest.mark.parametrize("mark", ["1,612", "1.612"])
def test_a_figure_with_two_meanings_is_refused_where_the_file_does_not_tell(read, mark):
    content = "item;act;mass_kg;x_m\na;add;{};1\n"
    _, problems = read(content.format(mark))
    assert len(problems) == 1 and "may mean 1612 or 1.612" in str(problems[0])
    # one other cell tells: 0,5 shows a decimal comma
    table, problems = read(content.format(mark) + "b;add;2;0,5\n")
    if mark == "1,612":
        assert problems == [] and table.rows[0]["mass"] == 1.612
    else:
        assert len(problems) == 1 and problems[0].row == 2


def test_a_problem_said_by_who_knows_more(read):
    table, _ = read(GOOD)
    problem = table.problem(table.rows[1], "mass", "35 kg is a light engine", "Check it", LOOK, 2.0)
    assert str(problem) == "ledger.csv row 3 mass_kg: 35 kg is a light engine. Check it"  # said once
    assert (problem.level, problem.weight) == (LOOK, 2.0)
    assert str(table.problem(None, "y", "no y", "Add it")) == "ledger.csv y_m: no y. Add it"


def test_the_whole_name_goes_before_a_name_and_a_unit(read):
    columns = (Column("depth", "length"), Column("depth_in", "length"))
    table, problems = read("depth_in,depth_mm\n0.3 m,400\n", columns)
    assert problems == [] and (table.rows[0]["depth_in"], table.rows[0]["depth"]) == (0.3, 0.4)


def test_columns_know_their_kinds():
    with pytest.raises(ValueError, match="no kind of column"):
        Column("mass", "weight")


steady = settings(deadline=None, derandomize=True, database=None, max_examples=150)
cells = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12)


@steady
@given(st.binary(max_size=400))
def test_any_bytes_at_all_raise_nothing(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("any") / "ledger.csv"
    for content in (data, HEAD.encode() + data):
        path.write_bytes(content)
        problems = Problems()
        table = read_table(path, COLUMNS, problems)
        assert table is not None or problems
        assert all(p.expected and p.mend and str(p).isprintable() for p in problems)
        for row in table.rows if table else ():
            assert all(math.isfinite(v) for v in row.values.values() if isinstance(v, float))


@steady
@given(
    st.lists(st.tuples(st.integers(0, 9999), st.integers(-2999, 7999)), min_size=1, max_size=6),
    st.sampled_from([",", ";", "\t"]),
    st.booleans(),
    st.sampled_from(["\n", "\r\n"]),
)
def test_what_a_spreadsheet_writes_comes_back(tmp_path_factory, rows, delimiter, comma, end):
    # One cell with a single meaning (0.5) stands in the file, as in any real table.
    path = tmp_path_factory.mktemp("round") / "ledger.csv"
    lines = [["item", "act", "mass_kg", "x_m"], ["first", "add", "0.5", "0.25"]]
    lines += [[f"item {k}", "add", f"{mass / 10:.1f}", f"{x / 1000:.3f}"] for k, (mass, x) in enumerate(rows)]
    text = end.join(delimiter.join(cells) for cells in lines) + end
    path.write_text(text.replace(".", ",") if comma and delimiter != "," else text, newline="", encoding="utf-8")
    problems = Problems()
    table = read_table(path, COLUMNS, problems)
    assert [(row["mass"], row["x"]) for row in table.rows[1:]] == [(mass / 10, x / 1000) for mass, x in rows]
    assert problems == []


# ---- TOML


def test_toml(tmp_path):
    path = tmp_path / "boat.toml"
    problems = Problems()
    path.write_bytes(b'\xef\xbb\xbfname = "demo"\r\n[water]\r\ndensity_kg_m3 = 1025\r\n')
    assert read_toml(path, problems) == {"name": "demo", "water": {"density_kg_m3": 1025}}
    assert problems == []


@pytest.mark.parametrize(
    ("content", "row", "words"),
    [
        (b'name = "demo"\nlength = 6,94\n', 2, "name = value"),
        (b"name = demo\n", 1, "quotation marks"),
        (b'name = "demo\n', 1, "name = value"),
        (b"name\n", 1, "name = value"),
        (b'[water]\ndensity = 1\n[hull]\nx = 1\n[water]\ndensity = 2\n', 5, "second time"),
        (b"a = 1\na = 2\n", 2, "second time"),
        (b"a = [1, 2\n\n", 1, "close every bracket"),
        (b"a = " + b"[" * 5000, 1, "name = value"),
        (b"a = " + b"9" * 5000, 1, "name = value"),
        (b'a = "K\xf6nig"\n', 1, "character that cannot be read"),
        (b"\0" * 3000, None, "no text"),
        (b"[water]\ndensity = nan\n", None, "expected a number"),
    ],
)  # fmt: skip
def test_bad_toml_gives_one_problem(tmp_path, content, row, words):
    path = tmp_path / "boat.toml"
    path.write_bytes(content)
    problems = Problems()
    read_toml(path, problems)
    (problem,) = problems
    assert problem.file == "boat.toml" and problem.row == row and problem.level == MEND
    assert re.search(words, str(problem)), str(problem)


def test_missing_toml_and_where_a_nan_stands(tmp_path):
    problems = Problems()
    assert read_toml(tmp_path / "boat.toml", problems) == {}
    assert "no such file" in str(problems[0])
    (tmp_path / "boat.toml").write_text("[hull]\nlines = [1.0, -inf]\n")
    read_toml(tmp_path / "boat.toml", problems)
    assert problems[1].column == "hull.lines"


def test_small_helpers():
    assert [column_letter(i) for i in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
    assert shorten("a\n b\x07" + "c" * 100) == "a b·" + "c" * 56 + "…"
    assert MOST_BYTES < 10_000_000
