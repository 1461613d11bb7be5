"""The page as a PDF: printed by weasyprint (extra `pdf`) where it is installed, else by a Chromium on the path."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from hullcalc.errors import InputError

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--headless", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
)  # fmt: skip
LONGEST = 120  # seconds a browser may take


def as_pdf(page: str) -> bytes:
    """Print one self-contained HTML page.

    Raises
    ------
    InputError
        Where there is neither weasyprint nor a Chromium, or the browser fails; it says what to do instead.
    """
    try:
        from weasyprint import HTML
    except (ImportError, OSError):  # not installed, or without the system's text libraries
        return _by_browser(page)
    return bytes(HTML(string=page).write_pdf())


def _by_browser(page: str) -> bytes:
    browser = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    instead = "Write an .html page and print it from any browser"
    if browser is None:
        raise InputError(f'a PDF needs weasyprint (pip install -e ".[pdf]") or a Chromium; neither is here. {instead}')
    as_root = ["--no-sandbox"] if getattr(os, "geteuid", lambda: 1)() == 0 else []  # root cannot have the sandbox
    with tempfile.TemporaryDirectory() as place:
        source, printed = Path(place) / "page.html", Path(place) / "page.pdf"
        source.write_text(page, encoding="utf-8")
        command = [browser, *FLAGS, *as_root, f"--user-data-dir={place}/profile", f"--print-to-pdf={printed}"]
        try:
            subprocess.run([*command, source.as_uri()], capture_output=True, timeout=LONGEST, check=True)
            return printed.read_bytes()
        except (OSError, subprocess.SubprocessError) as problem:
            raise InputError(f"{browser} could not print the page ({type(problem).__name__}). {instead}") from problem
