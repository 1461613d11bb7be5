"""The table of lowest marks as a picture: what it says is what was floated, and its texts touch nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from matplotlib.patches import Rectangle
from touching import touches

import hullcalc as hc
from analysis.figures.matrix import matrix, matrix_figure, matrix_finding, matrix_height
from analysis.figures.style import new_figure, style
from analysis.studies.loads import load_matrix

BOATS = Path(__file__).parents[3] / "data" / "boats"


@pytest.fixture(scope="module", params=("demo-outboard-22", "demo-sterndrive-24", "demo-skiff-18"))
def loads(request):
    return load_matrix(hc.read_boat(BOATS / request.param))


@pytest.mark.parametrize(("system", "width"), [("metric", 811), ("metric", 430), ("us", 430)])
def test_text_touches_nothing(loads, system, width):
    with style():
        figure = matrix_figure(loads, system=system, width_px=width)
        assert touches(figure) == []
    assert figure.bbox.width == pytest.approx(width)


def test_a_cell_is_hatched_where_its_mark_is_under(loads):
    with style():
        ax = new_figure(811, matrix_height(loads.conditions)).add_axes((0, 0, 1, 1))
        matrix(ax, loads)
    wet = int((loads.table["least_mm"] < 0).sum())
    hatched = [p for p in ax.patches if isinstance(p, Rectangle) and p.get_hatch()]
    assert 0 < len(hatched) == wet < len(loads.table)
    said = [text.get_text() for text in ax.texts]
    for row in loads.table.to_dict("records"):
        figure = round(abs(row["least_mm"]))
        words = f"{figure} {'above' if row['least_mm'] > 0 else 'under'}" if figure else "at water"
        assert words in said
    counts = [str(int((loads.table[loads.table["plan"] == p]["least_mm"] < 0).sum())) for p in loads.plans]
    assert all(f"{plan} in {count}" in matrix_finding(loads) for plan, count in zip(loads.plans, counts, strict=True))
