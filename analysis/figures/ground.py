"""What is already drawn on an Axes, as a map of pixels that labels must keep off."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure, SubFigure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.path import Path
from matplotlib.text import Text

AnyFigure = Figure | SubFigure


def text_size(
    figure: AnyFigure, text: str, size: float, weight: str = "normal", style: str = "normal"
) -> tuple[float, float]:
    """Width and height of a text in pixels, as it is rendered."""
    return _text_size(text, size, weight, style, figure.dpi, tuple(mpl.rcParams["font.family"]))


@lru_cache(maxsize=4096)
def _text_size(
    text: str, size: float, weight: str, style: str, dpi: float, family: tuple[str, ...]
) -> tuple[float, float]:
    """As `text_size`; the same words are measured again with every redraw of a picture."""
    figure = _measuring(dpi)
    artist = Text(0, 0, text, size=size, weight=weight, style=style, family=list(family), linespacing=1.15)
    artist.set_figure(figure)
    box = artist.get_window_extent(renderer_of(figure))
    return float(box.width), float(box.height)


@lru_cache(maxsize=8)
def _measuring(dpi: float) -> Figure:
    """One empty figure to measure texts by: to make one costs more than to measure."""
    return Figure(dpi=dpi)


def renderer_of(figure: AnyFigure):  # type: ignore[no-untyped-def]
    """A renderer that can measure text; a figure without a drawing canvas is given one."""
    if not hasattr(figure.canvas, "get_renderer"):
        FigureCanvasAgg(figure.canvas.figure)
    return figure.canvas.get_renderer()  # type: ignore[attr-defined]


@dataclass
class Ground:
    """Pixels of a figure taken by lines and edges, and by symbols and texts; `bounds` is the box labels stay in."""

    lines: np.ndarray  # (height, width) bool
    symbols: np.ndarray
    bounds: np.ndarray  # (4,) px
    summed: np.ndarray | None = None  # made when first asked for, after all is drawn

    @classmethod
    def of(cls, ax: Axes) -> Ground:
        """What the Axes holds now: lines, edges of patches, markers and texts (not the axis and its tick labels)."""
        figure = ax.figure
        width, height = (int(np.ceil(side)) for side in figure.bbox.size)
        ground = cls(np.zeros((height, width), bool), np.zeros((height, width), bool), np.array(ax.bbox.extents))
        for line in ax.lines:
            if line.get_visible():
                ground._add_line(line)
        for patch in ax.patches:
            if patch.get_visible():
                ground._add_patch(patch)
        for text in ax.texts:
            if text.get_visible() and text.get_text():
                ground.add_box(np.asarray(text.get_window_extent(renderer_of(figure)).extents))
        return ground

    def _add_line(self, line: Line2D) -> None:
        points = line.get_transform().transform(line.get_xydata())
        if line.get_linestyle() != "None":
            self._add_path(points, self.lines)
        if line.get_marker() not in ("None", "", " ", None):
            radius = (line.get_markersize() / 2 + line.get_markeredgewidth()) * line.figure.dpi / 72
            for centre in points:
                self._add_disc(centre, radius)

    def _add_patch(self, patch: Patch) -> None:
        for polygon in patch.get_path().to_polygons(patch.get_transform(), closed_only=False):
            polygon = np.asarray(polygon, dtype=float)
            self._add_path(polygon, self.lines)
            if patch.get_hatch():
                self._fill(polygon)

    def _add_path(self, points: np.ndarray, grid: np.ndarray) -> None:
        points = points[np.all(np.isfinite(points), axis=1)]
        if len(points) > 1:
            self._mark(_along(points), grid)

    def _mark(self, points: np.ndarray, grid: np.ndarray) -> None:
        column, row = np.floor(points).astype(int).T
        seen = (column >= 0) & (column < grid.shape[1]) & (row >= 0) & (row < grid.shape[0])
        grid[row[seen], column[seen]] = True

    def _fill(self, polygon: np.ndarray) -> None:
        """Take the inside of a hatched area: text is hard to read on it."""
        height, width = self.lines.shape
        left, bottom = np.clip(np.floor(polygon.min(axis=0)), 0, (width, height)).astype(int)
        right, top = np.clip(np.ceil(polygon.max(axis=0)), 0, (width, height)).astype(int)
        pixels = np.stack(np.meshgrid(np.arange(left, right), np.arange(bottom, top)), axis=-1).reshape(-1, 2)
        if len(pixels):
            self._mark(pixels[Path(polygon).contains_points(pixels)], self.lines)

    def _add_disc(self, centre: np.ndarray, radius: float) -> None:
        reach = np.arange(-np.ceil(radius), np.ceil(radius) + 1)
        dots = np.stack(np.meshgrid(reach, reach), axis=-1).reshape(-1, 2)
        self._mark(centre + dots[np.hypot(*dots.T) <= radius], self.symbols)

    def add_box(self, box: np.ndarray) -> None:
        """Take a box (left, bottom, right, top) for a symbol or a text."""
        left, bottom, right, top = np.clip(np.round(box), 0, 1e6).astype(int)
        self.symbols[bottom : top + 1, left : right + 1] = True
        self.summed = None

    def covered(self, boxes: np.ndarray) -> np.ndarray:
        """Which boxes (k, 4) hold any taken pixel."""
        count = self._count_before()
        height, width = self.lines.shape
        left, right = (np.clip(np.round(boxes[:, k]), 0, width).astype(int) for k in (0, 2))
        bottom, top = (np.clip(np.round(boxes[:, k]), 0, height).astype(int) for k in (1, 3))
        return count[top, right] - count[bottom, right] - count[top, left] + count[bottom, left] > 0

    def _count_before(self) -> np.ndarray:
        """Taken pixels below and to the left of each pixel, (height + 1, width + 1): four of them count a box."""
        if self.summed is None:
            self.summed = np.zeros(tuple(np.array(self.lines.shape) + 1), dtype=np.int32)
            np.cumsum(self.lines | self.symbols, axis=0, out=self.summed[1:, 1:])
            np.cumsum(self.summed, axis=1, out=self.summed)
        return self.summed

    def crossed(self, segments: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """How many pixels of lines each segment (k, 4) meets, and whether it meets a symbol or a text; in 96 places."""
        both = self.lines.astype(np.int16) + 128 * self.symbols.astype(np.int16)  # one look sees both; 96 < 128
        height, width = self.lines.shape
        ends = np.clip(segments, 0, np.array([width, height, width, height]) - 1)
        t = np.linspace(0, 1, 96)
        column, row = ((ends[:, k, None] + t * (ends[:, k + 2] - ends[:, k])[:, None]).astype(np.intp) for k in (0, 1))
        seen = both.ravel()[row * width + column].sum(axis=1)
        return seen % 128, seen >= 128


def _along(points: np.ndarray) -> np.ndarray:
    """Points at most half a pixel apart along a path (k, 2) through all its points."""
    steps = np.diff(points, axis=0)
    counts = np.minimum(np.ceil(2 * np.hypot(*steps.T)), 20000).astype(int) + 1
    segment = np.repeat(np.arange(len(steps)), counts)
    within = np.arange(len(segment)) - np.repeat(np.cumsum(counts) - counts, counts)
    return np.vstack([points[segment] + (within / counts[segment])[:, None] * steps[segment], points[-1:]])
