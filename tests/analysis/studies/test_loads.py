"""Plans in load conditions, one opened, what levels her, rain, everybody to one side: against sums and other floats.

Other roads: sums printed with the boats, displaced volumes, a person really moved, a liquid cut out by bisection.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.studies.crowding import AT_THE_HELM, GOES_TOO, everyone_to_one_side
from analysis.studies.deck_edge import least_freeboard
from analysis.studies.floats import SINKS, float_case
from analysis.studies.levelling import what_levels
from analysis.studies.loads import load_matrix
from analysis.studies.opened import in_other_waters, trims, what_is_aboard
from analysis.studies.rain import rain_in
from hullcalc import InputError
from hullcalc.boats.conditions import Condition
from hullcalc.boats.standard_conditions import MAXIMUM, with_standard_conditions
from hullcalc.weights.items import item

BOATS = Path(__file__).parents[3] / "data" / "boats"
NAMES = ("demo-outboard-22", "demo-sterndrive-24", "demo-skiff-18")
FULL = "4 adults full"
POUND = 0.45359237  # kg, exact


@pytest.fixture(scope="module")
def wide():
    return {name: with_standard_conditions(hc.read_boat(BOATS / name)).boat for name in NAMES}


@pytest.fixture(scope="module")
def boat(wide):
    return wide["demo-outboard-22"]


@pytest.fixture(scope="module")
def loads(boat):
    return load_matrix(boat, ["first plan", "mended plan"], ["light", FULL, MAXIMUM])


class TestMatrix:
    def test_rows_are_the_floats(self, boat, loads):
        assert len(loads.table) == 6
        for row in loads.table.to_dict("records"):
            state = boat.float(row["plan"], row["condition"], shut=True)
            heights = {n: 1000 * h for n, h in state.marks.items() if "stripe" not in n and "draught" not in n}
            assert_allclose([row["mass_kg"], row["lcg_m"]], [float(state.mass), state.cg[0]])
            assert_allclose(row["least_mm"], min(heights.values()))
            assert_allclose(row["sole_mm"], min(h for n, h in heights.items() if n.startswith("sole")))
            assert (row["under"] != "") == bool(state.openings_under)

    def test_whose_list(self, boat):
        # a boat that is not wider yet gets the standard conditions beside her own
        loads = load_matrix(hc.read_boat(BOATS / "demo-skiff-18"), ["as found"])
        lists = loads.table.set_index("condition")["list"]
        assert lists["family"] == "the yard's own"
        assert "ISO 14946:2021" in lists[MAXIMUM] and "ISO 12217-3:2013" in lists["light craft (ISO)"]

    @pytest.mark.parametrize(
        ("name", "handled", "found"),
        [("demo-outboard-22", 1963, 1612), ("demo-sterndrive-24", 2126, 2318), ("demo-skiff-18", 1011, 742)],
    )
    def test_in_all(self, wide, name, handled, found):
        # sums printed with the tables of the boats: 122 %, 92 % and 136 % of the boat as found
        (row,) = load_matrix(wide[name], ["as found", "first plan"], ["light"]).changes.to_dict("records")
        assert row["handled_kg"] == handled
        assert_allclose(row["handled_share"], handled / found)
        assert row["reweigh"]

    @pytest.mark.parametrize(
        ("mass", "x", "due"),
        # 46 CFR 144.315 (b): above 2 % of the light displacement, here 32.24 kg, or an LCG moved by more than 1 % of
        # the length, here 69.4 mm (6.94 m); the LCG moves by m (x - 2.075) / (1612 + m)
        [(32.0, 2.075, False), (32.5, 2.075, True), (30.0, 5.8, False), (30.0, 5.9, True)],
    )
    def test_when_to_weigh_again(self, boat, mass, x, due):
        assert 30 * (5.8 - 2.075) / 1642 < 0.0694 < 30 * (5.9 - 2.075) / 1642  # the two ends of the second limit
        row = boat.ledger.rows[next(i for i, r in enumerate(boat.ledger.rows) if r.action == "add")]
        thing = replace(row.new, item=item("gear", mass, (x, 0, 0.5), "weighed"), place=np.array([x, 0, 0.5]))
        ledger = replace(boat.ledger, rows=(replace(row, item="gear", package="gear", new=thing),))
        loads = load_matrix(replace(boat, ledger=ledger), {"gear": ("gear",)}, ["light"])
        assert loads.changes["reweigh"].tolist() == [due]

    def test_a_case_that_sinks_keeps_its_row(self, boat):
        heavy = replace(boat, people=dict(boat.people) | {"anvil": item("anvil", 20000, (2, 0, 0.5), "weighed")},
                        conditions=dict(boat.conditions) | {"anvil": Condition("anvil", {}, ("anvil",))})  # fmt: skip
        (row,) = load_matrix(heavy, ["as found"], ["anvil"]).table.to_dict("records")
        assert row["status"] == SINKS and row["short_by_kg"] > 1000

    def test_nothing_chosen_is_refused(self, boat):
        with pytest.raises(InputError, match="no plan was chosen"):
            load_matrix(boat, [])
        with pytest.raises(InputError, match="no load condition was chosen"):
            load_matrix(boat, None, [])
        with pytest.raises(InputError, match="no condition is called"):
            load_matrix(boat, ["as found"], ["lihgt"])


class TestOpened:
    @pytest.mark.parametrize("name", NAMES)
    @pytest.mark.parametrize("plan", ["as found", "mended plan"])
    def test_the_sum_is_what_she_floats_at(self, wide, name, plan):
        for condition in (MAXIMUM, "arriving", "light"):
            case = float_case(wide[name], plan, condition)
            table = what_is_aboard(case)
            mass = table["mass_kg"].sum()
            centre = [table[f"m{a}_kg_m"].sum() / mass for a in "xy"] + [(table["mass_kg"] * table["z_m"]).sum() / mass]
            assert_allclose(mass, float(case.shut.mass), rtol=1e-12)
            assert_allclose(centre, case.shut.cg, atol=1e-9)

    def test_four_names_of_trim(self, boat):
        case = float_case(boat, "as found", "light")
        found = trims(case)
        heights = case.heights_shut
        # by hand: draught marks 5.00 m apart at the keel, z 0 and 0.113; the angle joins them
        slope = np.tan(np.radians(found.keel_run))
        by_hand = (5.0 * slope + 0.113) * np.cos(np.radians(found.keel_run))
        assert_allclose(found.between_marks / 1000, by_hand, atol=1e-4)  # heel of 0.2 deg left out
        stripe = heights["boot stripe lower edge forward"] - heights["boot stripe lower edge aft"]
        assert_allclose(found.by_stripe, 1000 * stripe)
        assert_allclose(found.looks, found.keel_run - 0.6)  # looks_level_deg of the folder

    def test_without_marks_there_is_one_name(self, wide):
        found = trims(float_case(wide["demo-skiff-18"], "as found", "light"))
        assert (found.between_marks, found.by_stripe, found.looks) == (None, None, None)

    def test_waters(self, boat):
        # Other road: the boat read with another density. By hand: weight over density is volume, so she sinks by
        # m (1/1000 - 1/1025) / A in parallel; the mean of stern and forward figure at the centre of flotation.
        case = float_case(boat, "as found", "light")
        table = in_other_waters(case).set_index("water")
        fresh = replace(boat, water_density=1000.0).float("as found", "light", shut=True)
        normal, offset = fresh.plane
        before = case.shut.plane[1] / case.shut.plane[0][2]
        assert_allclose(table.loc["fresh", "stern_mm"], 1000 * (offset / normal[2] - before), atol=1e-6)
        assert_allclose(table.loc["fresh", "least_mm"], 1000 * fresh.marks["scupper port"], atol=1e-6)
        sinks = 1612 * (1 / 1000 - 1 / 1025) / float(case.shut.waterplane_area)
        at_lcf = np.interp(
            float(case.shut.flotation[0]), [0, 0.75 * 6.7], table.loc["fresh", ["stern_mm", "forward_mm"]]
        )
        assert_allclose(at_lcf, 1000 * sinks, rtol=0.03)
        assert_allclose(table.loc["sea", ["stern_mm", "forward_mm"]].astype(float), 0, atol=1e-9)
        assert 0 < table.loc["brackish", "stern_mm"] < table.loc["fresh", "stern_mm"]


class TestLevelling:
    @pytest.mark.parametrize("name", NAMES)
    def test_the_moment_levels_her(self, wide, name):
        case = float_case(wide[name], "first plan", MAXIMUM)
        found = what_levels(case)
        # other road: a pair of weights of no net mass is a couple; here a mass item of moment only rides along
        couple = replace(
            item("couple", 1.0, (0, 0, 0), "weighed", 0.0, 0.0), mass=0.0, moment=np.array([0, found.moment, 0])
        )
        boat = wide[name]
        said = boat.conditions[MAXIMUM]
        rides = replace(said, aboard=(*said.aboard, "couple"))
        level = replace(boat, people=dict(boat.people) | {"couple": couple}).float("first plan", rides, shut=True)
        assert abs(float(level.heel)) < 1e-6
        assert np.sign(found.moment) == np.sign(found.heel)  # heel to starboard wants a moment to port

    def test_who_moves_as_said_levels_her(self, boat):
        case = float_case(boat, "mended plan", FULL)
        mover = what_levels(case).movers.set_index("what").loc["mate standing"]
        moved = item("mate standing", 85.0, (2.35, mover["to_y_m"], 1.45), "weighed")
        level = replace(boat, people=dict(boat.people) | {"mate standing": moved}).float("mended plan", FULL, shut=True)
        assert abs(float(level.heel)) < 1e-6
        assert abs(mover["to_y_m"]) <= boat.crew.side_to_side / 2

    @pytest.mark.parametrize("name", NAMES)
    def test_what_lists_her_adds_up(self, wide, name):
        found = what_levels(float_case(wide[name], "first plan", MAXIMUM))
        total = found.lists["my_kg_m"].sum()
        assert_allclose(total, float(found.case.shut.mass * found.case.shut.cg[1]), atol=1e-6)
        # degrees are by the response, liquids free; the liquids' own shift is in the moments, so within their share
        assert_allclose(found.lists["heel_deg"].sum(), found.heel, rtol=0.12)
        assert found.lists["my_kg_m"].abs().is_monotonic_decreasing


class TestRain:
    def test_against_a_liquid_cut_out_by_bisection(self, boat):
        # A plain method: the wedge of 100 L in the cockpit below a plane parallel to the sea, found by bisection, rides
        # along as a weight at its own centre; she is floated, the wedge is cut anew, until both agree.
        case = float_case(boat, "mended plan", FULL)
        table = rain_in(case, "cockpit", (100.0,)).set_index("litres")
        cockpit = boat.spaces_in("mended plan")["cockpit"].solid
        said = boat.conditions[FULL]
        rides = replace(said, aboard=(*said.aboard, "rain"))
        normal = case.shut.plane[0]
        for _ in range(60):
            low, high = np.min(cockpit.vertices @ normal), np.max(cockpit.vertices @ normal)
            for _ in range(50):
                middle = (low + high) / 2
                low, high = (middle, high) if cockpit.cut(normal, middle).volume < 0.1 else (low, middle)
            rain = item("rain", 100.0, cockpit.cut(normal, middle).centroid, "weighed")
            people = dict(boat.people) | {"rain": rain}
            state = replace(boat, people=people).float("mended plan", rides, shut=True)
            step, normal = np.abs(state.plane[0] - normal).max(), state.plane[0]
            if step < 1e-9:
                break
        assert step < 1e-9
        for mark in ("sole aft port", "sole aft starboard", "scupper port"):
            assert_allclose(table.loc[100.0, mark], 1000 * state.marks[mark], atol=1e-3)
            assert_allclose(table.loc[0.0, mark], 1000 * case.heights_shut[mark], atol=1e-6)
        assert_allclose(table.loc[100.0, "mass_kg"], float(case.shut.mass) + 100, atol=1e-6)

    def test_what_cannot_be_is_refused(self, boat, wide):
        case = float_case(boat, "mended plan", "light")
        with pytest.raises(InputError, match=r"rain cannot stand in 'cabin'.*there are: cockpit"):
            rain_in(case, "cabin")
        for litres in (-1.0, 1e5, np.nan):
            with pytest.raises(InputError, match=r"rain in cockpit.*L that it holds"):
                rain_in(case, "cockpit", (litres,))
        with pytest.raises(InputError, match="there are: none"):
            rain_in(float_case(wide["demo-skiff-18"], "as found", "light"), "cockpit")


class TestOneSide:
    def test_the_moment_of_the_published_rule(self, boat):
        # 46 CFR 178.330: W Bp / 6, W of three people (four but the helmsman) at 185 lb, Bp 1.96 m as in the folder.
        crowd = everyone_to_one_side(boat, ["first plan"])
        assert crowd.by_moment["moment_kg_m"].tolist() == pytest.approx([3 * 185 * POUND * 1.96 / 6] * 2)
        # small angles: the two sides lie as far from upright, by moment over mass and GM
        heels = crowd.by_moment.set_index("side")
        lean = heels["heel_deg"] - heels["upright_deg"]
        full = boat.float("first plan", MAXIMUM, shut=True)
        by_hand = np.degrees(3 * 185 * POUND * 1.96 / 6 / (float(full.mass) + 16) / float(full.gm_transverse))
        assert_allclose(lean, by_hand, rtol=0.08)
        assert_allclose(heels["upright_deg"]["port"], -heels["upright_deg"]["starboard"])

    def test_at_the_side_they_heel_her_as_the_condition_does(self, boat):
        crowd = everyone_to_one_side(boat, ["mended plan"]).at_side
        for side, sign in (("port", -1), ("starboard", 1)):
            row = crowd[(crowd["side"] == side) & (crowd["helmsman"] == GOES_TOO)].iloc[0]
            state = boat.float("mended plan", f"everyone to {side}", shut=True)
            assert_allclose(row["heel_deg"], sign * float(state.heel), atol=1e-9)
            stays = crowd[(crowd["side"] == side) & (crowd["helmsman"] == AT_THE_HELM)].iloc[0]
            assert stays["heel_deg"] < row["heel_deg"]
            assert stays["moment_kg_m"] < row["moment_kg_m"]
            # moments by hand: four at y +-0.85, -0.86, -0.86, -0.84 against the places of helm, crew and aft
            assert row["moment_kg_m"] == pytest.approx(75 * (0.85 + 0.86 + 0.86 + 0.84))

    def test_what_is_missing_is_said(self, boat):
        with pytest.raises(InputError, match=r"Write seats\.csv"):
            everyone_to_one_side(replace(boat, crew=replace(boat.crew, number=None)))
        narrow = everyone_to_one_side(replace(boat, crew=replace(boat.crew, side_to_side=None)), ["as found"])
        assert narrow.by_moment.empty and "side_to_side_m" in narrow.missing[0]
        few = replace(boat.crew, places=tuple(boat.crew.places_for("helm", "crew")))
        alone = everyone_to_one_side(replace(boat, crew=few), ["as found"])
        assert alone.at_side.empty and any("too few places to port" in words for words in alone.missing)


@pytest.mark.parametrize("name", NAMES)
def test_the_least_freeboard_against_a_dense_sheer(wide, name):
    boat = wide[name]
    for condition in ("light", "everyone to starboard", "four at the stern"):
        normal, offset = boat.float("first plan", condition, shut=True).plane
        found = least_freeboard(boat, normal, offset)
        sheer = list(boat.hull.lines.values())[-1]
        t = np.linspace(0, len(sheer) - 1, 20001)
        dense = np.stack([np.interp(t, np.arange(len(sheer)), sheer[:, k]) for k in range(3)], axis=-1)
        both = np.concatenate([dense, dense * [1, -1, 1]])
        assert_allclose(found.height, (both @ normal - offset).min(), atol=1e-9)
        heel = float(np.degrees(np.arctan2(normal[1], normal[2])))
        if abs(heel) > 0.1:
            assert found.side == ("starboard" if heel > 0 else "port")


def test_tables_are_plain(loads):
    assert isinstance(loads.table, pd.DataFrame) and loads.table.notna().all().all()
