"""The story in sections of words and tables, the same on a screen and on a page; `system` is "metric" or "us"."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres, side_by_side
from analysis.report.story import Story, uncertainty_mm
from analysis.studies.attribution import RULE, STERN
from analysis.studies.floats import Case, least_forward_mark, sole_fall
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import capital, caution, finding, say_change, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_height, say_length_mm, say_mass, say_position

KINDS_SHOWN = 2
INPUTS_NAMED = 4


def sections(story: Story, system: str = "metric") -> list[Section]:
    """All parts of the story that can be told of this boat, in the order of telling."""
    told = [weights(story, system), floating(story, system), attitudes(story, system)]
    if story.change is not None:
        told.append(which_package(story, system))
    if story.mends is not None:
        told.append(what_mends_it(story, system))
    if story.neutral is not None:
        told.append(no_harm(story, system))
    ends = both_ends(story, system)
    if ends.listed:
        told.append(ends)
    if any(case.watched() for case in story.told):
        told.append(how_sure(story, system))
    if story.notes:
        told.append(Section("Not told", before=story.notes))
    told.append(cautions(story, system))
    return told


def headline(story: Story, system: str = "metric") -> str:
    """The finding: the refit's plans in the told condition, or the boat as found where there is no refit."""
    cases = [c for c in story.told if c.plan != AS_FOUND] or story.told
    if not cases:
        return f"{capital(story.condition)}: she sinks"
    return finding(cases, system)


def weights(story: Story, system: str) -> Section:
    """What she weighs and where her centre is, with what the refit handles."""
    boat, rows = story.boat, []
    for plan in story.study.plans:
        weight = boat.weight(plan)
        case = story.study.cases.get((plan, story.condition))
        rows.append(
            (
                plan,
                say_mass(float(weight.mass), system),
                say_mass(float(weight.u_mass), system),
                _place(float(weight.centre[0]), "x", system),
                say_length_mm(float(weight.u_centre[0]), system),
                _place(float(weight.centre[2]), "z", system),
                say_mass(float(case.shut.mass), system) if case else "sinks",
            )
        )
    head = ("", "weight", "give or take", "forward", "give or take", "up", "weight")
    groups = (("without liquids in tanks", 2), ("centre of gravity (LCG, VCG)", 3), (story.condition, 1))
    after = ["Give or take: one standard uncertainty. Forward of the transom's lower end, up from the keel line."]
    if story.refit is not None:
        after.append(_handled(story, system))
    return Section("What she weighs", grids=(Grid(head, tuple(rows), groups),), after=tuple(after))


def _place(coordinate: float, axis: str, system: str) -> str:
    """A position without the words that its column's head says; the words stay where it lies on the other side."""
    said = say_position(coordinate, axis, system)
    return said.removesuffix(" forward of the transom").removesuffix(" above the keel line")


def _handled(story: Story, system: str) -> str:
    """What the refit takes out and puts in, net and in all."""
    assert story.refit is not None
    tally, found = story.boat.tally(story.refit), float(story.boat.as_found.mass)
    net = f"{say_mass(abs(tally.net), system)} {'heavier' if tally.net > 0 else 'lighter'}"
    return (
        f"{capital(the_plan(story.refit))} takes {say_mass(tally.removed, system)} out and puts "
        f"{say_mass(tally.added, system)} in: {net}. In all {say_mass(tally.absolute, system)} is handled, "
        f"{100 * tally.absolute / found:.0f} % of the boat as found: weigh her again before she is launched."
    )


def floating(story: Story, system: str) -> Section:
    """The lowest mark of the kinds that matter in each plan and condition; before any figure, where water comes in."""
    kinds = kinds_that_matter(story)
    about = f"{height_unit(system)} above or under water of the lowest {' and the lowest '.join(kinds)} mark"
    after = [_blank(story)] if _without_its_space(story) else []
    before, wet = _water_comes_in(story)
    return Section("How she floats", about, before, wet, (_floating_grid(story, kinds, system),), tuple(after))


def attitudes(story: Story, system: str) -> Section:
    """Trim, heel and GM in the told condition, and what becomes of her where the sea is let in."""
    cases = {case.plan: case for case in story.told}
    grids = (side_by_side(cases, system, marks=()),) if cases else ()
    return Section(f"How she lies, {story.condition}", "openings shut unless said", grids=grids)


def kinds_that_matter(story: Story) -> list[str]:
    """Kinds of mark there are in every case and should be dry, the lowest over all cases first; two of them."""
    lowest: dict[str, float] = {}
    counted: dict[str, int] = {}
    cases = story.study.cases.values()
    for case in cases:
        for name in reversed(case.watched()):
            kind = case.marks[name].kind
            lowest[kind] = min(lowest.get(kind, case.heights_shut[name]), case.heights_shut[name])
        for kind in {case.marks[name].kind for name in case.watched()}:
            counted[kind] = counted.get(kind, 0) + 1
    everywhere = [kind for kind in lowest if counted[kind] == len(cases)]
    return sorted(everywhere, key=lambda kind: lowest[kind])[:KINDS_SHOWN]


def _floating_grid(story: Story, kinds: Sequence[str], system: str) -> Grid:
    plans, rows = story.study.plans, []
    for condition in story.study.conditions:
        cells: list[str] = []
        for plan in plans:
            cells += _floating_cells(story, plan, condition, kinds, system)
        rows.append((condition, *cells))
    return Grid(("", *list(kinds) * len(plans)), tuple(rows), tuple((plan, len(kinds)) for plan in plans))


def _floating_cells(story: Story, plan: str, condition: str, kinds: Sequence[str], system: str) -> list[str]:
    case = story.study.cases.get((plan, condition))
    if case is None:
        return ["sinks", *[""] * (len(kinds) - 1)]
    if (plan, condition) in _without_its_space(story):
        return [""] * len(kinds)
    if case.shut.status != "floats":
        return [case.shut.status, *[""] * (len(kinds) - 1)]
    return [height_cell(min(case.heights_shut[n] for n in case.watched([kind])), system) for kind in kinds]


def _without_its_space(story: Story) -> list[tuple[str, str]]:
    """Cases whose condition holds something open that the plan does not have: they are those of another condition."""
    return [
        (plan, condition)
        for (plan, condition), case in story.study.cases.items()
        if story.boat.conditions[condition].open and not case.held_open
    ]


def _blank(story: Story) -> str:
    wanted = dict.fromkeys(name for _, c in _without_its_space(story) for name in story.boat.conditions[c].open)
    return f"Left blank where a plan has no {say_list(list(wanted))} to open to the sea."


def _water_comes_in(story: Story) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Where an opening is under water, said before any figure: sentences, and a line for each plan."""
    left_out = _without_its_space(story)
    wet: dict[str, list[str]] = {}
    for (plan, condition), case in story.study.cases.items():
        if case.under and (plan, condition) not in left_out:
            wet.setdefault(plan, []).append(condition)
    sunk = [f"{plan}, {condition}" for plan, condition in _sunk(story)]
    said = [f"She sinks in: {'; '.join(sunk)}."] if sunk else []
    if wet:
        said.append("Water comes in where an opening is under; there the figures hold only while it is plugged:")
    else:
        said.append("No opening is under water in any of these cases. All openings shut.")
    return tuple(said), tuple(f"{plan}: {'; '.join(conditions)}." for plan, conditions in wet.items())


def _sunk(story: Story) -> list[tuple[str, str]]:
    every = [(plan, condition) for plan in story.study.plans for condition in story.study.conditions]
    return [key for key in every if key not in story.study.cases]


def which_package(story: Story, system: str) -> Section:
    """The change shared among packages, most deeper first, with the heaviest items."""
    change = story.change
    assert change is not None
    place = "water at the stern" if change.at == STERN else change.at
    ranked = change.table.sort_values("mean_mm", ascending=False)
    rows = [
        (
            str(row["package"]),
            say_change(row["mean_mm"], system),
            "" if _same(row["least_mm"], row["most_mm"], system) else say_change(row["least_mm"], system),
            "" if _same(row["least_mm"], row["most_mm"], system) else say_change(row["most_mm"], system),
        )
        for _, row in ranked.iterrows()
    ]
    rows.append(("in all", say_change(change.total_mm, system), "", ""))
    items = change.items.sort_values("mm", ascending=False).head(3)
    most = "; ".join(f"{row['item']} {say_change(row['mm'], system)}" for _, row in items.iterrows())
    return Section(
        "Which package did it",
        f"from as found to {the_plan(change.plan)}, {change.condition}: {place}",
        grids=(Grid(("", RULE, "least", "most"), tuple(rows), (("", 1), ("by the order", 2))),),
        after=(f"Single items that sink the stern most: {most}." if change.at == STERN else f"Most: {most}.",),
    )


def _same(a: float, b: float, system: str) -> bool:
    return say_change(a, system) == say_change(b, system)


def what_mends_it(story: Story, system: str) -> Section:
    """What each mend buys alone and together, where she is lowest."""
    mends = story.mends
    assert mends is not None
    rows = [
        (
            str(row["name"]).removeprefix("mend: "),
            say_change(-row["alone_mm"], system),
            height_cell(row["at_mm"] / 1000, system),
            f"{row['least_mark']} {height_cell(row['least_mm'] / 1000, system)}",
        )
        for _, row in mends.table.iloc[:-1].sort_values("alone_mm", ascending=False).iterrows()
    ]
    last = mends.table.iloc[-1]
    rows.append(
        (
            "all together",
            say_change(-last["alone_mm"], system),
            height_cell(last["at_mm"] / 1000, system),
            f"{last['least_mark']} {height_cell(last['least_mm'] / 1000, system)}",
        )
    )
    least = f"lowest {mends.at}" if mends.at not in mends.before.marks else mends.at
    return Section(
        "What mends it",
        f"{the_plan(mends.plan)}, {mends.condition}, {height_unit(system)}, openings shut",
        grids=(Grid(("one mend alone", "buys", f"{least} then", "lowest mark then"), tuple(rows)),),
    )


def no_harm(story: Story, system: str) -> Section:
    """For each mark that matters the place where added weight leaves it, and what 10 kg do elsewhere."""
    neutral = story.neutral
    assert neutral is not None
    case = story.study.cases[story.last_plan, story.condition]
    wanted = _lowest_of_kinds(case)
    ends = case.boat.hull.solid.vertices[:, 0]
    places = [column for column in neutral.columns if column.startswith("mm_per_10_kg ")]
    rows = []
    for _, row in neutral[neutral["mark"].isin(wanted)].sort_values("height_mm").iterrows():
        x = float(row["neutral_x_m"])
        where = say_metres(x, system) if 0 <= x <= ends.max() else _place(x, "x", system)
        rows.append(
            (
                str(row["mark"]),
                where if row["inside_boat"] else "nowhere",
                *(say_change(-row[place], system) for place in places),
            )
        )
    head = ("", "forward of the transom", *(place.removeprefix("mm_per_10_kg ") for place in places))
    groups = (("no harm", 1), (f"what {say_mass(10.0, system)} on the centreline do", len(places)))
    return Section(
        "Where added weight does no harm",
        f"{story.last_plan}, {story.condition}",
        grids=(Grid(head, tuple(rows), groups),),
        after=(
            "Aft of the place of no harm weight sinks an after mark, forward of it lifts it; a mark forward the other "
            "way about. Small weights only: float her again with a heavy one.",
        ),
    )


def _lowest_of_kinds(case: Case) -> list[str]:
    """The lowest mark of each kind that should be dry, deck edges aside, and the lowest forward: at most five."""
    lowest: dict[str, str] = {}
    for name in case.watched():
        lowest.setdefault(case.marks[name].kind, name)
    names = [name for kind, name in lowest.items() if kind != "freeboard" or len(lowest) == 1][:4]
    forward = least_forward_mark(case)
    return names if forward is None or forward in names else [*names, forward]


def both_ends(story: Story, system: str) -> Section:
    """How low the bow comes and which way the sole drains, over all ordinary conditions of each plan."""
    said = []
    for plan in story.study.plans:
        cases = [story.study.cases[plan, c] for c in story.ordinary if (plan, c) in story.study.cases]
        parts = [text for text in (_forward(cases, system), _sole(cases, system)) if text]
        if parts:
            said.append(f"{capital(plan)}: {'; '.join(parts)}.")
    return Section("Both ends", "mending the stern must not sink the bow or drain the sole forward", listed=tuple(said))


def _forward(cases: Sequence[Case], system: str) -> str:
    lowest = [(case.heights_shut[name], name, case) for case in cases if (name := least_forward_mark(case))]
    if not lowest:
        return ""
    height, name, case = min(lowest, key=lambda found: found[0])
    return f"lowest forward is {name}, {say_height(height, system)} water in {case.condition}"


def _sole(cases: Sequence[Case], system: str) -> str:
    falls = [(fall.fall, fall, case) for case in cases if (fall := sole_fall(case.marks, case.heights_shut))]
    if not falls:
        return ""
    _, least, case = min(falls, key=lambda found: found[0])
    over = f"{say_length_mm(abs(least.fall), system)} over {say_metres(least.length, system)} in {case.condition}"
    if least.fall > 0:
        return f"the sole drains aft throughout, least {over}"
    return f"{least.words} by {over}"


def how_sure(story: Story, system: str) -> Section:
    """The lowest mark of each plan in the told condition: how far its height may be off, and what makes it so."""
    rows, most = [], ""
    for case in story.told:
        if case.shut.status != "floats" or not case.watched():
            continue
        mark = case.watched()[0]
        inputs = story.inputs(case.plan, mark)
        off = say_length_mm(uncertainty_mm(inputs) / 1000, system)
        rows.append((case.plan, mark, height_cell(case.heights_shut[mark], system), off))
        named = [
            f"{_cause(str(row.input))} {say_length_mm(abs(float(row.mm)) / 1000, system)}"
            for row in inputs.head(INPUTS_NAMED).itertuples()
        ]
        most = f"What moves the {case.plan} most: {', '.join(named)}."
    return Section(
        f"How sure, {story.condition}",
        "one standard uncertainty of all inputs",
        grids=(Grid(("", "lowest mark", height_unit(system), "give or take"), tuple(rows)),),
        after=(most,) if most else (),
    )


def _cause(named: str) -> str:
    """A cause of uncertainty as it is spoken of: "helmsman: place across" is "place across of helmsman"."""
    thing, _, aspect = named.rpartition(": ")
    if aspect == "its own height":
        return "the mark's own height"
    return f"{aspect} of {'the boat as found' if thing == AS_FOUND else thing}"


def cautions(story: Story, system: str) -> Section:
    """What the figures leave out, fitted to the told cases, and the standing care."""
    cases = [c for c in story.told if c.plan != AS_FOUND] or story.told
    said = caution(cases, system) if cases else " ".join(STANDING_CARE)
    return Section("Take care", before=(said,))
