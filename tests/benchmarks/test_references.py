"""The plain ways answer as the moment tree does: what is timed side by side is the same question."""

import numpy as np
import pytest
import trimesh
from numpy.testing import assert_allclose, assert_array_equal

import hullcalc as hc
from tests.benchmarks.hulls import hull, loads, planes, tanks
from tests.benchmarks.references import NumpySweep, one_leaf, plain_float, tree, trimesh_cut_and_cap


@pytest.mark.parametrize("splits", [0, 1])
def test_sections_agree(splits):
    solid = hull(splits)
    mesh = trimesh.Trimesh(solid.vertices, solid.faces, process=False)
    sweep = NumpySweep.of(solid)
    for normal, offset in zip(*planes(5), strict=True):
        cut = solid.cut(normal, offset)
        expected = np.hstack([cut.volume, cut.centroid, cut.area, cut.area_centroid])
        assert_allclose(np.hstack(sweep.cut(normal, offset)), expected, rtol=1e-12, atol=1e-12)
        assert_allclose(
            np.hstack(trimesh_cut_and_cap(mesh, normal, offset)), expected, atol=1e-7
        )  # it merges at 1e-8 m


def test_one_leaf_is_the_same_sum():
    solid = hull()
    normals, offsets = planes(20)
    assert_allclose(one_leaf(solid).cut(normals, offsets), tree(solid).cut(normals, offsets), rtol=1e-11, atol=1e-12)


def test_plain_float_rests_where_ours_does():
    masses, centres = loads(2)
    for mass, cg in zip(masses, centres, strict=True):
        normal, offset, slices = plain_float(hull(), mass, cg, 1025.0)
        state = hc.float_at_rest(hull(), mass, cg)
        assert_allclose(normal, state.normal, atol=1e-6)
        assert_allclose(offset, state.offset, atol=1e-6)
        assert slices > 10 * state.hull_cuts


def test_splitting_keeps_the_shape():
    normals, offsets = planes(5)
    assert len(hull(1).faces) == 4 * len(hull().faces)
    for normal, offset in zip(normals, offsets, strict=True):
        assert_allclose(hull(1).cut(normal, offset).volume, hull().cut(normal, offset).volume, rtol=1e-12)


def test_walks_do_not_grow_with_the_mesh():
    masses, centres = loads(200)
    few, many = (hc.float_many(hull(splits), masses, centres).hull_cuts for splits in (0, 1))
    assert many.max() <= 7 and few.max() <= 7
    assert many.mean() <= 6


def test_large_meshes_and_tanks_give_the_same_bits_on_any_number_of_threads():
    masses, centres = loads(300)
    one, two, three = (hc.float_many(hull(1), masses, centres, tanks=tanks(), threads=n) for n in (1, 2, 3))
    for name in ("normal", "offset", "stiffness", "hull_cuts"):
        assert_array_equal(getattr(one, name), getattr(two, name))
        assert_array_equal(getattr(one, name), getattr(three, name))
