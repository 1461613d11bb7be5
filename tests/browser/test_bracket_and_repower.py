"""The first notebook in JupyterLab, moved by keyboard alone: each control changes the reading and the picture."""

from __future__ import annotations

import pytest

import hullcalc as hc
from analysis import data_folder

pytestmark = pytest.mark.browser
NOTEBOOK = "bracket-and-repower.ipynb"
PACKAGES = list(hc.read_boat(data_folder() / "boats" / "demo-outboard-22").packages)
PATIENCE = 30_000  # ms; a busy machine may take its time


class Shown:
    """What the panel says and shows, and whether it has changed since last asked."""

    def __init__(self, page) -> None:
        from playwright.sync_api import expect

        self.expect = expect
        self.reading, self.image = page.locator(".hc-reading"), page.locator(".hc-picture img")
        self.table = page.locator(".hc-table")
        self.was = self.now()

    def now(self) -> tuple[str, str]:
        return self.reading.inner_text(), self.image.get_attribute("src")

    def changed(self) -> None:
        words, picture = self.was
        self.expect(self.reading).not_to_have_text(words, timeout=PATIENCE, use_inner_text=True)
        self.expect(self.image).not_to_have_attribute("src", picture, timeout=PATIENCE)
        self.was = self.now()


@pytest.fixture
def page(open_notebook):
    return open_notebook(NOTEBOOK)


def test_each_control_moves_reading_and_picture(page):
    shown = Shown(page)
    assert "As found" in shown.was[0]

    for plan in ("first plan", "mended plan"):
        page.get_by_role("button", name=plan, exact=True).focus()
        page.keyboard.press("Space")
        shown.changed()
        assert plan.capitalize() in shown.was[0]
        assert plan in shown.table.inner_text()

    switches = [page.get_by_role("checkbox", name=name, exact=True) for name in PACKAGES]
    for switch in switches:
        switch.focus()
        for _ in ("there", "back"):
            page.keyboard.press("Space")
            shown.changed()

    for name in ("fuel, %", "livewell, %", "at the stern", "at the helm"):
        box = page.get_by_role("spinbutton", name=name, exact=True)
        slider = box.locator("xpath=ancestor::*[contains(@class, 'widget-hbox')][1]").get_by_role("slider")
        box.focus()
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
        shown.changed()
        after_box = box.input_value()
        slider.focus()
        page.keyboard.press("ArrowLeft")
        shown.changed()
        assert int(box.input_value()) < int(after_box)  # the slider moves the box

    box = page.get_by_role("spinbutton", name="fuel, %", exact=True)
    box.focus()
    box.fill("37")
    page.keyboard.press("Enter")
    shown.changed()
    assert "fuel 37 %" in page.locator(".hc-finding").inner_text()  # a figure between the slider's steps stays as typed
    assert box.input_value() == "37"

    page.get_by_role("checkbox", name="US units", exact=True).focus()
    page.keyboard.press("Space")
    shown.changed()
    assert " lb " in shown.was[0]
    assert " in " in shown.table.inner_text()


def test_a_narrow_page_shows_controls_and_words_within_its_width(open_notebook):
    page = open_notebook(NOTEBOOK, width=390, height=844)
    for part in (".hc-finding", ".hc-reading", ".hc-caution", ".hc-picture", ".hc-table"):
        box = page.locator(part).bounding_box()
        assert box is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390
