"""Labels find places where they touch nothing, as the rendered picture shows."""

from __future__ import annotations

import numpy as np
import pytest
from touching import touches

from analysis.figures.ground import text_size
from analysis.figures.labels import Label, place_labels, wrapped
from analysis.figures.style import new_figure, style


@pytest.fixture
def axes():
    with style():
        figure = new_figure(500, 300)
        ax = figure.add_axes((0, 0, 1, 1))
        ax.set_axis_off()
        ax.set_xlim(0, 500)
        ax.set_ylim(0, 300)
        yield ax


def test_names_of_a_cluster_of_points_between_lines(axes):
    points = [(240, 150), (252, 156), (262, 148), (246, 164)]
    for x, y in points:
        axes.plot(x, y, "o", markersize=6)
    axes.plot([0, 500], [140, 160], color="k")
    axes.plot([230, 270], [0, 300], color="k")
    axes.fill([300, 400, 400, 300], [100, 100, 220, 220], hatch="///", facecolor="w", edgecolor="k")
    labels = [Label(f"mark {i}\n{i} mm above", [point], clear=8.0) for i, point in enumerate(points)]
    places, _ = place_labels(axes, labels)
    assert all(place.clean for place in places)
    assert touches(axes.figure) == []


def test_the_check_sees_what_touches(axes):
    """The pixel check itself: text on a line, text on text, text over the rim."""
    axes.plot([0, 500], [100, 100], color="k")
    axes.text(100, 100, "on the line", va="center")
    axes.text(300, 200, "one")
    axes.text(305, 203, "other")
    axes.text(480, 20, "far too long")
    said = "\n".join(touches(axes.figure))
    assert "'on the line' stands on a line or an edge" in said
    assert "'one' touches 'other'" in said
    assert "'far too long' leaves the figure" in said


def test_a_free_point_is_named_beside_it(axes):
    axes.plot(250, 150, "o", markersize=6)
    (place,), artists = place_labels(axes, [Label("here", [(250, 150)], ("right", "left"))])
    assert place.leader is None
    assert len(artists) == 1
    assert 250 < place.box[0] < 270
    assert place.box[1] < 150 < place.box[3]


def test_a_label_may_name_any_of_several_points(axes):
    axes.fill([100, 400, 400, 100], [100, 100, 160, 160], facecolor="w", edgecolor="k")
    (place,), _ = place_labels(axes, [Label("tank", [(250, 130), (120, 130)], ("on",), clear=0.0)])
    assert place.clean
    assert np.allclose((place.box[:2] + place.box[2:]) / 2, (250, 130), atol=1.0)


def test_no_place_at_all_is_told(axes):
    for y in range(0, 300, 6):
        axes.plot([0, 500], [y, y], color="k")
    (place,), _ = place_labels(axes, [Label("nowhere", [(250, 150)])])
    assert not place.clean
    assert touches(axes.figure)


def test_the_same_picture_each_time(axes):
    def boxes():
        labels = [Label(f"mark {i}", [(200 + 9 * i, 150)], clear=6.0) for i in range(6)]
        places, artists = place_labels(axes, labels)
        for artist in artists:
            artist.remove()
        return np.array([place.box for place in places])

    assert np.array_equal(boxes(), boxes())


def test_lines_are_no_wider_than_asked_and_keep_figures_with_their_units(axes):
    words = "she rests with scupper port 13 1/2 in under water and 104 US gal of fuel, 260 lb more than 90 mm above"
    for width in (120, 200, 333):
        lines = wrapped(axes.figure, words, width, 11).split("\n")
        assert len(lines) > 1
        assert all(text_size(axes.figure, line, 11)[0] <= width for line in lines)
        assert " ".join(lines).replace("\u00a0", " ") == words
        for figure in ("13 1/2 in", "104 US gal", "260 lb", "90 mm"):
            assert any(figure in line.replace("\u00a0", " ") for line in lines)
