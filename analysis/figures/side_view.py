"""The boat from the side, held still while the water lines move: one for each plan, with the marks and their millimetres.

Forward is to the right and one scale serves both directions. The first case is the boat drawn (her pod, tanks, liquids
and engine); the others only give their water lines. Heights are with spaces shut unless the case is shown at rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from analysis.figures import shapes
from analysis.figures.labels import Placed
from analysis.figures.style import HAIR, HULL, INK, MUTED
from analysis.studies.floats import Case
from analysis.studies.mends import Moved

MARGIN = 0.35  # m of water beyond boat and engine at each end
TOP_PX, BOTTOM_PX = 96.0, 52.0  # room for labels above and below the boat
CIRCLE = 6.0  # points


@dataclass(frozen=True, eq=False)
class Drawn:
    """What a view put on its Axes; `places` tells where the labels went."""

    artists: list[Artist]
    places: list[Placed]


def side_view(
    ax: Axes,
    cases: Sequence[Case],
    *,
    marks: Sequence[str] | None = None,
    moved: Sequence[Moved] = (),
    system: str = "metric",
) -> Drawn:
    """Draw the first case's boat with the water line of each case.

    Parameters
    ----------
    cases
        The plan shown first, then those to compare it with; all of one boat. The Axes must have its final place.
    marks
        Names of the marks shown; None: openings, sole and the like, the lower of a port and starboard pair.
    moved
        Weights that a mend would move, drawn as arrows with what they buy.
    system
        "metric" or "us".
    """
    case = cases[0]
    marks = side_marks(case) if marks is None else marks
    engines = [
        shapes.ENGINE_SIDE + shapes.to_view(place, shapes.SIDE)
        for place in shapes.engine_places(case.boat, case.package_names)
    ]
    outline = shapes.profile(case.boat.hull)
    pods = {n: s for n, s in case.boat.solids_in(case.packages).items() if s is not case.boat.hull.solid}
    silhouettes = {name: shapes.silhouette(solid, shapes.SIDE) for name, solid in pods.items()}
    _frame(ax, np.vstack([outline, *engines, *silhouettes.values()]), [c.plan for c in cases], system)

    left, right = ax.get_xlim()[0], ax.boat_right  # type: ignore[attr-defined]
    artists = _water(ax, case, left, right)
    artists += ax.fill(*outline.T, facecolor=HULL, edgecolor=INK, linewidth=1.4, zorder=2)
    for line in shapes.inner_lines(case.boat.hull)[:1]:
        artists += ax.plot(*line.T, color=HAIR, linewidth=0.8, zorder=2.2)
    for silhouette in silhouettes.values():
        artists += ax.fill(*silhouette.T, facecolor="white", edgecolor=INK, linewidth=1.0, hatch="....", zorder=2.1)
    for engine in engines:
        artists += ax.fill(*engine.T, facecolor="#dedede", edgecolor=MUTED, linewidth=1.0, zorder=1.8)
    return Drawn(artists, [])
