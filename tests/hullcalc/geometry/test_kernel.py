"""The compiled kernel: prepared only when needed, wherever its code may be kept, and the same when not compiled."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from trial_bodies import BAIT, FUEL, HULL, POD, WELL

import hullcalc as hc

CUT = """
import logging, sys
import numpy as np
{before}
import hullcalc as hc
from hullcalc.geometry.makers import box
assert "numba" not in sys.modules, "importing hullcalc must not import numba"
body = box((-3, 3), (-1, 1), (0, 1.2))
assert "numba" not in sys.modules, "making a body must not import numba"
cut = body.cut((0.1, 0.2, 1), 0.6)
assert "numba" in sys.modules
print(repr(cut.volume), repr(cut.area))
"""


def run(before: str, **environment: str) -> subprocess.CompletedProcess:
    script = CUT.format(before=before)
    return subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, env=os.environ | environment, check=False
    )


def here() -> list[float]:
    from hullcalc.geometry.makers import box

    cut = box((-3, 3), (-1, 1), (0, 1.2)).cut((0.1, 0.2, 1), 0.6)
    return [cut.volume, cut.area]


def test_nowhere_to_keep_compiled_code_is_no_fault():
    nowhere = "import numba.core.caching as caching; caching.CacheImpl._locator_classes = []; del sys.modules['numba']"
    done = run(nowhere)
    assert done.returncode == 0, done.stderr
    assert_allclose([float(word) for word in done.stdout.split()], here(), rtol=1e-15)


def test_the_first_use_is_logged_and_prints_nothing():
    done = run("logging.basicConfig(level=logging.INFO)")
    assert done.returncode == 0, done.stderr
    assert "preparing the compiled kernel" in done.stderr and "hullcalc" in done.stderr
    quiet = run("")
    assert quiet.stderr == "" and len(quiet.stdout.splitlines()) == 1


def test_the_same_without_compiling(tmp_path):
    # The kernel's own source, run as plain Python: what the compiler made of it agrees to rounding.
    script = tmp_path / "plain.py"
    script.write_text(
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "import numpy as np, hullcalc as hc\n"
        "from trial_bodies import BAIT, FUEL, HULL, POD, WELL\n"
        "tanks = [hc.Tank('f', FUEL, 740, fill=0.5), hc.Tank('b', BAIT, 1025, level_at=(0.55, -0.75, 0.7))]\n"
        "state = hc.float_at_rest([HULL, POD], 1500, (2.1, 0.03, 0.5), tanks=tanks, flooded=[WELL])\n"
        "print(*state.normal, state.offset, state.gm_transverse, *state.response([0.0, 0.8, 0.6]))\n"
    )
    support = Path(__file__).parents[2] / "support"
    done = subprocess.run([sys.executable, script, support], capture_output=True, text=True, check=False,
                          env=os.environ | {"NUMBA_DISABLE_JIT": "1"})  # fmt: skip
    assert done.returncode == 0, done.stderr
    tanks = [hc.Tank("f", FUEL, 740, fill=0.5), hc.Tank("b", BAIT, 1025, level_at=(0.55, -0.75, 0.7))]
    state = hc.float_at_rest([HULL, POD], 1500, (2.1, 0.03, 0.5), tanks=tanks, flooded=[WELL])
    compiled = [*state.normal, state.offset, state.gm_transverse, *state.response([0.0, 0.8, 0.6])]
    assert_allclose([float(word) for word in done.stdout.split()], compiled, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_a_walk_over_the_tree_is_the_sum_over_all_triangles(seed):
    # Other road: every triangle clipped by numpy, cap closed by the divergence theorem (volume and first moments).
    rng = np.random.default_rng(seed)
    n = rng.normal(size=3)
    n /= np.linalg.norm(n)
    d = n @ HULL.centroid + rng.normal() * 0.2
    volume, moment = 0.0, np.zeros(3)
    apex = n * d  # a point of the plane: the cap then adds nothing
    for face in HULL.faces:
        polygon = clip(HULL.vertices[face] - apex, n)
        for i in range(1, len(polygon) - 1):
            six = np.dot(polygon[0], np.cross(polygon[i], polygon[i + 1]))
            volume += six / 6
            moment += six / 24 * (polygon[0] + polygon[i] + polygon[i + 1])
    cut = HULL.cut(n, d)
    assert_allclose(cut.volume, volume, rtol=1e-12)
    assert_allclose(cut.centroid, apex + moment / volume, rtol=0, atol=1e-12)


def clip(triangle, n):
    """The part of a triangle on the far side of the plane n.r = 0 (Sutherland and Hodgman)."""
    inside, heights = [], triangle @ n
    for i in range(3):
        a, b, wa, wb = triangle[i], triangle[(i + 1) % 3], heights[i], heights[(i + 1) % 3]
        if wa < 0:
            inside.append(a)
        if (wa < 0) != (wb < 0):
            inside.append(a + wa / (wa - wb) * (b - a))
    return inside
