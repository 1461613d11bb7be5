"""The command line in one process, and copies of the demonstration boat to spoil."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import NamedTuple

import pytest

from analysis import DEMO, data_folder
from analysis.command_line import main


class Said(NamedTuple):
    """What a run of the command line said and the code it ended with."""

    code: int
    out: str
    err: str


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    return data_folder() / "boats" / DEMO


@pytest.fixture(autouse=True)
def wide(monkeypatch):
    """Lines as on a wide terminal, wherever the tests run: a process among several is told of a narrower one."""
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture
def run(capsys):
    """run("float", folder, ...) → Said."""

    def once(*argv) -> Said:
        capsys.readouterr()
        code = main([str(word) for word in argv])
        out, err = capsys.readouterr()
        return Said(code, out, err)

    return once


@pytest.fixture
def copy(tmp_path, demo_folder):
    """copy({"boat.toml": (old, new)}) → a copy of the demonstration boat, each text (or a list of them) replaced."""

    def make(changes) -> Path:
        folder = tmp_path / "my boat"
        shutil.copytree(demo_folder, folder)
        for name, pairs in changes.items():
            text = (folder / name).read_text(encoding="utf-8")
            for old, new in pairs if isinstance(pairs, list) else [pairs]:
                assert old in text, f"{name} no longer holds {old!r}"
                text = text.replace(old, new)
            (folder / name).write_text(text, encoding="utf-8")
        return folder

    return make
