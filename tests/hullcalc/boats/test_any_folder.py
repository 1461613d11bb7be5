"""Whatever stands in a boat folder, reading it ends in a boat or in an InputError, and leaves the folder as it was."""

from __future__ import annotations

import contextlib
import hashlib
import random
from pathlib import Path

import pytest

import hullcalc as hc

CELLS = (
    "", "0", "-1", "NaN", "inf", "1e308", "-1e-308", "0x1F", "1,5", "1.612,5", "=1/0", "#DIV/0!", "three", "3 furlongs",
    "½", "0.35 P", "0.35 aft", "10 %", "\x00", "ß" * 40, "9" * 400, "+", "a + b", " + ", "'", '"', "-", "--5", "5-",
    "2024-05-01", "TRUE", "None", "\ufeff", "🚤",
)  # fmt: skip


@pytest.mark.parametrize("seed", range(60))
def test_any_cell_may_hold_anything(spoil, seed):
    """Three cells anywhere replaced by odd texts: she is read, or InputError says what is wrong; nothing else."""
    chance = random.Random(seed)
    folder = spoil({})
    for _ in range(3):
        path = chance.choice(sorted(folder.glob("*.csv")))
        rows = [line.split(",") for line in path.read_text(encoding="utf-8").splitlines()]
        row = chance.choice(rows)
        row[chance.randrange(len(row))] = chance.choice(CELLS)
        path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    try:
        boat = hc.read_boat(folder)
    except hc.InputError as error:
        assert error.problems and all(p.mend for p in error.problems)
    else:
        assert boat.weight("as found").mass > 0


@pytest.mark.parametrize("seed", range(30))
def test_any_line_of_the_toml_may_be_gone_or_torn(spoil, seed):
    chance = random.Random(seed)
    folder = spoil({})
    lines = (folder / "boat.toml").read_text(encoding="utf-8").splitlines()
    at = chance.randrange(len(lines))
    torn = lines[at][: chance.randrange(len(lines[at]) + 1)]
    lines[at : at + 1] = chance.choice(([], [torn], [lines[at], lines[at]], [lines[at].replace('"', "")]))
    (folder / "boat.toml").write_text("\n".join(lines), encoding="utf-8")
    try:
        hc.read_boat(folder)
    except hc.InputError as error:
        assert error.problems


def prints(folder: Path) -> dict[str, str]:
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.rglob("*")) if p.is_file()}


SLIPS = ({}, {"ledger.csv": ("propeller,214,", "propeller,NaN,")}, {"stations.csv": None}, {"boat.toml": None})


@pytest.mark.parametrize("slips", SLIPS, ids=("sound", "a bad cell", "no stations", "no boat.toml"))
def test_reading_writes_nothing(spoil, slips):
    folder = spoil(slips)
    before = prints(folder)
    with contextlib.suppress(hc.InputError):
        hc.read_boat(folder)
    assert prints(folder) == before
