"""The README cannot drift: its commands, its example, its picture and the verbs it names are held to what is there."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

import hullcalc as hc
from analysis.command_line import main
from analysis.command_line.arguments import VERBS

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """The code blocks of a language, in order."""
    return [block.strip() for block in re.findall(rf"```{language}\n(.*?)```", README, re.S)]


def steps(command: str) -> list[str]:
    """The parts of a command, the Windows form told as the other: what must be the same on both."""
    parts = re.split(r" && |; ", command)
    return [part.replace(r".\.venv\Scripts\python", ".venv/bin/python").replace("py -3 ", "python3 ") for part in parts]


def test_opens_with_one_paragraph_and_a_picture():
    title, first, second, *_ = re.split(r"\n\n+", README)
    assert title.startswith("# hullcalc") and "\n#" not in first and len(first.split()) > 60
    assert re.fullmatch(r"!\[[^\]]+\]\([^)]+\)", second)


def test_two_commands_each_on_one_line_the_same_on_both_systems():
    here, windows = blocks("sh"), blocks("powershell")
    assert len(here) == len(windows) == 2
    for one, other in zip(here, windows, strict=True):
        assert "\n" not in one and "\n" not in other
        assert steps(one) == steps(other)


@pytest.mark.parametrize("command", blocks("sh"))
def test_each_command_sets_everything_up(command):
    venv, install, *rest = steps(command)
    assert venv == "python3 -m venv .venv" and rest
    assert install.startswith(".venv/bin/python -m pip install") and "-e" in install.split()
    extras = re.search(r'"\.\[(\w+)\]"', install)
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert extras is None or extras[1] in project["optional-dependencies"]
    assert all(part.startswith(".venv/bin/python -m ") for part in rest)


def test_the_first_command_runs_the_main_job(capsys):
    *_, last = steps(blocks("sh")[0])
    words = last.split()
    assert words[:3] == [".venv/bin/python", "-m", "analysis"]
    assert main(words[3:]) == 0
    assert "WHICH PACKAGE DID IT" in capsys.readouterr().out


def test_the_second_command_passes_all_tests_and_notebooks():
    *_, last = steps(blocks("sh")[1])
    words = last.split()
    assert words[:3] == [".venv/bin/python", "-m", "pytest"]
    assert {"tests", "notebooks", "--nbval", "--nbval-current-env"} <= set(words)
    assert (ROOT / "tests").is_dir() and list((ROOT / "notebooks").glob("*.ipynb"))


def test_ci_takes_its_test_command_from_here():
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "README.md" in run, ".ci/run should read the test command out of the README"
    assert blocks("sh")[1] not in run, "a copy of the command would drift"


def test_the_example_prints_what_stands_below_it():
    (code,), (printed,) = blocks("python"), blocks("text")
    assert 8 <= len([line for line in code.splitlines() if line.strip()]) <= 12
    done = subprocess.run(
        [sys.executable, "-W", "error", "-X", "utf8", "-c", code], capture_output=True, encoding="utf-8", cwd=ROOT,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == printed


def test_the_picture_shows_the_figures_of_today(tmp_path):
    (path,) = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    (command,) = re.findall(r"`python -m analysis (picture [^`]+)`", README)
    assert command.split()[-1] == path
    assert main([*command.split()[:-1], str(tmp_path / "new.svg")]) == 0
    assert said_of(ROOT / path) == said_of(tmp_path / "new.svg")


def said_of(path: Path) -> tuple[str, str]:
    """Title and description that a picture carries: the finding, and every height it shows, in words."""
    dc = "{http://purl.org/dc/elements/1.1/}"
    root = ElementTree.parse(path).getroot()
    title, words = (next(root.iter(f"{dc}{tag}")).text for tag in ("title", "description"))
    assert title and words and re.search(r"\d+ mm (above|under)", words)
    return title, words


def test_every_verb_it_names_is_one_and_every_path_is_there():
    rows = re.findall(r"^\| (`.*?) \|", README, re.M)
    named = {verb for row in rows for verb in re.findall(r"`(\w+) ", row)}
    assert named | set(re.findall(r"python -m analysis (\w+)", README)) == set(VERBS)
    for path in re.findall(r"`((?:data|notebooks|tests)/[\w./-]+|[A-Z]\w+\.md|environment\.yml)`", README):
        assert (ROOT / path).exists(), path


def test_standing_care_is_said_word_for_word():
    from hullcalc.boats.limits import STANDING_CARE

    said = " ".join(README.split())
    for rule in ("check the finished boat afloat before use", "belong to a naval architect or a qualified surveyor"):
        assert rule in said.lower() and any(rule in care for care in STANDING_CARE)
    assert hc.read_boat(ROOT / "data/boats/demo-outboard-22").invented and "invented" in said
