"""The page and the picture: whole in themselves, the same bytes each time, and saying what the studies say."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.report.page import page
from analysis.report.pictures import one_picture, pictures
from analysis.report.sections import headline
from analysis.report.story import tell, uncertainty_mm
from analysis.report.svg import inline, rounded
from hullcalc.boats.boat import Plan

ROOT = Path(hc.__file__).parents[1]
FULL = "4 adults full"
VOID = {"meta", "br", "hr", "img", "link", "input"}


@pytest.fixture(scope="module")
def boat():
    return hc.read_boat(ROOT / "data" / "boats" / "demo-outboard-22")


@pytest.fixture(scope="module")
def story(boat):
    return tell(boat)


@pytest.fixture(scope="module")
def written(story):
    return page(story)


class Reader(HTMLParser):
    """Reads a page: are tags closed in order, what are the texts, rows, ids and references?"""

    def __init__(self, text):
        super().__init__()
        self.open, self.texts, self.rows, self.ids, self.refs, self.tags = [], [], [], [], [], []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for key, value in attrs if key == "id"]
        for key, value in attrs:
            self.refs += re.findall(r"url\(#([^)]+)\)", value or "")
            if key.endswith("href"):
                assert value.startswith("#"), f"{value} is fetched"
                self.refs.append(value[1:])
            assert key not in ("src", "srcset", "action", "onclick", "onload")
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if data.strip():
            self.texts.append(data.strip())
        if self.open and self.open[-1] in ("td", "th"):
            self.rows[-1][-1] += data


@pytest.fixture(scope="module")
def read(written):
    return Reader(written)


class TestThePage:
    def test_holds_everything_it_shows(self, written, read):
        assert "<script" not in written and "@import" not in written and "@font-face" not in written
        links = set(re.findall(r"https?://[^\s\"'<)]+", written))
        assert links <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}  # names, not places
        assert len(read.ids) == len(set(read.ids)), "an id twice"
        assert set(read.refs) <= set(read.ids)

    def test_same_bytes_in_another_process(self, written, tmp_path):
        out = tmp_path / "page.html"
        command = [sys.executable, "-m", "analysis", "report", "data/boats/demo-outboard-22", "--out", str(out)]
        environment = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
        subprocess.run(command, check=True, capture_output=True, cwd=ROOT, env=environment, timeout=300)
        assert out.read_bytes() == written.encode("utf-8")
        assert [path.name for path in tmp_path.iterdir()] == ["page.html"]

    def test_finding_is_the_title_and_care_comes_before_any_picture(self, written, story):
        finding = headline(story)
        assert f"<h1>{finding}</h1>" in written and "puts water on the sole" in finding
        care, picture = written.index('class="care"'), written.index("<svg")
        assert written.index("<h1>") < care < picture
        box = written[care:picture]
        for words in ("only while scupper port and scupper starboard", "naval architect", "Invented boat."):
            assert words in box

    def test_every_mark_in_every_plan_and_condition(self, read, boat, story):
        rows = [row for row in read.rows if row and row[0] in boat.marks]
        for condition in boat.conditions:
            for i, plan in enumerate(boat.plans):
                case = story.study.case(plan, condition)
                for mark, height in case.heights_shut.items():
                    millimetres = round(abs(1000 * height))
                    word = "above" if height > 0 else "deep" if case.marks[mark].kind == "draught" else "under"
                    said = f"{millimetres} {word}" if millimetres else "at water"
                    assert any(row[0] == mark and row[i + 1 :][:1] == [said] for row in rows), (plan, condition, mark)

    def test_says_what_it_rests_on(self, written):
        text = re.sub(r"\s+", " ", written)
        for words in (
            "Water: 1025 kg/m³",
            "740 kg/m³",
            "11 stations joined by straight lines",
            "cockpit (openings: scupper port, scupper starboard and transom notch)",
            "bracket pod (openings: bracket hatch)",
            "no real boat, maker or yard",
            "mean over all orders of the 8 packages",
        ):
            assert words in text

    def test_nothing_says_more_than_it_may(self, read):
        words = " ".join([*read.texts, *(attrs.get("aria-label") or "" for _, attrs in read.tags)]).lower()
        for word in ("safe", "passes", "stable", "nan", "none,", "inf"):
            assert not re.search(rf"\b{word}\b", words), word
        tables = " ".join(cell for row in read.rows for cell in row)
        assert not re.search(r"(?<![\w.])[-−+]\d", tables)

    def test_under_is_a_word_before_it_is_a_weight_of_type(self, written):
        assert re.findall(r'<td class="under">([^<]*)</td>', written)
        assert all(cell.endswith(" under") for cell in re.findall(r'<td class="under">([^<]*)</td>', written))

    def test_print_and_phone_have_rules(self, written):
        for rule in (
            "@page",
            "@media print",
            "table-header-group",
            "break-inside: avoid",
            "max-width: 520px",
            "viewport",
        ):
            assert rule in written

    def test_letters_of_a_name_stay_letters(self, boat):
        odd = replace(boat, title='<b>x</b> & "y"', name="<i>")
        written = page(tell(odd))
        assert "&lt;b&gt;x&lt;/b&gt; &amp; &#34;y&#34;" in written
        assert "<b>" not in written and "<i>" not in written
        Reader(written)

    def test_us_units(self, story):
        written = page(story, "us")
        heads = re.findall(r"<p class=\"about\">([^<]*)", written)
        assert any("inches" in head for head in heads) and not any("millimetres" in head for head in heads)
        texts = " ".join(Reader(written).texts)
        boat = story.boat
        named = [*boat.packages, *(row.item for row in boat.ledger.rows), *boat.title.split(": ")]
        for name in sorted(named, key=len, reverse=True):
            texts = texts.replace(name, "").replace(name.split(": ")[-1], "")
        assert re.findall(r".{20}\d (?:mm|kg|L)\b(?!/)", texts) == []


class TestOtherBoats:
    def test_a_boat_that_is_not_refitted(self, boat):
        plain = replace(boat, plans={"as found": Plan("as found", ())})
        story = tell(plain)
        assert story.change is None and story.mends is None
        read = Reader(page(story))
        assert "Which package did it" not in read.texts and "How she floats" in read.texts
        assert headline(story).startswith("4 adults full: ")
        with pytest.raises(hc.InputError, match="nothing to compare"):
            one_picture(story, "svg")

    def test_one_plan_is_mended_from_the_packages_left_over(self, boat):
        packages = boat.plans["first plan"].packages
        story = tell(replace(boat, plans={"as found": Plan("as found", ()), "refit": Plan("refit", packages)}))
        assert set(story.mends.table["mend"]) == {*(set(boat.packages) - set(packages)), "all together"}
        Reader(page(story))

    def test_no_condition_is_said(self, boat):
        with pytest.raises(hc.InputError, match=r"no load condition.*conditions\.csv"):
            tell(replace(boat, conditions={}))

    def test_told_for_another_condition(self, boat):
        story = tell(boat, "two people")
        assert headline(story).startswith("Two people: ")
        assert "How she lies, two people" in Reader(page(story)).texts

    def test_marks_of_no_kind_to_watch(self, boat):
        few = tuple(mark for mark in boat.all_marks if mark.kind in ("draught", "freeboard"))
        bare = replace(boat, all_marks=few, spaces=(), solids=tuple(replace(pod, openings=()) for pod in boat.solids))
        Reader(page(tell(bare)))


class TestHowSure:
    def test_uncertainty_by_the_covariance_of_the_weights(self, story, boat):
        # Other road: g C g' of the whole weight, with pod, fuel, the mark's own height and the hull's shape beside it.
        plan, mark = "mended plan", "sole aft starboard"
        state, weight = boat.float(plan, FULL, shut=True), boat.weight(plan, FULL)
        gradient = state.response(boat.marks_in(plan)[mark].point)
        (pod,) = [p for p in boat.solids if p.presence.holds(boat.packages_on(plan))]
        cut = pod.solid.cut(*state.plane)
        lift = 1025 * pod.u_volume * cut.volume / pod.solid.volume
        (fuel,) = [liquid for liquid in state.liquids if liquid.name == "fuel tank new"]
        others = (
            lift * gradient @ np.append(1.0, cut.centroid),
            15 / 740 * fuel.mass * gradient @ np.append(1.0, fuel.centre),
            boat.marks_in(plan)[mark].u_z,
            boat.u_hull,
        )
        expected = np.sqrt(gradient @ weight.covariance @ gradient + sum(np.square(others)))
        assert_allclose(uncertainty_mm(story.inputs(plan, mark)), 1000 * expected, rtol=1e-9)

    def test_the_page_says_it(self, story, read):
        case = story.study.case("first plan", FULL)
        off = uncertainty_mm(story.inputs("first plan", "scupper port"))
        row = [
            "first plan",
            "scupper port",
            f"{round(-1000 * case.heights_shut['scupper port'])} under",
            f"{off:.0f} mm",
        ]
        assert row in read.rows


class TestPictures:
    def test_each_is_named_in_words_with_the_heights_of_the_case(self, story):
        made = pictures(story)
        assert len(made) == 5 and sum(picture.wide for picture in made) == 3
        case = story.study.case("first plan", FULL)
        for picture in made:
            for svg in filter(None, (picture.svg, picture.narrow)):
                root = ElementTree.fromstring(svg)
                assert root.get("role") == "img" and root.get("aria-label") == f"{picture.title}. {picture.words}"
        assert f"scupper port {round(-1000 * case.heights_shut['scupper port'])} mm under" in made[0].words
        assert "water comes in at scupper port" in made[0].words
        assert made[0].words.index("water comes in") < made[0].words.index(" mm ")

    def test_the_page_says_the_title_once(self, story):
        for picture in pictures(story):
            texts = [" ".join(text.split()) for text in re.findall(r"<text[^>]*>([^<]*)</text>", picture.svg)]
            assert texts and picture.title not in texts

    def test_text_stays_text(self, story):
        texts = " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", pictures(story)[0].svg))
        assert "76 mm under" in texts

    def test_a_picture_of_its_own(self, story):
        first, again = one_picture(story, "svg"), one_picture(story, "svg")
        assert first == again
        ElementTree.fromstring(first)
        assert one_picture(story, "png").startswith(b"\x89PNG")

    def test_ids_are_kept_only_where_they_are_used(self):
        svg = (
            '<?xml version="1.0"?><svg width="1pt" viewBox="0 0 72 36"><defs><clipPath id="p1"/></defs>'
            '<g id="figure_1" clip-path="url(#p1)"/><use xlink:href="#p1"/></svg>'
        )
        made = inline(svg, "a-title", 'A title. with "words"')
        assert made.count('id="a-title-p1"') == 1 and "figure_1" not in made and "<?xml" not in made
        assert "url(#a-title-p1)" in made and 'href="#a-title-p1"' in made
        assert 'aria-label="A title. with &quot;words&quot;"' in made and "max-width:100px" in made

    def test_only_coordinates_are_rounded(self):
        svg = '<path d="M 1.23456 -0.0001 L 2.5 3" transform="scale(0.015625)"/><text x="7.12999">1.23456</text>'
        assert rounded(svg) == svg.replace("1.23456 -0.0001", "1.23 0").replace("7.12999", "7.13")


@pytest.mark.parametrize("name", ["demo-sterndrive-24", "demo-skiff-18"])
def test_pages_of_the_other_boats_are_whole(name):
    other = hc.read_boat(ROOT / "data" / "boats" / name)
    told = tell(other)
    read = Reader(page(told))
    assert len(read.ids) == len(set(read.ids)) and set(read.refs) <= set(read.ids)
    assert headline(told) in read.texts
    rows = [row for row in read.rows if row and row[0] in other.marks]
    for plan, condition in told.study.cases:
        case = told.study.case(plan, condition)
        for mark, height in case.heights_shut.items():
            said = f"{round(abs(1000 * height))} {'above' if height > 0 else 'under'}"
            said = said if said[:2] != "0 " else "at water"
            assert any(row[0] == mark and said in row for row in rows), (plan, condition, mark)
