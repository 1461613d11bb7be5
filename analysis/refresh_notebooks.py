"""Run notebooks and keep their outputs so that a second run changes no byte: `python -m analysis.refresh_notebooks`.

Timings, versions, random ids and widget state are left out: they differ from run to run, and a stored widget is dead
outside the kernel that made it (the stored picture beside it is shown instead). A notebook whose code fails is not
written.
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

import nbclient
import nbclient.exceptions
import nbformat
from nbformat import NotebookNode

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"
KERNEL = {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}
KEPT = ("tags", "jupyter")  # cell metadata that is ours
VIEW = "application/vnd.jupyter.widget-view+json"


def refreshed(notebook: NotebookNode, folder: Path) -> NotebookNode:
    """The notebook run from top to bottom in `folder`, with nothing in it that a second run would change.

    Raises
    ------
    nbclient.exceptions.CellExecutionError
        If a cell fails.
    """
    notebook.metadata = NotebookNode({"kernelspec": NotebookNode(KERNEL)})
    for number, cell in enumerate(notebook.cells):
        cell.id = f"cell-{number:02d}"
        cell.metadata = NotebookNode({key: cell.metadata[key] for key in KEPT if key in cell.metadata})
    client = nbclient.NotebookClient(
        notebook,
        timeout=300,
        record_timing=False,
        store_widget_state=False,
        resources={"metadata": {"path": str(folder)}},
    )
    client.execute()
    notebook.metadata.language_info = NotebookNode({"name": "python"})  # the client adds the version of Python
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            output.get("data", {}).pop(VIEW, None)
    return notebook


def refresh(path: Path) -> bool:
    """Run one notebook file and write it back; True where it changed."""
    before = path.read_text(encoding="utf-8")
    notebook = refreshed(nbformat.reads(before, as_version=4), path.parent)
    after = nbformat.writes(notebook) + "\n"
    if after != before:
        beside = path.with_suffix(".part")
        beside.write_text(after, encoding="utf-8")
        os.replace(beside, path)
    return after != before


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m analysis.refresh_notebooks", description=__doc__.split("\n\n")[0])
    parser.add_argument("notebook", nargs="*", type=Path, help="default: every notebook of the project")
    failed = 0
    for path in parser.parse_args(arguments).notebook or sorted(NOTEBOOKS.glob("*.ipynb")):
        try:
            print(f"{path.name}: {'refreshed' if refresh(path) else 'unchanged'}")
        except nbclient.exceptions.CellExecutionError as fault:
            print(f"{path.name}: not written, a cell failed\n{fault}", file=sys.stderr)
            failed = 1
    return failed


if __name__ == "__main__":
    sys.exit(main())
