"""The command line: what each verb says, what it writes for programs, and what it does with what it cannot use.

Figures of the demonstration boat are those of the independent program named in tests/hullcalc/boats/test_demo_results.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.command_line import program, terminal
from analysis.command_line.arguments import VERBS

FULL = "4 adults full"
INDEPENDENT_MM = {  # spaces shut: scupper port, scupper starboard, sole aft port, sole aft starboard
    ("as found", "light"): (87, 91, 116, 121),
    ("as found", FULL): (6, -22, 41, 8),
    ("first plan", "light"): (23, 46, 53, 81),
    ("first plan", "light, bracket flooded"): (-14, 9, 17, 45),
    ("first plan", FULL): (-76, -55, -44, -19),
    ("mended plan", "light"): (101, 87, 132, 116),
    ("mended plan", FULL): (11, -1, 44, 29),
    ("mended plan", "4 at the stern full"): (-6, -43, 31, -14),
}
OPEN_MM = (-90, -62, -58, -25)  # first plan, 4 adults full, cockpit open to the sea
MARKS = ("scupper port", "scupper starboard", "sole aft port", "sole aft starboard")
BARE_SIGN = re.compile(r"(?<![\w.])[-−+]\d")


def say(mm: int) -> str:
    return f"{abs(mm)} {'under' if mm < 0 else 'above'}"


def figures(path: Path) -> dict:
    def refuse(name):
        raise AssertionError(f"{name} in JSON")

    return json.loads(path.read_text(encoding="utf-8"), parse_constant=refuse)


@pytest.fixture(scope="module")
def told():
    """What each verb prints of the demonstration boat, metric and US, 100 columns wide."""
    folder = str(Path(hc.__file__).parents[1] / "data" / "boats" / "demo-outboard-22")
    kinds = {
        "answer": ["answer"],
        "check": ["check", folder],
        "float": ["float", folder],
        "float one": ["float", folder, "--plan", "first plan", "--condition", FULL],
        "float marks": ["float", folder, "--mark", *MARKS, "transom notch"],
        "compare": ["compare", folder],
    }
    outcomes = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "100")
        for name, argv in kinds.items():
            for system in ("metric", "us"):
                options = program.parse([*argv, "--units", system])
                outcomes[name, system] = program.outcome_of(options)
    return outcomes


@pytest.fixture(scope="module")
def written(told):
    """Everything that `float --json` writes of the demonstration boat."""
    return told["float", "metric"].figures


class TestWhatIsSaid:
    @pytest.mark.parametrize("system", ["metric", "us"])
    @pytest.mark.parametrize("name", ["answer", "check", "float", "float one", "float marks", "compare"])
    def test_fits_and_uses_words_for_directions(self, told, name, system):
        for line in told[name, system].lines:
            assert len(line) <= 100, line
            assert not BARE_SIGN.search(line), line
            assert "nan" not in line.lower().split() and "  -0" not in line

    @pytest.mark.parametrize("columns", [60, 80])
    def test_fits_a_small_terminal(self, run, demo_folder, monkeypatch, columns):
        monkeypatch.setenv("COLUMNS", str(columns))
        for argv in (["answer"], ["compare", demo_folder], ["float", demo_folder]):
            assert max(len(line) for line in run(*argv).out.splitlines()) <= columns

    def test_answer_tells_the_whole_story(self, told):
        text = "\n".join(told["answer", "metric"].lines)
        for title in ("WHAT SHE WEIGHS", "HOW SHE FLOATS", "WHICH PACKAGE DID IT", "WHAT MENDS IT",
                      "WHERE ADDED WEIGHT DOES NO HARM", "BOTH ENDS", "TAKE CARE"):  # fmt: skip
            assert title in text
        assert "first plan puts water on the sole" in text
        # The ledger by hand: 816 kg out, 1147 kg in, 1963 kg in all, 122 % of 1612 kg.
        for words in ("816 kg out", "1147 kg in", "331 kg heavier", "1963 kg is handled, 122 %"):
            assert words in " ".join(text.split())
        assert "Invented boat." in text and "naval architect" in text

    def test_answer_says_where_water_comes_in_before_any_height(self, told):
        text = "\n".join(told["answer", "metric"].lines)
        part = text[text.index("HOW SHE FLOATS") : text.index("HOW SHE LIES")]
        assert part.index("Water comes in") < re.search(r"\d+ (above|under)", part).start()
        wet = part[: re.search(r"\d+ (above|under)", part).start()]
        assert re.search(r"first plan: .*4 adults full", wet) and "as found: 4 adults full" in wet

    @pytest.mark.parametrize("case", INDEPENDENT_MM)
    def test_answer_holds_the_lowest_scupper_and_sole(self, told, case):
        plan, condition = case
        port, starboard, sole_port, sole_starboard = INDEPENDENT_MM[case]
        lines = told["answer", "metric"].lines
        row = next(line for line in lines if re.match(re.escape(condition) + r"  +\S", line))
        cells = re.findall(r"\d+ (?:above|under)", row.removeprefix(condition))
        shown = ["as found", "first plan", "mended plan"] if len(cells) == 6 else ["first plan", "mended plan"]
        at = 2 * shown.index(plan)
        assert cells[at : at + 2] == [say(min(port, starboard)), say(min(sole_port, sole_starboard))]

    def test_packages_add_up_to_the_whole(self, told):
        change = told["answer", "metric"].figures["change"]
        assert_allclose(sum(row["deeper_mean_m"] for row in change["packages"]), change["deeper_m"], atol=1e-12)
        items = sum(row["deeper_m"] for row in change["items"])
        assert_allclose(items + change["remainder_m"], change["deeper_m"], atol=1e-12)
        assert_allclose(1000 * change["deeper_m"], 434 - 382, atol=1)  # the independent T0 of both, whole millimetres

    def test_one_case_has_every_mark_lowest_first_and_both_rounds(self, told):
        outcome = told["float one", "metric"]
        lines = outcome.lines
        assert "round 2 floats her with cockpit open to the sea" in " ".join(lines)
        for mark, shut, rest in zip(MARKS, INDEPENDENT_MM["first plan", FULL], OPEN_MM, strict=True):
            row = next(line for line in lines if line.startswith(mark + " "))
            assert row.split()[-4:] == [*say(shut).split(), *say(rest).split()]
        marks = [line for line in lines if re.search(r"\d+ (above|under|deep)$", line)]
        assert len(marks) == 17
        heights = [int(line.split()[-4]) * (1 if line.split()[-3] == "above" else -1) for line in marks]
        assert heights == sorted(heights)

    def test_us_units_are_eighths_of_an_inch_of_the_same_heights(self, told):
        height = next(
            row["height_above_water_openings_shut_m"]
            for row in told["float one", "us"].figures["marks"]
            if row["mark"] == "scupper port"
        )
        eighths = round(abs(height) / 0.0254 * 8)  # exact inch: 0.0254 m, SP 811
        row = next(line for line in told["float one", "us"].lines if line.startswith("scupper port "))
        whole, part = divmod(eighths, 8)
        assert part == 0 and row.split()[2:4] == [str(whole), "under"]

    def test_compare_puts_plans_side_by_side_lowest_first(self, run, demo_folder):
        said = run("compare", demo_folder, "--plans", "first plan", "mended plan", "--condition", FULL)
        lines = said.out.splitlines()
        assert "Lowest mark in 4 adults full: first plan, scupper port 76 mm under" in " ".join(said.out.split())
        head = next(line for line in lines if line.startswith(" ") and "first plan" in line and "mended plan" in line)
        assert head.split() == ["first", "plan", "mended", "plan"]
        rows = [line for line in lines if line.startswith(MARKS)]
        assert [row.split("  ")[0] for row in rows[:4]] == [*MARKS]
        for mark, row in zip(MARKS, rows, strict=False):
            i = MARKS.index(mark)
            expected = [say(INDEPENDENT_MM[plan, FULL][i]) for plan in ("first plan", "mended plan")]
            assert re.findall(r"\d+ (?:above|under)", row) == expected
        wet = next(line for line in lines if line.startswith("water comes in"))
        assert wet.split()[-4:] == ["2", "openings", "scupper", "starboard"] and lines.index(wet) < lines.index(rows[0])

    def test_a_plan_may_be_put_together_from_packages(self, run, demo_folder, tmp_path):
        path = tmp_path / "out.json"
        typed = "First plan + 9 mend: sole raised 30 mm"
        said = run("float", demo_folder, "--plan", typed, "first plan", "--condition", FULL, "--json", path)
        assert said.code == 0
        heights = {(r["plan"], r["mark"]): r["height_above_water_openings_shut_m"] for r in figures(path)["marks"]}
        normal_z = next(c for c in figures(path)["cases"] if c["plan"] == typed)["rounds"][0]["sea_normal"][2]
        # The sole raised by 30 mm changes marks only: each rises by 30 mm along z.
        rise = heights[typed, "sole aft port"] - heights["first plan", "sole aft port"]
        assert_allclose(rise, 0.030 * normal_z, atol=1e-12)

    def test_shut_keeps_spaces_shut(self, run, demo_folder, tmp_path):
        path = tmp_path / "out.json"
        run("float", demo_folder, "--plan", "first plan", "--condition", FULL, "--shut", "--json", path)
        found = figures(path)
        assert len(found["cases"][0]["rounds"]) == 1
        for row in found["marks"]:
            assert row["height_above_water_m"] == row["height_above_water_openings_shut_m"]


class TestForPrograms:
    def test_each_plan_condition_and_mark(self, written, demo_folder):
        boat = hc.read_boat(demo_folder)
        wanted = {(p, c, m) for p in boat.plans for c in boat.conditions for m in boat.marks_in(p)}
        rows = [(row["plan"], row["condition"], row["mark"]) for row in written["marks"]]
        assert len(rows) == len(set(rows)) and set(rows) == wanted

    @pytest.mark.parametrize("case", INDEPENDENT_MM)
    def test_heights_are_those_of_an_independent_program(self, written, case):
        heights = {
            row["mark"]: row["height_above_water_openings_shut_m"]
            for row in written["marks"]
            if (row["plan"], row["condition"]) == case
        }
        assert_allclose([1000 * heights[mark] for mark in MARKS], INDEPENDENT_MM[case], atol=0.55)

    def test_heights_follow_from_the_sea_that_is_written(self, written):
        rounds = {(case["plan"], case["condition"]): case["rounds"] for case in written["cases"]}
        for row in written["marks"]:
            point = [row["x_m"], row["y_m"], row["z_m"]]
            first, last = (rounds[row["plan"], row["condition"]][i] for i in (0, -1))
            for key, sea in (("_openings_shut_m", first), ("_m", last)):
                height = np.dot(sea["sea_normal"], point) - sea["sea_offset_m"]
                assert_allclose(row[f"height_above_water{key}"], height, atol=1e-12)

    def test_units_stand_in_the_keys(self, told):
        unitless = {"program", "boat", "title", "invented", "axes", "signs", "care", "finding", "fill", "sea_normal"}
        ends = ("_m", "_kg", "_deg", "_kg_per_m3", "_m3")

        def walk(value, key):
            if isinstance(value, dict):
                for inner, one in value.items():
                    walk(one, inner)
            elif isinstance(value, list):
                for one in value:
                    walk(one, key)
            elif isinstance(value, float):
                assert key in unitless or key.endswith(ends), key

        for outcome in told.values():
            walk(outcome.figures, "")

    def test_units_shown_do_not_change_what_is_written(self, told):
        assert program.as_json(told["float", "metric"]) == program.as_json(told["float", "us"])

    @pytest.mark.parametrize("verb", ["answer", "check", "compare"])
    def test_every_verb_writes_json(self, run, demo_folder, tmp_path, verb):
        path = tmp_path / "out.json"
        assert run(verb, demo_folder, "--json", path).code == 0
        assert figures(path)
        assert [file.name for file in tmp_path.iterdir()] == ["out.json"]


class TestCheck:
    def test_a_boat_in_order(self, run, demo_folder):
        said = run("check", demo_folder)
        assert said.code == 0 and re.fullmatch(r"0 to mend, 0 to look at, \d+ fine\n", said.out) and said.err == ""

    def test_only_to_look_at_is_no_failure(self, run, copy):
        folder = copy({"marks.csv": ("mark,x_m,y_m,z_m,kind,note,", "mark,x_m,y_m,z_m,kind,colour,")})
        said = run("check", folder)
        assert said.code == 0 and "look at: marks.csv" in said.out
        assert re.search(r"^0 to mend, [1-9]\d* to look at, \d+ fine$", said.out, re.M)

    def test_everything_to_mend_is_said_at_once_worst_first(self, run, copy, tmp_path):
        folder = copy(
            {
                "ledger.csv": (",214,-0.37,", ",-214,-0.37,"),
                "tanks.csv": ("740,265,1.84", "74o,265,1.84"),
                "marks.csv": ("mark,x_m,y_m,z_m,kind,note,", "mark,x_m,y_m,z_m,kind,colour,"),
            }
        )
        path = tmp_path / "found.json"
        said = run("check", folder, "--json", path)
        assert said.code == 2 and "Traceback" not in said.out + said.err
        heads = [line.split(":")[0] for line in said.out.splitlines() if line.startswith(("to mend", "look at"))]
        assert heads == sorted(heads, reverse=True) and heads.count("to mend") >= 2 and "look at" in heads
        assert re.search(r"\d+ to mend, \d+ to look at, \d+ fine$", said.out.strip())
        problems = figures(path)["problems"]
        assert {"ledger.csv", "tanks.csv", "marks.csv"} <= {problem["file"] for problem in problems}
        assert [problem["level"] for problem in problems].count("to mend") == heads.count("to mend")
        assert next(p for p in problems if p["file"] == "ledger.csv")["row"] == 2


class TestWhatCannotBeUsed:
    BAD = (
        (["flaot", "DEMO"], "did you mean 'float'?"),
        ([], "say what to do: answer, check"),
        (["float"], "required: FOLDER"),
        (["float", "DEMO", "--unit"], "--unit"),
        (["float", "DEMO", "--units", "imperial"], "'imperial'"),
        (["float", "DEMO", "--plan", "frist plan"], "is called 'frist plan'; did you mean 'first plan'"),
        (["float", "DEMO", "--plan", "first plan + 9 mend: batteries"], "'9 mend: batteries to the console'"),
        (["float", "DEMO", "--condition", "4 adult full"], "did you mean '4 adults full'"),
        (["float", "DEMO", "--mark", "scuper"], "did you mean 'scupper port' or 'scupper starboard'"),
        (["compare", "DEMO", "--plans", "xyzzy"], "there are: 'as found', 'first plan', 'mended plan'"),
        (["answer", "DEMO", "--condition", "twopeople"], "did you mean 'two people'"),
        (["answer", "nowhere"], "there is no such folder"),
        (["check", "DEMO/boat.toml"], "there is a file of that name"),
        (["report", "DEMO"], "required: --out"),
        (["report", "DEMO", "--out", "OUT/no/such/page.html"], "there is no such folder"),
        (["report", "DEMO", "--out", "OUT"], "name a file"),
        (["picture", "--out", "OUT/answer.pdf"], "written as .svg or .png"),
        (["float", "DEMO", "--json", "OUT/no/such/x.json"], "cannot be written"),
    )  # fmt: skip

    @pytest.mark.parametrize(("argv", "words"), BAD, ids=[" ".join(argv) or "nothing" for argv, _ in BAD])
    def test_one_message_code_2_and_nothing_written(self, run, demo_folder, tmp_path, argv, words):
        argv = [word.replace("DEMO", str(demo_folder)).replace("OUT", str(tmp_path)) for word in argv]
        said = run(*argv)
        assert said.code == 2
        assert words in " ".join((said.err + said.out).split())
        assert "Traceback" not in said.err and "Error" not in said.err
        assert list(tmp_path.iterdir()) == []

    @pytest.mark.parametrize("verb", ["answer", "float", "compare", "report", "picture"])
    def test_a_folder_to_mend_stops_every_verb(self, run, copy, tmp_path, verb):
        folder = copy({"ledger.csv": (",214,-0.37,", ",2I4,-0.37,")})
        out = ["--out", tmp_path / "page.svg"] if verb in ("report", "picture") else []
        said = run(verb, folder, *out, "--json", tmp_path / "x.json")
        assert said.code == 2 and said.out == "" and "ledger.csv row 2 mass_kg: read '2I4'" in said.err
        assert re.search(r"^1 to mend, \d+ to look at, \d+ fine$", said.err, re.M)
        assert [path.name for path in tmp_path.iterdir()] == ["my boat"]

    def test_an_output_that_cannot_be_written_leaves_the_other_as_it_was(self, run, demo_folder, tmp_path):
        page = tmp_path / "page.html"
        page.write_text("what was there")
        said = run("report", demo_folder, "--out", page, "--json", tmp_path / "no" / "x.json")
        assert said.code == 2 and page.read_text() == "what was there"
        assert [path.name for path in tmp_path.iterdir()] == ["page.html"]

    def test_two_outputs_of_one_name(self, run, demo_folder, tmp_path):
        page = tmp_path / "page.html"
        said = run("report", demo_folder, "--out", page, "--json", page)
        assert said.code == 2 and "two files" in said.err and not page.exists()

    def test_she_sinks_is_an_answer_not_a_fault(self, run, copy, tmp_path):
        # Ten tonnes aboard: by hand, weight with liquids less what the hull closed at the sheer displaces.
        folder = copy({"people.csv": [(",85,", ",1999,"), (",45,", ",1999,")]})
        path = tmp_path / "x.json"
        said = run("float", folder, "--condition", FULL, "--json", path)
        assert said.code == 0, said.err
        assert "sinks" in said.out and "short of" in said.out
        found = figures(path)
        assert {case["status"] for case in found["cases"]} == {"sinks"} and found["marks"] == []
        boat = hc.read_boat(folder)
        liquids = 0.95 * sum(tank.solid.volume * tank.density for tank in boat.tanks_in("as found"))
        short = float(boat.weight("as found", FULL).mass) + liquids - 1025 * boat.hull.solid.volume
        assert_allclose(found["cases"][0]["short_by_kg"], short, rtol=1e-9)


class TestTheTerminal:
    def test_ctrl_c_ends_quietly(self, run, monkeypatch):
        def interrupted(options):
            raise KeyboardInterrupt

        monkeypatch.setattr(program, "outcome_of", interrupted)
        assert run("answer") == (130, "", "")

    def test_help_of_every_verb(self, run):
        said = run("--help")
        assert said.code == 0 and said.err == ""
        for verb, (short, _) in VERBS.items():
            assert verb in said.out and short in said.out
            assert "FOLDER" in run(verb, "--help").out

    def test_the_notice_is_given_once_on_a_terminal_the_first_time(self, monkeypatch, capsys):
        import logging

        class Screen(list):
            def write(self, text):
                self.append(text)

            def flush(self):
                pass

            def isatty(self):
                return True

        log = logging.getLogger("hullcalc")
        for kept, times in ((False, 1), (True, 0)):
            monkeypatch.setattr(terminal, "kept_from_before", lambda kept=kept: kept)
            screen = Screen()
            with terminal.notice_of_preparation(screen):
                log.info("preparing the compiled kernel")
                log.info("preparing the compiled kernel")
            log.info("preparing the compiled kernel")
            assert "".join(screen).count(terminal.NOTICE) == times
        monkeypatch.setattr(terminal, "kept_from_before", lambda: False)
        with terminal.notice_of_preparation(sys.stderr):  # captured, so no terminal
            log.info("preparing the compiled kernel")
        assert capsys.readouterr() == ("", "")


class TestRealProcesses:
    @staticmethod
    def start(*argv, **environment) -> subprocess.CompletedProcess:
        command = [sys.executable, "-W", "error", "-m", "analysis", *map(str, argv)]
        root = Path(hc.__file__).parents[1]
        environment = os.environ | {"COLUMNS": "100"} | environment
        return subprocess.run(command, capture_output=True, check=False, cwd=root, env=environment, timeout=300)

    def test_the_answer_in_plain_letters(self):
        done = self.start("answer", PYTHONIOENCODING="ascii")
        assert done.returncode == 0 and done.stderr == b""
        text = done.stdout.decode("ascii")
        assert "1.9 deg bow up" in text and "?" not in text

    def test_a_misspelt_verb(self):
        done = self.start("chekc")
        assert (done.returncode, done.stdout) == (2, b"")
        assert done.stderr.decode().splitlines() == ["no verb is called 'chekc'; did you mean 'check'?"]

    def test_a_folder_that_is_not_there(self):
        done = self.start("report", "no-such-boat", "--out", "no-such.html")
        assert (done.returncode, done.stdout) == (2, b"") and b"Traceback" not in done.stderr
        assert b"there is no such folder" in done.stderr

    @pytest.mark.skipif(os.name == "nt", reason="pipes close in another way there")
    def test_a_reader_that_goes_away(self, demo_folder):
        root = Path(hc.__file__).parents[1]
        command = [sys.executable, "-m", "analysis", "float", str(demo_folder)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root) as process:
            process.stdout.close()
            assert process.stderr.read() == b""
            assert process.wait(300) == 141
