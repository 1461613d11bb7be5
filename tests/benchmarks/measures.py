"""The measures: what is set beside what, and the ratio each must keep."""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import trimesh

import hullcalc as hc
from analysis.studies.attribution import which_changes
from analysis.studies.sweeps import blank, go_on
from hullcalc.boats import combinations
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.knobs import fill_of, place_of, setback
from hullcalc.geometry.tree import build_tree
from tests.benchmarks.hulls import DEMO, hull, loads, planes, tanks
from tests.benchmarks.references import NumpySweep, one_leaf, plain_float, tree, trimesh_cut_and_cap
from tests.benchmarks.timing import Candidate, best_of, cpu_of_process, of_all_threads

SMALL, MIDDLE, LARGE = 0, 1, 3  # splits: 4.7, 19 and 299 thousand triangles


@dataclass(frozen=True)
class Measure:
    """One line: the figure, the bound it must keep (None: told only) and whether more is better."""

    what: str
    figure: float
    bound: float | None = None
    at_least: bool = False
    unit: str = "x"

    @property
    def kept(self) -> bool | None:
        if self.bound is None:
            return None
        return self.figure >= self.bound if self.at_least else self.figure <= self.bound


def cuts() -> tuple[dict[int, dict[str, float]], list[Measure]]:
    """CPU seconds of one cut by each way at each size, and what follows from them."""
    seconds = {splits: _cuts_of(splits) for splits in (SMALL, MIDDLE, LARGE)}
    small, large = seconds[SMALL], seconds[LARGE]
    growth = np.log(large["tree"] / seconds[MIDDLE]["tree"]) / np.log(4 ** (LARGE - MIDDLE))
    return seconds, [
        Measure("one cut, 299k triangles to 4.7k", large["tree"] / small["tree"], 16),
        Measure("growth of a cut with triangles, exponent, 19k to 299k", growth, 0.7, unit=""),
        Measure("compiled sweep to tree, 299k", large["compiled sweep"] / large["tree"], 5, True),
        Measure("numpy sweep to tree, 299k", large["numpy sweep"] / large["tree"], 30, True),
        Measure("trimesh cut and cap to tree, 299k", large["trimesh cut and cap"] / large["tree"], 300, True),
        Measure("trimesh cut and cap to tree, 4.7k", small["trimesh cut and cap"] / small["tree"], 100, True),
    ]


def _cuts_of(splits: int) -> dict[str, float]:
    """CPU seconds of one cut of one hull by each way; the slow ways cut by fewer planes, in fewer rounds."""
    solid, (normals, offsets) = hull(splits), planes()
    mesh = trimesh.Trimesh(solid.vertices, solid.faces, process=False)
    forest, leaf, sweep = tree(solid), one_leaf(solid), NumpySweep.of(solid)
    few, rounds = {SMALL: (200, 12), MIDDLE: (20, 6), LARGE: (5, 3)}[splits]
    some = list(zip(normals[:few], offsets[:few], strict=True))
    return best_of(
        {
            "tree": Candidate(lambda: forest.cut(normals, offsets), 200),
            "compiled sweep": Candidate(lambda: leaf.cut(normals, offsets), 200),
            "numpy sweep": Candidate(lambda: [sweep.cut(*plane) for plane in some], few, rounds),
            "trimesh cut and cap": Candidate(lambda: [trimesh_cut_and_cap(mesh, *p) for p in some], few, rounds),
        }
    )


def floats(cut_seconds: dict[int, dict[str, float]]) -> list[Measure]:
    """Equilibrium of one and of many, beside a plain solver and beside single cuts."""
    ready = {splits: hull(splits) for splits in (SMALL, LARGE)}
    masses, centres = loads(1024)
    four = tanks()
    lighter = masses - sum(t.fill * t.solid.volume * t.density for t in four)  # the same weight with the liquids

    def ours(splits: int, count: int) -> Candidate:
        return Candidate(lambda: hc.float_many(ready[splits], masses[:count], centres[:count], threads=1), count)

    def with_tanks() -> None:
        hc.float_many(ready[SMALL], lighter, centres, tanks=four, threads=1)

    def one_by_one() -> None:
        for mass, cg in zip(masses[:100], centres[:100], strict=True):
            hc.float_at_rest(ready[SMALL], mass, cg)

    def plain(splits: int, count: int) -> None:
        for mass, cg in zip(masses[:count], centres[:count], strict=True):
            plain_float(ready[splits], mass, cg, 1025.0)

    spent = best_of(
        {
            "many, small": ours(SMALL, 1024),
            "many, small, tanks": Candidate(with_tanks, 1024),
            "many, large": ours(LARGE, 64),
            "one by one": Candidate(one_by_one, 100),
            "plain, small": Candidate(lambda: plain(SMALL, 4), 4, 3),
            "plain, large": Candidate(lambda: plain(LARGE, 1), 1, 1),
        }
    )
    small_cut = cut_seconds[SMALL]["tree"]
    return [
        Measure("plain solver to float_many, a state, 4.7k", spent["plain, small"] / spent["many, small"], 500, True),
        Measure(
            "plain solver to float_at_rest, one boat a call, 4.7k",
            spent["plain, small"] / spent["one by one"],
            500,
            True,
        ),
        Measure("plain solver to float_many, a state, 299k", spent["plain, large"] / spent["many, large"], 3000, True),
        Measure("four box tanks to none, float_many", spent["many, small, tanks"] / spent["many, small"], 1.6),
        Measure("float_many, a state, in single cuts, 4.7k", spent["many, small"] / small_cut, 8, unit=" cuts"),
    ]


def threads() -> list[Measure]:
    """Two threads beside one: their work, and, where the machine leaves them two cores, the clock on the wall."""
    masses, centres = loads(4096)

    def by(count: int) -> tuple[float, float]:
        return of_all_threads(lambda: hc.float_many(hull(), masses, centres, threads=count))

    (cpu_one, wall_one), (cpu_two, wall_two) = by(1), by(2)
    cores = cpu_two / wall_two  # that other work on the machine left to the two threads
    both = cores > 1.8
    what = "two threads beside one, on the wall's clock"
    return [
        Measure("work of two threads to one, float_many", cpu_two / cpu_one),
        Measure(
            what if both else f"{what} ({cores:.1f} cores were free: tells nothing)",
            wall_one / wall_two, 1.6 if both else None, True,
        ),
    ]  # fmt: skip


def sweeps() -> list[Measure]:
    """A sweep of 100,000 states with its threads, its memory, and what sharing a change out costs beyond its floats."""
    boat, plan, condition = read_boat(DEMO), "mended plan", "4 adults full"
    knobs = [setback(boat, plan, 0.76), place_of(boat, plan, "fuel tank new"), place_of(boat, plan, "batteries"),
             fill_of(boat, plan, "fuel", 0.95)]  # fmt: skip
    over = np.linspace(0.5, 0.9, 10), np.linspace(1.6, 2.8, 20), np.linspace(0.3, 3.5, 25), np.linspace(0.1, 0.95, 20)
    loading = boat.loading(plan, condition)

    def by(count: int, axes: Sequence[np.ndarray], rounds: int) -> tuple[float, float]:
        states = blank(boat, plan, condition, knobs, axes)
        return of_all_threads(lambda: go_on(states, threads=count), rounds)

    some = (over[0][::3], over[1][::3], *over[2:])
    (cpu_one, wall_one), (cpu_two, wall_two) = by(1, some, 3), by(2, some, 3)
    both = cpu_two / wall_two > 1.8
    what = "sweep, two threads beside one, on the wall's clock"
    swept = blank(boat, plan, condition, knobs, over)
    tracemalloc.start()
    whole = go_on(swept)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    kept = sum(array.nbytes for array in (whole.values, *vars(whole.swept).values()))
    _, wall_whole = by(2, over, 1)
    single = best_of({"one": Candidate(lambda: float_loading(loading, shut=True), 1)})["one"]
    return [
        Measure("sweep of 100,000 states, four knobs, in single floats", wall_whole / single, unit=" floats"),
        Measure("sweep, work of two threads to one", cpu_two / cpu_one),
        Measure(
            what if both else f"{what} ({cpu_two / wall_two:.1f} cores were free: tells nothing)",
            wall_one / wall_two, 1.4 if both else None, True,
        ),
        Measure("sweep, memory kept, bytes a state", kept / whole.states, unit=" bytes"),
        Measure("sweep, most memory at once, bytes a state", peak / whole.states, 1000, unit=" bytes"),
        *_sharing_out(boat, single),
    ]  # fmt: skip


def _sharing_out(boat: Boat, single: float) -> list[Measure]:
    """Ten packages in six conditions at four places: 6,144 loadings."""
    packages = [package for package in boat.plans["mended plan"].packages if package != "8 equipment"]
    conditions = [name for name in boat.conditions if name != "light, bracket flooded"][:6]
    at = ["stern", "sole aft port", "sole aft starboard", "scupper port"]
    floated, spent = combinations.float_many, []

    def timed(*given: Any, **more: Any) -> Any:
        began = time.process_time()
        answer = floated(*given, **more)
        spent[-1] += time.process_time() - began
        return answer

    def once() -> None:
        spent.append(0.0)
        which_changes(boat, packages, conditions, at, ())

    once()
    try:
        combinations.float_many = timed
        beyond = min(of_all_threads(once, 1)[0] - spent[-1] for _ in range(5))
    finally:
        combinations.float_many = floated
    return [
        Measure(
            "change shared out among 10 packages in 6 conditions, beyond its floats, in single floats",
            beyond / single, 500, unit=" floats",
        )
    ]  # fmt: skip


def building(cut_seconds: dict[int, dict[str, float]]) -> list[Measure]:
    """What a solid costs before its first cut."""
    solid = hull(LARGE)
    spent = best_of(
        {
            "tree": Candidate(lambda: build_tree(solid.vertices, solid.faces), 1, 3),
            "checked": Candidate(lambda: hc.Solid(solid.vertices, solid.faces), 1, 3),
        }
    )
    size = sum(array.nbytes for array in solid.tree) / len(solid.faces)
    large_cut = cut_seconds[LARGE]["tree"]
    return [
        Measure("build of the tree, in cuts, 299k", spent["tree"] / large_cut, 1000, unit=" cuts"),
        Measure("check that a surface bounds a body, to building its tree, 299k", spent["checked"] / spent["tree"]),
        Measure("memory of the tree, bytes a triangle, 299k", size, 256, unit=" bytes"),
    ]


FIRST_FLOAT = """
import hullcalc as hc
from analysis.studies.attribution import which_changes
from analysis.studies.sweeps import blank, go_on
from hullcalc.boats import combinations
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.knobs import fill_of, place_of, setback
from hullcalc.geometry.makers import box
hc.float_at_rest(box((0, 6), (-1, 1), (0, 1)), 4000, (3, 0, 0.5))
"""


def starting() -> list[Measure]:
    """New processes: what importing brings in, the first float with compiled code kept from before and without."""
    brings = cpu_of_process("import sys, hullcalc\nassert 'numba' not in sys.modules")
    numpy_alone = cpu_of_process("import numpy")
    compilers = cpu_of_process("import numba, numpy")
    warm, cold = cpu_of_process(FIRST_FLOAT), cpu_of_process(FIRST_FLOAT, 1, cold=True)
    return [
        Measure("import hullcalc (brings no numba), to import numpy", brings / numpy_alone),
        Measure("first float of a process, over twice the import of numba", warm - 2 * compilers, 1, unit=" s"),
        Measure("first float on a machine: everything is compiled", cold, 10, unit=" s"),
    ]
