"""Meshes from files: each format against a tetrahedron written here by hand, and files that are nothing of the kind."""

import builtins
import struct
import sys

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from hullcalc import InputError, Solid
from hullcalc.geometry.mesh_files import read_mesh
from hullcalc.geometry.surface import check_closed, signed_volume

CORNERS = np.array([[0, 0, 0], [3, 0, 0], [0, 2, 0], [0, 0, 4.0]])  # volume 3 x 2 x 4 / 6 = 4
FACES = [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]
quick = settings(derandomize=True, deadline=None, database=None, max_examples=80)


def binary_stl(corners=CORNERS, faces=FACES, head=b"solid of nothing in particular"):
    data = head.ljust(80, b"\0") + struct.pack("<I", len(faces))
    for face in faces:
        data += struct.pack("<12fH", 0, 0, 0, *np.asarray(corners)[face].ravel(), 7)
    return data


def text_stl():
    facets = (
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {x} {y} {z}\n" for x, y, z in CORNERS[face])
        + "endloop\nendfacet\n"
        for face in FACES
    )
    return f"solid wedge\n{''.join(facets)}endsolid wedge\n".encode()


def obj():
    points = "".join(f"v {x} {y} {z}\n" for x, y, z in CORNERS)
    return (points + "".join(f"f {a + 1} {b + 1} {c + 1}\n" for a, b, c in FACES)).encode()


def text_ply():
    head = "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\n"
    head += "element face 4\nproperty list uchar int vertex_indices\nend_header\n"
    points = "".join(f"{x} {y} {z}\n" for x, y, z in CORNERS)
    return (head + points + "".join(f"3 {a} {b} {c}\n" for a, b, c in FACES)).encode()


def binary_ply():
    head = "ply\nformat binary_little_endian 1.0\nelement vertex 4\nproperty float x\nproperty float y\n"
    head += "property float z\nelement face 4\nproperty list uchar int vertex_indices\nend_header\n"
    return head.encode() + CORNERS.astype("<f4").tobytes() + b"".join(struct.pack("<B3i", 3, *face) for face in FACES)


GOOD = {
    "binary.stl": binary_stl(),
    "text.stl": text_stl(),
    "a.obj": obj(),
    "text.ply": text_ply(),
    "binary.PLY": binary_ply(),
}


def write(folder, name, data):
    path = folder / name
    path.write_bytes(data)
    return path


@pytest.mark.parametrize("name", GOOD)
def test_each_format(tmp_path, name):
    vertices, faces = read_mesh(write(tmp_path, name, GOOD[name]))
    assert vertices.shape == (4, 3) and vertices.dtype == float
    assert faces.shape == (4, 3) and np.issubdtype(faces.dtype, np.integer)
    check_closed(vertices, faces)
    assert signed_volume(vertices, faces) == pytest.approx(4.0, rel=1e-14)
    assert {tuple(v) for v in vertices} == {tuple(v) for v in CORNERS}


def test_a_solid_from_a_file_in_millimetres(tmp_path):
    solid = Solid.from_mesh(str(write(tmp_path, "hull.stl", binary_stl(CORNERS * 1000))), scale=0.001)
    assert solid.volume == pytest.approx(4.0, rel=1e-12)


def test_binary_stl_needs_no_library_and_other_formats_name_the_extra(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "trimesh", None)
    assert len(read_mesh(write(tmp_path, "binary.stl", GOOD["binary.stl"]))[1]) == 4
    for name in ("text.stl", "a.obj", "text.ply"):
        with pytest.raises(InputError, match=r"this format needs the extra `mesh` .*or save it as binary STL"):
            read_mesh(write(tmp_path, name, GOOD[name]))


def test_faces_of_four_corners_in_two_objects_are_split_and_joined(tmp_path):
    text = "o low\n" + "".join(f"v {x} {y} {z}\n" for z in (0, 1) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1)))
    text += "f 1 4 3 2\nf 5 6 7 8\nf 1 2 6 5\no high\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n"
    vertices, faces = read_mesh(write(tmp_path, "box.obj", text.encode()))
    assert vertices.shape == (8, 3) and faces.shape == (12, 3)
    check_closed(vertices, faces)
    assert signed_volume(vertices, faces) == pytest.approx(1.0, rel=1e-14)


def test_nothing_beside_the_file_is_opened(tmp_path, monkeypatch):
    (tmp_path / "paint.mtl").write_text("newmtl red\nmap_Kd secret.png\n")
    path = write(tmp_path, "a.obj", b"mtllib paint.mtl\nusemtl red\n" + obj())
    opened = []
    plain = builtins.open

    def watched(file, *args, **kwargs):
        opened.append(str(file))
        return plain(file, *args, **kwargs)

    monkeypatch.setattr(builtins, "open", watched)
    assert len(read_mesh(path)[1]) == 4
    assert not [name for name in opened if name.endswith((".mtl", ".png"))]


def test_a_larger_mesh_comes_through_every_format_alike(tmp_path):
    ball = trimesh.creation.icosphere(subdivisions=2)
    read = []
    for kind, suffix in (("stl", "stl"), ("stl_ascii", "stl"), ("obj", "obj"), ("ply", "ply")):
        data = ball.export(file_type=kind)
        path = write(tmp_path, f"{kind}.{suffix}", data.encode() if isinstance(data, str) else data)
        vertices, faces = read_mesh(path)
        check_closed(vertices, faces)
        assert (len(vertices), len(faces)) == (162, 320)
        read.append(signed_volume(vertices, faces))
    np.testing.assert_allclose(read, ball.volume, rtol=1e-6)  # single precision and printed decimals


def test_faces_naming_one_vertex_twice_are_left_out(tmp_path):
    _, faces = read_mesh(write(tmp_path, "a.stl", binary_stl(faces=[*FACES, [0, 0, 1], [2, 3, 2]])))
    assert len(faces) == 4


def test_a_hole_is_not_filled(tmp_path):
    _, faces = read_mesh(write(tmp_path, "open.stl", binary_stl(faces=FACES[:3])))
    assert len(faces) == 3


def test_winding_is_kept(tmp_path):
    inward = [face[::-1] for face in FACES]
    for name, data in (("a.stl", binary_stl(faces=inward)), ("a.obj", obj().replace(b"f 1 3 2", b"f 1 2 3"))):
        vertices, faces = read_mesh(write(tmp_path, name, data))
        given_faces = inward if name == "a.stl" else [[0, 1, 2], *FACES[1:]]
        turns = {tuple(map(tuple, np.roll(vertices[face], k, axis=0))) for face in faces for k in range(3)}
        assert all(tuple(map(tuple, CORNERS[face])) in turns for face in given_faces)


@pytest.mark.parametrize(
    ("name", "data", "match"),
    [
        ("empty.stl", b"", "the file is empty"),
        ("none.stl", binary_stl(faces=[]), "no faces"),
        (
            "cut.stl",
            GOOD["binary.stl"][:-7],
            r"neither a text STL .*277 bytes, but its head says 4 triangles, 284 bytes",
        ),
        ("short.stl", b"\1\2\3", "neither a text STL"),
        ("picture.stl", b"\x89PNG\r\n\x1a\n" + bytes(500), "damaged or cut short"),
        ("words.stl", b"solid ground\nbut no triangles\nendsolid", "neither a text STL"),
        ("text.stl", b"solid x\nfacet normal 0 0 0\nouter loop\nvertex one two three\nendloop\nendfacet\n", "no faces"),
        (
            "nan.stl",
            binary_stl(np.where(CORNERS == 4, np.nan, CORNERS)),
            r"vertices\[\d+, 2\] = nan is not a coordinate",
        ),
        ("far.stl", binary_stl(np.where(CORNERS == 4, 1e30, CORNERS)), "is not a coordinate"),
        ("words.obj", b"this is not a mesh\n", "OBJ|no faces"),
        ("points.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", "OBJ|no faces"),
        ("past.obj", obj().replace(b"f 1 2 4", b"f 1 2 9"), "OBJ|names no vertex"),
        ("words.ply", b"ply\nand nothing else\n", "cannot be read as PLY"),
        (
            "points.ply",
            text_ply().split(b"element face")[0] + b"end_header\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n",
            "PLY|no faces",
        ),
        ("cut.ply", GOOD["binary.PLY"][:-20], "PLY|no faces|names no vertex"),
        ("past.ply", text_ply().replace(b"3 1 2 3", b"3 1 2 77"), "names no vertex"),
        ("huge.ply", binary_ply().replace(b"vertex 4", b"vertex 4000000000"), "PLY"),
    ],
)
def test_what_is_no_mesh(tmp_path, capfd, name, data, match):
    path = write(tmp_path, name, data)
    with pytest.raises(InputError, match=match) as caught:
        read_mesh(path)
    assert str(path) in str(caught.value)
    assert capfd.readouterr() == ("", "")


def test_what_is_no_file(tmp_path):
    with pytest.raises(InputError, match=r"missing\.stl: cannot be read \(No such file or directory\); check the name"):
        read_mesh(tmp_path / "missing.stl")
    with pytest.raises(InputError, match=r"a mesh file ends in \.stl, \.obj, \.ply"):
        read_mesh(tmp_path / "hull.docx")
    (tmp_path / "folder.stl").mkdir()
    with pytest.raises(InputError, match=r"folder\.stl: cannot be read"):
        read_mesh(tmp_path / "folder.stl")


@quick
@given(st.sampled_from(sorted(GOOD)), st.data())
def test_damaged_files_give_a_mesh_or_one_clear_error(tmp_path_factory, name, data):
    content = bytearray(GOOD[name])
    for _ in range(data.draw(st.integers(0, 6))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    content = bytes(content[: data.draw(st.integers(0, len(content)))]) + data.draw(st.binary(max_size=30))
    path = write(tmp_path_factory.getbasetemp(), "damaged" + name[name.index(".") :], content)
    try:
        vertices, faces = read_mesh(path)
    except InputError as error:
        assert str(path) in str(error)
    else:
        assert np.isfinite(vertices).all() and faces.min() >= 0 and faces.max() < len(vertices)


def test_exact_values_of_single_precision_are_kept(tmp_path):
    corners = CORNERS + np.float32(0.1)
    vertices, _ = read_mesh(write(tmp_path, "a.stl", binary_stl(corners)))
    assert_array_equal(np.unique(vertices), np.unique(corners.astype(np.float32).astype(float)))
