"""The bar that people watch while something long runs: in a notebook or on a terminal, and nowhere else."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar(what: str, unit: str = "states") -> Iterator[Callable[[int, int], None] | None]:
    """Within the block: a function of (done, in all) that moves the bar; None where nobody watches."""
    notebook = _in_a_notebook()
    if not notebook and not sys.stderr.isatty():
        yield None
        return
    if notebook:
        from tqdm.notebook import tqdm
    else:
        from tqdm import tqdm
    with tqdm(desc=what, unit=f" {unit}", leave=False) as bar:

        def moved(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield moved


def _in_a_notebook() -> bool:
    """Is this run by a kernel, so that its output is a page?"""
    shell = sys.modules.get("IPython")
    found = shell.get_ipython() if shell is not None else None
    return found is not None and hasattr(found, "kernel")
