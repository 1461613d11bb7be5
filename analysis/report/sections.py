"""The story in sections of words and tables, the same on a screen and on a page.

`system` is "metric" or "us". Heights in tables have no unit: their heading says it. Directions are words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analysis.report.story import Story
from analysis.studies.attribution import RULE, STERN
from analysis.studies.floats import NOT_WATCHED, Case, least_forward_mark, sole_fall
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import attitude, capital, caution, finding, say_change, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_height, say_length_mm, say_mass, say_position

PLANS_SIDE_BY_SIDE = 3
KINDS_SHOWN = 2


@dataclass(frozen=True)
class Grid:
    """A table: one head, rows of as many cells; the first column is text. `groups` are names over columns, (name, span)."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    groups: tuple[tuple[str, int], ...] = ()

    def top(self, count: int) -> Grid:
        """The first rows only."""
        return Grid(self.head, self.rows[:count], self.groups)


@dataclass(frozen=True)
class Section:
    """One part of the story: a title, what it is about, words, tables, words."""

    title: str
    about: str = ""
    before: tuple[str, ...] = ()
    grids: tuple[Grid, ...] = ()
    after: tuple[str, ...] = ()


def sections(story: Story, system: str = "metric") -> list[Section]:
    """All parts of the story that can be told of this boat, in the order of telling."""
    told = [weights(story, system), floating(story, system)]
    if story.change is not None:
        told.append(which_package(story, system))
    if story.mends is not None:
        told.append(what_mends_it(story, system))
    if story.neutral is not None:
        told.append(no_harm(story, system))
    told.append(both_ends(story, system))
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


def height_cell(height: float, system: str) -> str:
    """A height for a table whose heading says the unit: "76 under", "2 5/8 above", "at water"."""
    return say_height(height, system).replace(" mm ", " ").replace(" in ", " ").replace("at the water", "at water")


def height_unit(system: str) -> str:
    """The unit of the heights in a table."""
    return "inches" if system == "us" else "millimetres"


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
    return Section("What she weighs", "", (), (Grid(head, tuple(rows), groups),), tuple(after))


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
    plans = story.study.plans
    grids = [
        _floating_grid(story, plans[at : at + PLANS_SIDE_BY_SIDE], kinds, system)
        for at in range(0, len(plans), PLANS_SIDE_BY_SIDE)
    ]
    about = f"{height_unit(system)} above or under water of the lowest {' and the lowest '.join(kinds)} mark"
    after = [_blank(story)] if _without_its_space(story) else []
    after += [f"{capital(case.plan)}, {case.condition}: {attitude(case)}." for case in story.told]
    after += [text for case in story.told if (text := let_in(case, system))]
    return Section("How she floats", about, tuple(_water_comes_in(story)), tuple(grids), tuple(after))


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


def _floating_grid(story: Story, plans: Sequence[str], kinds: Sequence[str], system: str) -> Grid:
    rows = []
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


def _water_comes_in(story: Story) -> list[str]:
    """Where an opening is under water, by plan, before any figure is given."""
    left_out = _without_its_space(story)
    wet: dict[str, list[str]] = {}
    for (plan, condition), case in story.study.cases.items():
        if case.under and (plan, condition) not in left_out:
            wet.setdefault(plan, []).append(condition)
    sunk = [f"{plan}, {condition}" for plan, condition in _sunk(story)]
    said = [f"She sinks in: {'; '.join(sunk)}."] if sunk else []
    if not wet:
        return [*said, "No opening is under water in any of these cases. All openings shut."]
    return [
        *said,
        "Water comes in where an opening is under; there the figures hold only while it is plugged:",
        *(f"{plan}: {'; '.join(conditions)}." for plan, conditions in wet.items()),
    ]


def _sunk(story: Story) -> list[tuple[str, str]]:
    every = [(plan, condition) for plan in story.study.plans for condition in story.study.conditions]
    return [key for key in every if key not in story.study.cases]


def let_in(case: Case, system: str) -> str:
    """Where she comes to rest with the sea let in, "" where no space opened: the lowest mark of what stands open."""
    if not case.entered:
        return ""
    least = min(case.watched(["sole"]) or case.watched(), key=lambda name: case.heights[name])
    gm = f"GM {say_metres(float(case.state.gm_transverse), system)}, was {say_metres(float(case.shut.gm_transverse), system)}"
    return (
        f"With the {say_list(case.entered)} open to the sea, {case.plan}, {case.condition}: {least} "
        f"{say_height(case.heights[least], system)} ({gm})."
    )


def say_metres(length: float, system: str) -> str:
    """A length of some metres: "0.66 m", or feet and inches; "minus 0.05 m"."""
    said = say_position(abs(length), "x", system).removesuffix(" forward of the transom")
    said = said.replace("at the transom", "nothing")
    return f"minus {said}" if length < 0 and said != "nothing" else said


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
        grids=(Grid(("", RULE, "between", "and, by the order"), tuple(rows)),),
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
    head = ("", "forward of transom", *(place.removeprefix("mm_per_10_kg ") for place in places))
    groups = (("no harm", 1), ("10 kg on the centreline, height of the mark", len(places)))
    return Section(
        "Where added weight does no harm",
        f"{story.last_plan}, {story.condition}",
        grids=(Grid(head, tuple(rows), groups),),
        after=(
            "Aft of the place of no harm, weight sinks an after mark; forward of it, it lifts it. For a mark forward it "
            "is the other way about. Small weights only: float her again with a heavy one.",
        ),
    )


def _lowest_of_kinds(case: Case) -> list[str]:
    """The lowest mark of each kind that should be dry, and the lowest forward: at most five."""
    lowest: dict[str, str] = {}
    for name in case.watched():
        lowest.setdefault(case.marks[name].kind, name)
    names = list(lowest.values())[:4]
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
    return Section("Both ends", "mending the stern must not sink the bow or drain the sole forward", tuple(said))


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


def cautions(story: Story, system: str) -> Section:
    """What the figures leave out, fitted to the told cases, and the standing care."""
    cases = [c for c in story.told if c.plan != AS_FOUND] or story.told
    said = caution(cases, system) if cases else " ".join(STANDING_CARE)
    return Section("Take care", "", (said,))


def all_marks(cases: Sequence[Case], system: str, names: Sequence[str] | None = None, rest: bool = False) -> Grid:
    """Every mark of some cases of one condition, a column a plan, the lowest first; `rest`: with spaces open."""
    heights = [case.heights if rest else case.heights_shut for case in cases]
    found = dict.fromkeys(name for case in cases for name in case.marks)
    wanted = list(found) if names is None else [name for name in found if name in names]
    wanted.sort(key=lambda name: min(h[name] for h in heights if name in h))
    rows = [
        (name, *(height_cell(height[name], system) if name in height else "" for height in heights)) for name in wanted
    ]
    return Grid(("", *(case.plan for case in cases)), tuple(rows))


def watched_marks(cases: Sequence[Case]) -> list[str]:
    """Names of the marks of some cases that should be above water."""
    return [n for n in dict.fromkeys(n for c in cases for n in c.marks) if _kind(cases, n) not in NOT_WATCHED]


def _kind(cases: Sequence[Case], name: str) -> str:
    return next(case.marks[name].kind for case in cases if name in case.marks)
