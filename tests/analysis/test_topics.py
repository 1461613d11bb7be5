"""What other verbs answer, on the page too: told of each demonstration boat, drawn whole, or refused in words."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.report.page import page
from analysis.report.pictures import topic_picture
from analysis.report.story import tell
from analysis.report.topics import TOPICS, tell_topics
from analysis.studies.where import where_to_put
from hullcalc.units import say_mass


@pytest.fixture(scope="module", params=["demo-outboard-22", "demo-skiff-18"])
def story(request):
    return tell(hc.read_boat(data_folder() / "boats" / request.param))


QUICK = [name for name in TOPICS if name != "sure"]  # its thousands of draws are tested with its verb


@pytest.fixture(scope="module")
def topics(story):
    return {topic.name: topic for topic in tell_topics(story, list(reversed(QUICK)), "us")}


def test_every_topic_is_told_in_one_order(story, topics):
    assert list(topics) == QUICK  # however they were asked for
    for topic in topics.values():
        assert topic.sections and all(part.title for part in topic.sections)
    refused = [name for name, topic in topics.items() if "Cannot be told" in " ".join(topic.sections[0].before)]
    # the skiff's sole has two marks and no cockpit: three points make a plane
    assert refused == (["drain"] if story.boat.name == "demo-skiff-18" else [])
    for name in refused:
        assert "marks.csv" in topics[name].sections[0].before[0] and topics[name].draw is None


def test_says_what_the_study_says(story, topics):
    found = where_to_put(story.boat, story.last_plan, story.condition, deck=False)
    cells = [cell for part in topics["where"].sections for grid in part.grids for row in grid.rows for cell in row]
    limits = found.places["may_add_kg"][found.places["may_add_kg"] < found.most_kg]
    assert len(limits) and all(say_mass(kg, "us") in cells for kg in limits)


@pytest.mark.parametrize("name", ["mend", "stripe"])
def test_words_stay_inside_the_picture(topics, name):
    drawn = topic_picture(topics[name])
    width, height = map(float, re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', drawn).groups())
    places = re.findall(r'<text [^>]*text-anchor: \w+[^>]* x="(-?[0-9.]+)" y="(-?[0-9.]+)"', drawn)
    assert len(places) > 10
    for x, y in places:
        assert 0 <= float(x) < width and 0 < float(y) <= height


def test_on_the_page_after_the_story(story):
    class Heads(HTMLParser):
        def __init__(self, text):
            super().__init__()
            self.heads, self.inside, self.ids = [], False, []
            self.feed(text)

        def handle_starttag(self, tag, attrs):
            self.inside = tag == "h2"
            self.ids += [value for key, value in attrs if key == "id"]

        def handle_data(self, data):
            if self.inside and data.strip():
                self.heads.append(data.strip())
                self.inside = False

    plain, more = Heads(page(story)), Heads(page(story, topics=["stripe", "curves"]))
    new = [head for head in more.heads if head not in plain.heads]
    assert new == [part.title for topic in tell_topics(story, ["stripe", "curves"]) for part in topic.sections]
    assert more.heads[-2:] == plain.heads[-2:]  # assumptions and tables come last
    assert len(more.ids) == len(set(more.ids))


def test_a_topic_that_is_none(run, demo_folder, tmp_path):
    said = run("report", demo_folder, "--out", tmp_path / "page.html", "--with", "stirpe")
    assert said.code == 2 and "no topic of the page is called 'stirpe'; did you mean 'stripe'" in said.err
    assert not list(tmp_path.iterdir())
