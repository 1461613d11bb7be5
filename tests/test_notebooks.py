"""Notebooks as they are kept: run in one go, refreshed without a change, compared so that a wrong figure fails."""

from __future__ import annotations

import base64
import copy
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_notebook

from analysis.refresh_notebooks import NOTEBOOKS, main, refresh, refreshed

PATHS = sorted(NOTEBOOKS.glob("*.ipynb"))
PARTS = ["Question", "Data", "Controls", "Picture", "Reading", "Caution"]
PANEL = "bracket-and-repower.ipynb"


def read(path):
    return nbformat.read(path, as_version=4)


def outputs(notebook):
    return [output for cell in notebook.cells for output in cell.get("outputs", [])]


@pytest.fixture(params=PATHS, ids=lambda path: path.stem)
def path(request):
    return request.param


def test_there_are_notebooks():
    assert PANEL in [path.name for path in PATHS]


def test_a_notebook_was_run_from_top_to_bottom(path):
    notebook = read(path)
    counts = [cell.execution_count for cell in notebook.cells if cell.cell_type == "code"]
    assert counts == list(range(1, len(counts) + 1))
    assert notebook.metadata.kernelspec.name == "python3"
    assert not [output for output in outputs(notebook) if output.output_type == "error"]
    assert not [output for output in outputs(notebook) if output.get("name") == "stderr"]


def test_a_notebook_keeps_nothing_that_dies_with_its_kernel(path):
    notebook = read(path)
    assert "widgets" not in notebook.metadata
    assert not [output for output in outputs(notebook) if any("widget" in kind for kind in output.get("data", {}))]
    assert path.stat().st_size < 500_000


def test_a_notebook_has_the_six_parts_and_a_caution_in_words(path):
    texts = [cell.source for cell in read(path).cells if cell.cell_type == "markdown"]
    titles = [line for text in texts for line in text.splitlines() if line.startswith("# ")]
    heads = [text.splitlines()[0].removeprefix("## ") for text in texts if text.startswith("## ")]
    assert len(titles) == 1
    assert heads == PARTS
    assert "\n## " not in "\n".join(text[2:] for text in texts)
    shown = "\n".join(str(output.get("data", {})) for output in outputs(read(path)))
    assert "naval architect" in shown
    assert "check the finished boat afloat before use" in shown


def test_code_cells_are_short_and_draw_nothing_themselves(path):
    for cell in read(path).cells:
        if cell.cell_type == "code":
            lines = [line for line in cell.source.splitlines() if line and not line.startswith(("import ", "from "))]
            assert len(lines) <= 6, cell.source
            assert "matplotlib" not in cell.source


def test_a_notebook_closes_with_checks(path):
    assert "assert" in [cell for cell in read(path).cells if cell.cell_type == "code"][-1].source


def test_every_picture_has_words_beside_it_that_carry_its_figures(path):
    for output in outputs(read(path)):
        data = output.get("data", {})
        if "image/png" in data:
            assert base64.b64decode(data["image/png"]).startswith(b"\x89PNG")
            assert re.search(r"\d", data["text/plain"])
            assert "object at 0x" not in data["text/plain"]


# What nbval sees


def with_panel_only(notebook):
    """The notebook as far as its panel, which is the first cell with a picture."""
    short = copy.deepcopy(notebook)
    last = next(
        i for i, c in enumerate(short.cells) if any("image/png" in o.get("data", {}) for o in c.get("outputs", []))
    )
    short.cells = short.cells[: last + 1]
    return short


def compare(path, folder):
    """Compare a notebook with a run of it, as the README's test command does; (exit code, what pytest said)."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-p",
        "no:cacheprovider",
        "--nbval",
        "--nbval-current-env",
        str(path),
    ]
    run = subprocess.run(
        command, cwd=folder, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300, check=False
    )
    return run.returncode, run.stdout


def test_a_wrong_figure_in_the_panels_reading_fails(tmp_path):
    """The panel's cell twice, as it is kept and with a wrong figure: all pass but the last."""
    notebook = with_panel_only(read(NOTEBOOKS / PANEL))
    tampered = copy.deepcopy(notebook.cells[-1])
    tampered.id = "tampered"
    notebook.cells.append(tampered)
    data = next(o.data for o in tampered.outputs if "image/png" in o.get("data", {}))
    assert "22 mm under" in data["text/plain"]
    data["text/plain"] = data["text/plain"].replace("22 mm under", "23 mm under")
    path = tmp_path / "tampered.ipynb"
    nbformat.write(notebook, path)
    ended, said = compare(path, tmp_path)
    assert ended == 1 and "23 mm under" in said, said
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert f"1 failed, {len(cells) - 1} passed" in said, said
    assert f"tampered.ipynb::Cell {len(cells) - 1}" in said


# Refreshing


def small_notebook():
    code = "from IPython.display import Markdown\nfrom ipywidgets import IntSlider\nIntSlider(3)"
    return new_notebook(cells=[new_code_cell(code), new_code_cell("print(6 * 7)")])


def test_refreshing_twice_changes_no_byte(tmp_path):
    path = tmp_path / "small.ipynb"
    nbformat.write(small_notebook(), path)
    assert refresh(path)
    first = path.read_bytes()
    assert b"42" in first
    assert not refresh(path)
    assert path.read_bytes() == first
    assert [p.name for p in tmp_path.iterdir()] == ["small.ipynb"]


def test_refreshing_drops_widgets_timings_versions_and_stale_state(tmp_path):
    notebook = small_notebook()
    notebook.metadata["widgets"] = {"state": "of an earlier run"}
    notebook.cells[0].metadata = {"execution": {"shell.execute_reply": "2001"}, "tags": ["kept"]}
    fresh = refreshed(notebook, Path(tmp_path))
    assert set(fresh.metadata) == {"kernelspec", "language_info"}
    assert fresh.metadata.language_info == {"name": "python"}
    assert fresh.cells[0].metadata == {"tags": ["kept"]}
    assert list(fresh.cells[0].outputs[0].data) == ["text/plain"]


def test_a_notebook_that_fails_is_not_written(tmp_path, capfd):
    path = tmp_path / "broken.ipynb"
    nbformat.write(new_notebook(cells=[new_code_cell("1 / 0")]), path)
    before = path.read_bytes()
    assert main([str(path)]) == 1
    assert path.read_bytes() == before
    assert "ZeroDivisionError" in capfd.readouterr().err
