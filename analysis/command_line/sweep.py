"""`sweep`: the least mark over a grid of knobs; a table, a contour, or a file of all states."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from pathlib import Path
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_heaviest, last_plan
from analysis.command_line.drawn import ENDINGS, picture_at
from analysis.command_line.knob_words import read_knob
from analysis.command_line.outcome import FINE, Outcome
from analysis.command_line.telling import told
from analysis.progress import progress_bar
from analysis.report.sweeps import sweep_sections
from analysis.studies.sweep_files import as_csv, as_npz, take_up
from analysis.studies.sweep_words import sweep_caution, sweep_finding
from analysis.studies.sweeps import Sweep, blank, from_here, go_on, here
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.errors import InputError

TABLES = ("csv", "npz")
STOPPED = 130
MOST_IN_JSON = 10_000


def run(options: Namespace) -> Outcome:
    """Sweep one plan, or two over the same knobs; what is done is told and written even when it is stopped."""
    ending = _ending(options)
    boat = read_boat(options.folder)
    plans = [last_plan(boat, name) for name in options.plan or (None,)]
    if len(plans) > 2 or (len(plans) == 2 and ending in TABLES):
        raise InputError("sweep one plan a file, or compare two in a picture (--out FILE.png)")
    condition = condition_or_heaviest(boat, plans[0][1], options.condition)
    asked = [replace(_asked(boat, plan, condition, options), plan=name) for name, plan in plans]
    if ending in ENDINGS:
        from analysis.figures.contour import check_two  # here: pictures take a while to import

        check_two(asked[0])
    if options.go_on:
        asked[0] = _take_up(asked[0], options.out)
    found = []
    for one in asked:
        with progress_bar(f"{one.plan}, {one.condition}") as progress:
            found.append(go_on(one, progress))
        if found[-1].done < found[-1].states:
            break
    return _outcome(found, len(asked), ending, options)


def _outcome(found: list[Sweep], asked: int, ending: str, options: Namespace) -> Outcome:
    swept = found[0]
    stopped = any(one.done < one.states for one in found)
    other = found[1] if len(found) == asked == 2 and not stopped else None
    now = here(swept)
    parts = sweep_sections(swept, now, from_here(swept), other, options.units)

    def draw() -> Any:
        from analysis.figures.contour import contour_figure  # here: pictures take a while to import

        return contour_figure(swept, now, other, system=options.units)

    files: list[tuple[Path, bytes]] = []
    if ending in TABLES:
        files.append((options.out, as_csv(swept) if ending == "csv" else as_npz(swept)))
    elif swept.done:
        files += picture_at(options.out, ending, draw)
    notes = ["Ask the same with --continue to go on from there."] if stopped and ending == "npz" else ()
    code = STOPPED if stopped else FINE
    return told(swept.boat, (), parts, _figures(swept, now), files, sweep_caution(swept), notes, code)


def _ending(options: Namespace) -> str:
    if options.out is None:
        if options.go_on:
            raise InputError("--continue goes on with a file: name it as --out FILE.npz")
        return ""
    ending: str = options.out.suffix.lower().removeprefix(".")
    if ending not in (*ENDINGS, *TABLES):
        raise InputError(
            f"--out {options.out}: a sweep is written as .csv, .npz, .png or .svg; end the name in one of them"
        )
    if options.go_on and ending != "npz":
        raise InputError(f"--out {options.out}: only a .npz file can be gone on with")
    return ending


def _asked(boat: Boat, plan: AnyPlan, condition: str, options: Namespace) -> Sweep:
    """The sweep as typed, nothing floated yet."""
    if not options.knob:
        raise InputError('say what is swept: --knob "place of fuel tank new = 1.6 m to 3.0 m by 0.1 m"')
    pairs = [read_knob(boat, plan, condition, typed, options.units) for typed in options.knob]
    knobs, axes = [knob for knob, _ in pairs], [values for _, values in pairs]
    return blank(boat, plan, condition, knobs, axes, watch=options.mark, keep=options.keep or ())


def _take_up(asked: Sweep, path: Path) -> Sweep:
    try:
        data = path.read_bytes()
    except OSError as problem:
        reason = (problem.strerror or str(problem)).lower()
        raise InputError(f"{path}: cannot be read: {reason}. Leave out --continue to begin anew") from None
    return take_up(asked, data, str(path))


def _figures(swept: Sweep, now: float) -> dict[str, Any]:
    """The same for programs, SI; the states themselves while they are no more than ten thousand."""
    found = records.of_boat(swept.boat) | {
        "finding": sweep_finding(swept, now),
        "plan": swept.plan,
        "packages": sorted(swept.packages),
        "condition": swept.condition,
        "watched": list(swept.watched),
        "knobs": [
            {"knob": k.label, "quantity": k.quantity, "now_si": records.number(k.now), "goes_with_it": list(k.with_it)}
            for k in swept.knobs
        ],
        "least_as_planned_m": records.number(now / 1000),
        "states": swept.states,
        "states_done": swept.done,
    }
    if swept.done <= MOST_IN_JSON:
        least, names = swept.least_mm / 1000, swept.least_mark
        found["swept"] = [
            {"values_si": [records.number(v) for v in swept.values[i]], "least_m": records.number(least[i]),
             "least_mark": str(names[i]), "trim_deg": records.number(swept.swept.trim[i]),
             "heel_deg": records.number(swept.swept.heel[i]), "mass_kg": records.number(swept.swept.mass[i]),
             "tank_outside_hull_m": records.number(swept.swept.outside[i])}
            for i in swept.swept.done.nonzero()[0]
        ]  # fmt: skip
    return found
