"""Puts text where it touches nothing: no other text, no line, no edge, no symbol.

A `Label` says what it names and where it would like to stand. `place_labels` looks at all that is drawn on the Axes so
far and finds places for all labels together: each takes its best free place in turn, then each moves again while the
others wait, until none gains. A leader joins a label that stands away to what it names. Call it last, when limits and
position of the Axes are final: it works in pixels.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from analysis.figures import boxes as bx
from analysis.figures.ground import AnyFigure, Ground, text_size
from analysis.figures.style import INK, MUTED, SMALL

PAD = 3.0  # pixels kept free around each text from what is drawn
BETWEEN = np.array([-14.0, -3.0, 14.0, 3.0])  # pixels kept free between texts: more beside than over one another
LEADER_GAP = 3.0  # between a leader and its text
SHORTEST_LEADER = 10.0  # a label nearer than this needs none
TURNS = 8
FAIR = 60.0  # a price per label that is good enough
LEAST_ORDERS, MOST_ORDERS = 8, 40  # tried above that, and while labels still touch
NOWHERE = -1
CLASH = 1e5
QUANTITY = re.compile(
    r"(?<=\d) (?=\d+/\d|(?:mm|m|in|ft|kg|lb|L|US gal|h|min)\b|%)|(?<=US) (?=gal\b)|(?<=\d ft) (?=\d)"
)  # blanks that stay
LONG_NAME = 26  # letters: a longer name is written in several lines
GRID = 6.0  # pixels between the places tried
MOST_TRIED = 600  # places of one label: half of them the cheapest, half a sample of the others


@dataclass(frozen=True)
class Label:
    """One text to place.

    `at` holds the points it may name, in the Axes' data, one or several of one body; `clear` [px] is the radius of what
    is drawn there. `where` lists the places allowed: "right", "left", "above", "below" beside the point, "on" it,
    "high" and "low" anywhere above or below it with a leader, "anywhere"; the first costs least.
    """

    text: str
    at: Sequence[tuple[float, float]]
    where: tuple[str, ...] = ("right", "left", "above", "below", "anywhere")
    colour: str = INK
    size: float = SMALL
    weight: str = "normal"
    style: str = "normal"
    clear: float = 6.0
    reach: float = 400.0  # the farthest it may stand [px]
    leader: bool = True  # draw one where it stands away


@dataclass(frozen=True)
class Placed:
    """Where a label came to stand: box and leader in pixels of the figure, and whether it touches nothing."""

    label: Label
    box: np.ndarray  # (4,)
    leader: np.ndarray | None  # (4,) from the point to the box
    clean: bool


@dataclass
class _Choices:
    """All places of one label that touch nothing drawn: boxes (k, 4), leaders (k, 4), price (k,)."""

    boxes: np.ndarray
    leaders: np.ndarray
    price: np.ndarray


def place_labels(ax: Axes, labels: Sequence[Label], hurry: bool = False) -> tuple[list[Placed], list[Artist]]:
    """Place the labels on the Axes and draw them with their leaders; returns the places and the artists.

    In a `hurry` the first places that touch nothing are good enough, however far away some stand.
    """
    placed = solve(ax, labels, Ground.of(ax), hurry)
    artists: list[Artist] = []
    to_data = ax.transData.inverted()
    for place in placed:
        label = place.label
        if place.leader is not None:
            ends = to_data.transform(place.leader.reshape(2, 2))
            line = Line2D(ends[:, 0], ends[:, 1], color=MUTED, linewidth=0.8, zorder=4.5, gid="leader")
            artists.append(ax.add_line(line))
        x, y = to_data.transform((place.box[:2] + place.box[2:]) / 2)
        artists.append(
            ax.text(x, y, label.text, size=label.size, color=label.colour, weight=label.weight, style=label.style,
                    ha="center", va="center", linespacing=1.15, zorder=6)
        )  # fmt: skip
    return placed, artists


def solve(ax: Axes, labels: Sequence[Label], ground: Ground, hurry: bool = False) -> list[Placed]:
    """The best places found for all labels together, nothing drawn.

    Starts with the label that has fewest places. Where labels stand far off a few other orders are tried, the same ones
    each time, and more while something still touches.
    """
    choices = [_choices(ax, label, ground) for label in labels]
    clashes = _Clashes(choices)
    order = sorted(range(len(labels)), key=lambda i: len(choices[i].price))
    best, cost = _settle(choices, clashes, order)
    shuffle = np.random.default_rng(0)
    for turn in range(MOST_ORDERS):
        if cost < FAIR * len(labels) or (cost < CLASH and (hurry or turn >= LEAST_ORDERS)):
            break
        again, its_cost = _settle(choices, clashes, [int(i) for i in shuffle.permutation(len(labels))])
        if its_cost < cost:
            best, cost = again, its_cost
    placed = []
    for i, (label, choice) in enumerate(zip(labels, choices, strict=True)):
        leader = choice.leaders[best[i]]
        long = label.leader and np.hypot(*(leader[2:] - leader[:2])) >= SHORTEST_LEADER
        clean = bool(choice.price[best[i]] + clashes(i, best)[best[i]] < CLASH)
        placed.append(Placed(label, choice.boxes[best[i]], leader if long else None, clean))
    return placed


def _settle(choices: list[_Choices], clashes: _Clashes, order: Sequence[int]) -> tuple[list[int], float]:
    """Give each label its best free place in this order, then let each move until none gains; places and price."""
    taken = [NOWHERE] * len(choices)
    for turn in range(TURNS):
        moved = False
        for i in order:
            price = choices[i].price + clashes(i, taken)
            best = int(np.argmin(price))
            if taken[i] == NOWHERE or price[best] < price[taken[i]] - 1e-9:
                taken[i], moved = best, True
        if not moved and turn:
            break
    cost = sum(float((c.price + clashes(i, taken))[taken[i]]) for i, c in enumerate(choices))
    return taken, cost


def _choices(ax: Axes, label: Label, ground: Ground) -> _Choices:
    """The places to try for one label: those on a line or symbol are left out unless there is no other."""
    size = text_size(ax.figure, label.text, label.size, label.weight, label.style)
    tries = [_about(at, size, label, ground) for at in ax.transData.transform(np.array(label.at))]
    boxes, leaders, price = (np.concatenate(parts) for parts in zip(*tries, strict=True))
    tried = _some(np.argsort(price, kind="stable"), int(np.sum(price < CLASH)))
    boxes, leaders, price = boxes[tried], leaders[tried], price[tried]
    lines, symbols = ground.crossed(leaders)
    price = price + 2.0 * lines + CLASH * symbols
    return _Choices(*_kept(price < CLASH, boxes, leaders, price))


def _some(order: np.ndarray, free: int) -> np.ndarray:
    """Of the places in the order of their price, the cheapest and a sample of the other free ones, far away too."""
    far = order[MOST_TRIED // 2 : max(free, MOST_TRIED // 2)]
    step = max(1, -(-len(far) // (MOST_TRIED // 2)))
    return np.concatenate([order[: MOST_TRIED // 2], far[::step]])


def _about(
    at: np.ndarray, size: tuple[float, float], label: Label, ground: Ground
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Boxes, leaders and prices of the places about one of the points of a label."""
    bounds = ground.bounds
    centres, price = _candidates(at, np.array(size), label, bounds)
    boxes = bx.boxes_about(centres, size)
    boxes, price = _kept(
        np.all((boxes[:, :2] >= bounds[:2] + 1) & (boxes[:, 2:] <= bounds[2:] - 1), axis=1), boxes, price
    )
    covered = ground.covered(bx.padded(boxes, PAD))
    boxes, price = _kept(~covered, boxes, price + CLASH * covered)
    leaders = _leaders(at, boxes, label.clear)
    return boxes, leaders, price + np.hypot(*(leaders[:, 2:] - leaders[:, :2]).T)


def _kept(good: np.ndarray, *arrays: np.ndarray) -> tuple[np.ndarray, ...]:
    """The rows that are good, or all where none is."""
    return tuple(array[good] for array in arrays) if good.any() else arrays


def _candidates(at: np.ndarray, size: np.ndarray, label: Label, bounds: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Centres (k, 2) of the places to try, with the price of not standing where the label would like best."""
    width, height = size / 2
    gap = label.clear + PAD + 0.5
    beside = {
        "on": (0.0, 0.0),
        "right": (gap + width, 0.0),
        "left": (-gap - width, 0.0),
        "above": (0.0, gap + height),
        "below": (0.0, -gap - height),
    }
    centres, price = [], []
    for rank, where in enumerate(label.where):
        if where in beside:
            tries = at + np.array(beside[where])
            if where in ("right", "left"):
                slides = np.array([(0, 0), (0, 0.5), (0, -0.5), (0, 1.0), (0, -1.0)]) * height
            elif where == "on":
                slides = np.zeros((1, 2))
            else:
                slides = np.array([(0, 0), (0.5, 0), (-0.5, 0), (0.9, 0), (-0.9, 0)]) * width
            tries = tries + slides
            cost = 8.0 * rank + 0.4 * np.abs(slides).sum(axis=1)
        else:
            tries = _grid(at, size, where, label.reach, bounds)
            cost = np.full(len(tries), 8.0 * rank + 6.0)
        centres.append(tries)
        price.append(cost)
    return np.vstack(centres), np.concatenate(price)


def _grid(at: np.ndarray, size: np.ndarray, where: str, reach: float, bounds: np.ndarray) -> np.ndarray:
    low, high = bounds[:2] + size / 2 + 1.5, bounds[2:] - size / 2 - 1.5
    low, high = np.maximum(low, at - reach), np.minimum(high, at + reach)
    if where == "high":
        low[1] = max(low[1], at[1] + size[1] / 2)
    elif where == "low":
        high[1] = min(high[1], at[1] - size[1] / 2)
    xs, ys = (np.arange(low[k], high[k] + 0.5, GRID) for k in (0, 1))
    return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)


def _leaders(at: np.ndarray, boxes: np.ndarray, clear: float) -> np.ndarray:
    """From the rim of the symbol at the point to each box, (k, 4).

    A box over or under the point is met on its lower or upper edge, off its ends; one beside it amid a side.
    """
    left, bottom, right, top = boxes.T
    inset = 0.2 * (right - left)
    over, under = bottom > at[1], top < at[1]
    beside = np.where(left > at[0], left - LEADER_GAP, right + LEADER_GAP)
    x = np.where(over | under, np.clip(at[0], left + inset, right - inset), beside)
    y = np.where(over, bottom - LEADER_GAP, np.where(under, top + LEADER_GAP, (bottom + top) / 2))
    along = np.stack([x, y], axis=-1) - at
    length = np.hypot(*along.T)[:, None]
    start = at + along * np.minimum(clear / np.maximum(length, 1e-9), 1.0)
    return np.hstack([start, at + along])


class _Clashes:
    """The price of each place of a label for meeting the texts and leaders of the others where they stand now.

    What one label's places meet of another's is looked at once for each place the other takes.
    """

    def __init__(self, choices: list[_Choices]) -> None:
        self.choices = choices
        self.spaced = [choice.boxes + BETWEEN for choice in choices]
        self.known: dict[tuple[int, int, int], np.ndarray] = {}

    def __call__(self, i: int, taken: Sequence[int]) -> np.ndarray:
        price = np.zeros(len(self.choices[i].price))
        for j, k in enumerate(taken):
            if k != NOWHERE and j != i:
                if (i, j, k) not in self.known:
                    self.known[i, j, k] = self._meets(i, j, k)
                price += CLASH * self.known[i, j, k]
        return price

    def _meets(self, i: int, j: int, k: int) -> np.ndarray:
        """How often each place of label i meets label j at its place k."""
        box, leader = self.choices[j].boxes[k : k + 1], self.choices[j].leaders[k : k + 1]
        mine = self.choices[i]
        return (
            bx.boxes_meet(self.spaced[i], box).sum(axis=1)
            + bx.segments_meet_boxes(leader, bx.padded(mine.boxes, PAD)).sum(axis=1)
            + bx.segments_meet_boxes(mine.leaders, bx.padded(box, PAD)).sum(axis=0)
            + bx.segments_cross(mine.leaders, leader).sum(axis=1)
        )


def wrapped(figure: AnyFigure, words: str, width: float, size: float, weight: str = "normal") -> str:
    """The words broken into lines no wider than so many pixels; a figure stays on one line with its unit."""
    lines: list[str] = []
    for word in QUANTITY.sub("\u00a0", words).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_size(figure, longer, size, weight)[0] <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return "\n".join(lines)


def in_lines(name: str, most: int = LONG_NAME) -> str:
    """A name in as few lines of like length as keep each to about `most` letters; broken at blanks only."""
    width = -(-len(name) // -(-len(name) // most)) + 3 if name else 1
    return "\n".join(textwrap.wrap(name, width, break_long_words=False, break_on_hyphens=False))
