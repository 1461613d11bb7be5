"""Every notebook in JupyterLab: its cells run, its panel and pictures show, and nothing is wider than the page."""

from __future__ import annotations

from pathlib import Path

import pytest

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
pytestmark = pytest.mark.browser
WIDER = """() => [...document.querySelectorAll('.jp-OutputArea-output')]
    .filter(area => area.scrollWidth > area.clientWidth + 1)
    .map(area => area.innerText.slice(0, 80))"""


@pytest.mark.parametrize("name", sorted(path.name for path in NOTEBOOKS.glob("*.ipynb")))
def test_runs_and_fits_the_page(open_notebook, name):
    page = open_notebook(name)
    assert page.locator(".jp-OutputArea-output .jupyter-widgets").first.inner_text().strip()
    for image in page.locator(".jp-OutputArea-output img").all():
        assert image.evaluate("image => image.complete && image.naturalWidth > 0")
    assert page.evaluate(WIDER) == []
