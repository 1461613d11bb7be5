"""Looks for text that touches something, in the picture as it is rendered.

A text touches no line, edge or symbol where the picture without any text is of one colour under its box; it touches no
text where its box meets no other. Whatever the drawing code believes takes no part in this.
"""

from itertools import combinations

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

SAME = 6  # of 255: rounding of blended colours


def texts_of(figure):
    """All texts a reader sees with their boxes in pixels, (left, bottom, right, top)."""
    canvas = FigureCanvasAgg(figure)
    figure.draw_without_rendering()  # puts the names of axes and ticks where they belong
    hidden = _not_drawn(figure)
    found = []
    for text in figure.findobj(Text):
        if text.get_visible() and text.get_text().strip() and text not in hidden:
            box = text.get_window_extent(canvas.get_renderer())
            if box.width > 0:
                found.append((text, np.array(box.extents)))
    return found


def _not_drawn(figure):
    """Texts of axes that the figure does not draw: those of ticks outside the limits, and of hidden axes."""
    hidden = set()
    for ax in figure.axes:
        for axis in (ax.xaxis, ax.yaxis):
            on = ax.axison and axis.get_visible()
            shown = {tick.label1 for tick in axis._update_ticks()} if on else set()
            ticks = axis.get_major_ticks() + axis.get_minor_ticks()
            hidden |= {label for tick in ticks for label in (tick.label1, tick.label2)} - shown
            hidden |= set() if on else {axis.label, axis.offsetText}
    return hidden


def touches(figure):
    """Sentences that tell of each text that touches something or leaves the figure; none is wanted."""
    texts = texts_of(figure)
    said = []
    width, height = figure.bbox.size
    for text, box in texts:
        if box[0] < 0 or box[1] < 0 or box[2] > width or box[3] > height:
            said.append(f"{text.get_text()!r} leaves the figure: {np.round(box)}")
    for (one, a), (other, b) in combinations(texts, 2):
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            said.append(f"{one.get_text()!r} touches {other.get_text()!r}")
    for text, _ in texts:
        text.set_visible(False)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    picture = np.asarray(canvas.buffer_rgba())[::-1, :, :3].astype(int)  # from the bottom up
    for text, box in texts:
        text.set_visible(True)
        left, bottom, right, top = np.clip(np.round(box), 0, [width, height, width, height]).astype(int)
        under = picture[bottom:top, left:right].reshape(-1, 3)
        if len(under) and np.any(np.ptp(under, axis=0) > SAME):
            said.append(f"{text.get_text()!r} stands on a line or an edge, at {left, bottom, right, top}")
    return said
