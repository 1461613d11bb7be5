"""Which change did it: against an independent program, and against floating every order one by one."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.attribution import which_change, which_changes
from analysis.studies.floats import stern_height
from hullcalc import InputError, NoEquilibriumError
from hullcalc.weights.items import item

FULL, SOLE = "4 adults full", "sole aft port"


@pytest.fixture(scope="module")
def first_plan(demo):
    return which_change(demo, "first plan")


def test_the_refit_as_an_independent_program_shares_it(first_plan):
    # Source: an independent program (exact integrals over the same mesh, every order of the eight packages): whole
    # millimetres deeper at the stern, light boat; the bracket first of all 0, in the yard's order +31, last of all -10.
    printed = {
        "strip": -132, "structure": -7, "bracket": -5, "engine": 137, "fuel": 5, "deck gear": 16, "electrical": 42,
        "equipment": -6,
    }  # fmt: skip
    table = first_plan.table.set_index("name")
    assert list(table.index) == list(printed)
    assert_allclose(table["mean_mm"], list(printed.values()), rtol=0, atol=0.5)
    assert first_plan.total_mm == pytest.approx(52, abs=0.5)
    assert table.loc["bracket", "in_turn_mm"] == pytest.approx(31, abs=0.5)
    assert table.loc["bracket", "last_mm"] == pytest.approx(-10, abs=0.5)
    assert table.loc["bracket", "first_mm"] == pytest.approx(0, abs=0.5)


def test_shares_add_up_to_the_boats_floated_alone(demo, first_plan):
    ends = [1000 * stern_height(demo.float(plan, "light", shut=True)) for plan in ("as found", "first plan")]
    assert first_plan.total_mm == pytest.approx(ends[1] - ends[0], abs=1e-6)
    assert first_plan.table["mean_mm"].sum() == pytest.approx(first_plan.total_mm, abs=1e-9)
    assert first_plan.table["in_turn_mm"].sum() == pytest.approx(first_plan.total_mm, abs=1e-9)
    assert first_plan.floats == 256


def test_items_and_remainder_add_up(demo, first_plan):
    assert first_plan.items["mm"].sum() + first_plan.remainder_mm == pytest.approx(first_plan.total_mm, abs=1e-9)
    # what straight lines miss is small beside the change; the pod's lift is 80 kg of buoyancy
    assert abs(first_plan.remainder_mm) < 1.0
    pod = first_plan.items.set_index("item").loc["bracket pod in the water"]
    assert pod["mass_kg"] < 0 and pod["mm"] < 0
    net = first_plan.items[first_plan.items["kind"].isin(["add", "remove"])]["mass_kg"].sum()
    assert net == pytest.approx(demo.tally("first plan").net, abs=1e-9)


@pytest.mark.parametrize("condition", ["light", FULL, "4 adults full, bracket flooded"])
def test_every_order_floated_one_by_one(demo, condition):
    """The mends, at a mark that one of them raises, with a tank that moves and a pod held open: no batches here."""
    mark = "sole aft port"
    shares = which_change(demo, "mended plan", condition, at=mark, start="first plan")
    mends = sorted(demo.packages_on("mended plan") - demo.packages_on("first plan"))
    steps = {mend: [] for mend in mends}
    depth = {}
    for order in permutations(mends):
        on = demo.packages_on("first plan")
        for mend in order:
            for packages in (on, on | {mend}):
                if packages not in depth:
                    depth[packages] = -1000 * demo.float(packages, condition, shut=True).marks[mark]
            steps[mend].append(depth[on | {mend}] - depth[on])
            on = on | {mend}
    by_package = shares.table.set_index("package")["mean_mm"]
    assert_allclose(by_package[mends], [np.mean(steps[mend]) for mend in mends], rtol=0, atol=1e-6)
    assert shares.table["mean_mm"].sum() == pytest.approx(shares.total_mm, abs=1e-9)
    assert shares.items["mm"].sum() + shares.remainder_mm == pytest.approx(shares.total_mm, abs=1e-9)
    assert abs(shares.remainder_mm) < 0.03 * abs(shares.total_mm)
    raised = shares.items.set_index("item").loc[f"{mark} moved", "mm"]
    assert raised == pytest.approx(-30, abs=0.1)  # 30 mm along z, seen along a normal a few degrees off


def test_what_a_condition_takes_off_is_told(demo):
    """As found she was weighed with fuel; a condition that fills her tank takes it off before the refit does."""
    items = which_change(demo, "first plan", FULL).items.set_index("item")
    ledger, off = items.loc["fuel left in the old tank 14 L"], items.loc["already off in this condition"]
    assert ledger["mm"] + off["mm"] == pytest.approx(0, abs=1e-9)
    assert "already off in this condition" not in which_change(demo, "first plan", "light").items["item"].to_list()


def test_the_order_in_the_file_only_names_the_columns(demo):
    """Packages in another order of the file: the same means, other figures in turn."""
    turned = replace(demo, ledger=replace(demo.ledger, rows=tuple(sorted(demo.ledger.rows, key=lambda r: -r.number))))
    plan = ["3 bracket", "4 engine", "7 electrical"]
    one = which_change(demo, plan).table.set_index("package")
    other = which_change(turned, plan).table.set_index("package")
    assert_allclose(other.loc[one.index, "mean_mm"], one["mean_mm"], rtol=0, atol=1e-9)
    assert list(other.index) == list(one.index)[::-1]
    assert abs(other.loc["3 bracket", "in_turn_mm"] - one.loc["3 bracket", "in_turn_mm"]) > 10


def test_a_swap_inside_an_exclusive_group_is_one_share(demo):
    """Two brackets that exclude each other: the swap is one player, never both on, and its share is the whole."""
    rows = list(demo.ledger.rows)
    bracket = next(row for row in rows if row.package == "3 bracket")
    other = replace(bracket.new, item=item("light bracket", 30.0, (-0.4, 0.0, 0.5), "weighed"))
    rows.append(replace(bracket, number=999, package="light bracket", item="light bracket", new=other))
    choice = replace(demo, ledger=replace(demo.ledger, rows=tuple(rows)), exclusive=(("3 bracket", "light bracket"),))
    start, end = ["3 bracket", "4 engine"], ["light bracket", "4 engine", "8 equipment"]
    shares = which_change(choice, end, start=start)
    assert list(shares.table["package"]) == ["light bracket in place of 3 bracket", "8 equipment"]
    assert shares.floats == 4
    ends = [1000 * stern_height(choice.float(packages, "light", shut=True)) for packages in (start, end)]
    assert shares.table["mean_mm"].sum() == pytest.approx(ends[1] - ends[0], abs=1e-6)
    assert shares.items["mm"].sum() + shares.remainder_mm == pytest.approx(shares.total_mm, abs=1e-9)


def test_a_mark_that_a_package_takes_away_cannot_be_watched(demo):
    with pytest.raises(InputError, match=r"mark 'transom notch' is not there in every step .* watch the stern"):
        which_change(demo, "first plan", at="transom notch")


def test_a_step_that_sinks_is_told(demo):
    rows = demo.ledger.rows
    heavy = next(row for row in rows if row.package == "4 engine")
    thing = replace(heavy.new, item=item(heavy.item, 20000.0, heavy.new.place, "weighed"))
    sunk = replace(
        demo, ledger=replace(demo.ledger, rows=tuple(replace(r, new=thing) if r is heavy else r for r in rows))
    )
    with pytest.raises(NoEquilibriumError, match=r"she sinks, short of .* kg") as raised:
        which_change(sunk, ["3 bracket", "4 engine"])
    assert raised.value.short_by_kg > 1000


def test_several_conditions_and_marks_at_once_are_those_of_one_at_a_time(demo):
    plan, conditions, at = (
        ["3 bracket", "4 engine", "5 fuel", "6 deck gear"],
        ("light", "family", FULL),
        ("stern", SOLE),
    )
    found = which_changes(demo, plan, conditions, at)
    assert [(one.condition, one.at) for one in found] == [(c, a) for c in conditions for a in at]
    for one in found:
        alone = which_change(demo, plan, one.condition, one.at)
        assert_allclose(one.table["mean_mm"], alone.table["mean_mm"], rtol=0, atol=1e-9)
        assert_allclose(one.items["mm"], alone.items["mm"], rtol=0, atol=1e-9)
        assert abs(one.table["mean_mm"].sum() - one.total_mm) < 1e-9
        assert one.items["mm"].sum() + one.remainder_mm == pytest.approx(one.total_mm, abs=1e-9)


@pytest.mark.parametrize("seed", [1, 2])
def test_rows_and_packages_in_any_order_of_the_file(demo, seed):
    """Rows shuffled, so that packages too stand in another order; conditions that fill new and old tanks alike."""
    rows = list(demo.ledger.rows)
    mixed = replace(
        demo,
        ledger=replace(demo.ledger, rows=tuple(rows[i] for i in np.random.default_rng(seed).permutation(len(rows)))),
    )
    plan = [*demo.plans["first plan"].packages[2:], "9 mend: tank moved forward"]
    for one, other in zip(
        which_changes(demo, plan, ["light", FULL], [SOLE, "stern"]),
        which_changes(mixed, plan, ["light", FULL], [SOLE, "stern"]),
        strict=True,
    ):
        a, b = one.table.set_index("package"), other.table.set_index("package")
        for column in ("mean_mm", "first_mm", "last_mm", "least_mm", "most_mm"):
            assert_allclose(b.loc[a.index, column], a[column], rtol=0, atol=1e-9)
        assert other.total_mm == pytest.approx(one.total_mm, abs=1e-9)


def test_nothing_to_share_out_is_told(demo):
    for conditions, at in (([], ["stern"]), (["light"], [])):
        with pytest.raises(InputError, match="name at least one load condition and the stern or one mark"):
            which_changes(demo, "first plan", conditions, at)
    with pytest.raises(InputError, match="no condition is called 'ligth'; did you mean 'light'"):
        which_changes(demo, "first plan", ["ligth"])
