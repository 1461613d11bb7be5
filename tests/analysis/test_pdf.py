"""The page printed to PDF, and what is said where nothing can print it."""

from __future__ import annotations

import importlib.util
import re
import shutil
import sys

import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.command_line import program
from analysis.report import pdf

can_print = importlib.util.find_spec("weasyprint") or any(map(shutil.which, pdf.BROWSERS))


@pytest.mark.skipif(not can_print, reason="neither weasyprint nor a Chromium is here")
def test_the_report_as_a_pdf(tmp_path, capsys):
    out = tmp_path / "boat.pdf"
    assert program.main(["report", str(data_folder() / "boats" / "demo-outboard-22"), "--out", str(out)]) == 0
    data = out.read_bytes()
    assert data.startswith(b"%PDF-") and b"%%EOF" in data[-1024:]
    assert len(re.findall(rb"/Type\s*/Page\b", data)) >= 2 or b"/ObjStm" in data  # pages, where they are not packed


def test_nothing_to_print_with_is_said_and_nothing_written(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(pdf.shutil, "which", lambda name: None)
    monkeypatch.setitem(sys.modules, "weasyprint", None)  # import then fails
    out = tmp_path / "boat.pdf"
    assert program.main(["report", str(data_folder() / "boats" / "demo-outboard-22"), "--out", str(out)]) == 2
    error = capsys.readouterr().err
    assert "needs weasyprint" in error and "print it from any browser" in error and not out.exists()


def test_a_browser_that_fails_is_said(monkeypatch, tmp_path):
    broken = tmp_path / "chromium"
    broken.write_text("#!/bin/sh\nexit 3\n")
    broken.chmod(0o755)
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    monkeypatch.setattr(pdf.shutil, "which", lambda name: str(broken))
    with pytest.raises(hc.InputError, match="could not print the page"):
        pdf.as_pdf("<p>page</p>")
