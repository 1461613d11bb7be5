"""The demo folder retyped in pounds and inches, semicolons and decimal commas: the same boat, and messages in lb."""

from __future__ import annotations

import csv
import io

import pytest
from numpy.testing import assert_allclose

import hullcalc as hc

POUND, INCH = 0.45359237, 0.0254  # exact by definition: NIST SP 811, appendix B.8
HEADS = {
    "mass_kg": ("mass [lb]", POUND),
    "u_mass_kg": ("u_mass_lb", POUND),
    **{f"{axis}_m": (f"{axis}_in", INCH) for axis in "xyz"},
    **{f"to_{axis}_m": (f"to_{axis} (in)", INCH) for axis in "xyz"},
}


def retyped(text):
    """The table with masses in pounds, places in inches, cells between semicolons, decimal commas, a mark in front."""
    rows = list(csv.reader(io.StringIO(text)))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    writer.writerow([HEADS.get(head, (head, 1))[0] for head in rows[0]])
    for row in rows[1:]:
        cells = []
        for head, cell in zip(rows[0], row, strict=True):
            if head in HEADS and cell:
                cell = f"{float(cell) / HEADS[head][1]:.12g}".replace(".", ",")
            cells.append(cell)
        writer.writerow(cells)
    return "\ufeff" + out.getvalue()


FILES = ("ledger.csv", "marks.csv", "people.csv", "spaces.csv", "solids.csv")


def test_the_same_boat(spoil, demo):
    boat = hc.read_boat(spoil(dict.fromkeys(FILES, retyped)))
    assert not boat.remarks
    for plan in demo.plans:
        for condition in demo.conditions:
            ours, hers = boat.float(plan, condition), demo.float(plan, condition)
            assert ours.marks == pytest.approx(hers.marks, abs=1e-8)
            assert [r.opened for r in ours.rounds] == [r.opened for r in hers.rounds]
    assert_allclose(boat.weight("mended plan").u_centre, demo.weight("mended plan").u_centre, rtol=1e-8)


def test_messages_in_the_units_typed(problems_of):
    def slipped(text):
        return retyped(
            text.replace("dry XL leg,268,", "dry XL leg,2680,").replace("platform,52,-0.55", "platform,52,0.55")
        )

    words = {p.row: (p.expected, p.mend) for p in problems_of({"ledger.csv": slipped}) if p.level == "mend"}
    assert words[36][0] == "5908 lb is 10 x what a 250 hp outboard weighs (562-661)"
    assert words[36][1].startswith("Missing decimal point? Type 590.8")
    assert words[33][1] == 'Brackets sit aft: write "21.65 in aft"'
