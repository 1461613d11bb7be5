"""Whose doubt is it? Shares of the variance of one mark's height, by cause and by group of causes.

Straight lines: causes know nothing of each other, so their squares add up to the whole [1]_. People and stores are told
by aspect together (their mass, their place across); other things each by itself where they matter, together where not.

References
----------
.. [1] JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM), 5.1.2.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import pandas as pd

from hullcalc.boats.causes import ACROSS, ALONG, MASS, UP, Cause, Causes

CREW = "people and stores"
SMALL = 0.01  # of the variance: things below it are told together
OF_WEIGHT = {MASS: "mass", ALONG: "place fore and aft", ACROSS: "place across", UP: "height"}


def shares_of(causes: Causes, mark: str, crew: Collection[str]) -> pd.DataFrame:
    """Columns group, mm (root of the sum of squares), share (of the variance), leans, causes (how many); most first.

    `crew` are the names of people and stores.
    """
    squares = (1000 * causes.effects([mark])[:, 0]) ** 2
    whole = float(squares.sum())
    alone: dict[str, float] = {}
    for cause, square in zip(causes.each, squares, strict=True):
        name = group_of(cause, crew)
        alone[name] = alone.get(name, 0.0) + square
    groups: dict[str, list[tuple[float, bool]]] = {}
    for cause, square in zip(causes.each, squares, strict=True):
        if square > 0:
            name = group_of(cause, crew)
            name = name if alone[name] >= SMALL * whole else _lot(cause)
            groups.setdefault(name, []).append((square, cause.leans))
    rows = [
        (name, np.sqrt(sum(s for s, _ in of)), sum(s for s, _ in of) / whole, all(lean for _, lean in of), len(of))
        for name, of in groups.items()
    ]
    table = pd.DataFrame(rows, columns=["group", "mm", "share", "leans", "causes"])
    return table.sort_values(["share", "group"], ascending=[False, True]).reset_index(drop=True)


def group_of(cause: Cause, crew: Collection[str]) -> str:
    """What a cause is told with where it matters."""
    kind = OF_WEIGHT.get(cause.kind, cause.kind)
    if cause.thing in crew:
        return f"{CREW}: {kind}"
    return f"{cause.thing.removesuffix(', new place')}: {kind}" if cause.thing != cause.name else cause.name


def _lot(cause: Cause) -> str:
    """What a cause is told with where it does not matter alone."""
    if cause.kind not in OF_WEIGHT:
        return "the rest"
    return f"other things: {OF_WEIGHT[cause.kind]}"
