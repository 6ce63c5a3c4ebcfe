"""benchbell plan, at a terminal and for another program."""

import json
import re
import sys
import time
from collections import defaultdict
from datetime import datetime
from itertools import count, pairwise
from pathlib import Path

import pytest
from benchbell.cli import main

ROOT = Path(__file__).parents[2]
STOOL, BENCH = ROOT / "recipes/garden-stool.toml", ROOT / "recipes/hall-bench.toml"
USUAL = ("--start", "2026-12-01T08:00", "--seconds", "0.05")
KEYS = {
    *("id", "build", "piece", "act", "title", "hand", "station", "setup"),
    *("setup_start", "start", "end", "clamps", "fixtures", "slack", "reason"),
}


@pytest.fixture
def plan(capsys):
    """A function that asks for a plan: its exit code, standard output, the error stream."""

    def asked(*words):
        code = main(["plan", *map(str, words)])
        shown = capsys.readouterr()
        return code, shown.out, shown.err

    return asked


def plan_as_json(plan, *words):
    code, out, err = plan(*words, *USUAL, "--json")
    assert (code, err) == (0, "")
    return json.loads(out)


def at(text):
    return datetime.fromisoformat(text)


def minutes(start, end):
    return (at(end) - at(start)).total_seconds() / 60


@pytest.mark.parametrize(
    ("words", "what", "next_step"),
    [
        (("--start", "tomorrow"), "'tomorrow' is not a date and time.", "Write --start 2026-12-01T08:00."),
        (("--start", "9999-12-31T23:00"), "'9999-12-31T23:00' is too far away.", "Write a year from 1970 to 8999."),
        (("--start", "0001-01-01"), "'0001-01-01' is too far away.", "Write a year from 1970 to 8999."),
        (("--hours", "8-5"), "“8-5” are not hours of one day", "Write them like 08:00-17:00, or"),
        (("--hours", ""), "The shop is never open by its hours.", "Write them like 08:00-17:00, or"),
        (("--days", "mo"), "'mo' are not days.", "Write --days mon-sat; days are mon, tue,"),
        (("--closed", "Christmas"), "'Christmas' is not a date.", "Write --closed 2026-12-24, or --closed 2026-12"),
        (("--closed", "2026-12-24.."), "'2026-12-24..' is not a date.", "Write --closed 2026-12-24, or"),
        (("--closed", "2026-12-24..2026-12-01"), "end before they begin.", "Write --closed 2026-12-24, or"),
        (("--closed", "2026-12-24..2028-01-01"), "are more than a year.", "Write --closed 2026-12-24, or"),
        (("--pieces", "0"), "--pieces is 0.", "Write --pieces with a number from 1 to 26."),
        (("--pieces", "27"), "--pieces is 27.", "Write --pieces with a number from 1 to 26."),
        (("--hands", "0"), "--hands is 0.", "Write --hands with a number from 1 to 8."),
        (("--seconds", "-1"), "--seconds is -1.", "Write --seconds with a number from 0.01 to 3600."),
        (("--seconds", "0"), "--seconds is 0.", "Write --seconds with a number from 0.01 to 3600."),
        (("--seconds", "nan"), "--seconds is nan.", "Write --seconds with a number from 0.01 to 3600."),
        (("--prove", "-1"), "--prove is -1.", "Write --prove with a number from 0 to 3600."),
        (("nothing.toml",), "nothing.toml cannot be read: No such file", "Check the file's name."),
        (("--shop", "nothing.toml"), "nothing.toml cannot be read: No such file", "Check the file's name."),
        ((ROOT / "tests/recipe/bad/circle.toml",), "Operations wait for each other", "Correct the recipe first."),
    ],
)
def test_what_cannot_be_planned_is_refused_in_a_sentence_with_a_next_step(plan, words, what, next_step):
    code, out, err = plan(STOOL, *words)

    assert (code, out) == (1, "")
    assert what in err
    assert err.splitlines()[-1].startswith(next_step)


@pytest.mark.parametrize("words", [(), (STOOL, "--hands", "two"), (STOOL, "--pieces", "1.5"), (STOOL, "--soon")])
def test_what_is_not_understood_is_status_2(words):
    with pytest.raises(SystemExit) as ended:
        main(["plan", *map(str, words)])

    assert ended.value.code == 2


def test_without_the_exact_solver_it_says_how_to_get_it(plan, monkeypatch):
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    code, _, err = plan(STOOL, *USUAL, "--prove", "1")

    assert code == 1
    assert err.splitlines()[-1] == "Run pip install 'benchbell[optimal]'."


@pytest.mark.parametrize("count", ["-3", "1.5", '"many"'])
def test_a_number_of_clamps_that_cannot_be_is_refused(plan, tmp_path, count):
    shop = tmp_path / "shop.toml"
    shop.write_text(f'[clamps]\n"parallel jaw" = {count}\n', encoding="utf-8")
    code, _, err = plan(STOOL, "--shop", shop)

    assert code == 1
    assert err.startswith(f"{shop} is not a shop file: Expected `int`")


def test_with_too_few_clamps_the_rest_is_planned_and_what_is_not_is_named(plan, tmp_path):
    shop = tmp_path / "shop.toml"
    shop.write_text('[clamps]\n"parallel jaw" = 2\n', encoding="utf-8")
    code, out, _ = plan(STOOL, *USUAL, "--shop", shop)
    (left_out,) = [line for line in out.splitlines() if line.startswith("Not planned: Garden stool, ")]

    assert code == 1
    assert out.startswith(
        "Garden stool: not done. Glue and peg the base: it takes 3 parallel jaw clamps, the shop has 2."
    )
    assert out.splitlines()[1].startswith("What can be planned ends ")
    assert "likely" not in out
    assert "So these are not planned: Trim pegs, flush the top, level the feet; " in left_out
    assert left_out.endswith("Sit on it and look it over.")
    assert "See to that first" not in out
    assert "|" not in out  # a key of the problem is no name for a maker


def test_nothing_is_planned_on_closed_dates(plan):
    closed = ("--closed", "2026-12-02..2026-12-03", "--closed", "2026-12-07")
    days = {at(act["setup_start"]).day for act in plan_as_json(plan, STOOL, BENCH, *closed)["operations"]}
    _, out, _ = plan(STOOL, *USUAL, *closed)

    assert days & {4, 8} and not days & {2, 3, 7}
    assert "Hours: Mon to Fri 08:00–17:00, no break. Closed Wed 2 Dec to Thu 3 Dec, Mon 7 Dec.\n" in out


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("--days", "sat"), "Hours: Sat 08:00–17:00, no break."),
        (("--days", "fri-mon"), "Hours: Mon, Fri, Sat, Sun 08:00–17:00, no break."),
        (("--hours", "18:00-22:00, 22:30-01:00"), "Hours: Mon to Fri 18:00–22:00, 22:30–01:00."),
    ],
)
def test_the_hours_stand_above_the_plan(plan, words, line):
    _, out, _ = plan(STOOL, *USUAL, *words)

    assert line in out.splitlines()


def test_of_two_pairs_of_hands_each_line_says_whose_and_none_has_two_things_at_once(plan):
    acts = plan_as_json(plan, STOOL, BENCH, "--hands", 2)["operations"]
    worked = {hand: [] for hand in ("1", "2")}
    for act in acts:
        worked[act["hand"]].append((act["setup_start"], act["end"]))
    _, out, _ = plan(STOOL, BENCH, *USUAL, "--hands", 2)

    assert all(len(of) > 5 and all(a[1] <= b[0] for a, b in pairwise(sorted(of))) for of in worked.values())
    assert all(re.match("  ..:..( to .*?)?  [12]: ", line) for line in out.splitlines() if re.match("  [0-9]", line))
    assert {act["hand"] for act in plan_as_json(plan, STOOL)["operations"]} == {""}


@pytest.mark.parametrize("hands", [1, 2])
def test_as_data_it_keeps_to_hours_hands_stations_and_clamps(plan, tmp_path, hands):
    """Looked at from outside, with nothing of the planner's: what another program could check."""
    shop = tmp_path / "shop.toml"
    shop.write_text('[clamps]\n"parallel jaw" = 4\n', encoding="utf-8")
    data = plan_as_json(plan, STOOL, BENCH, "--hands", hands, "--shop", shop)
    acts = data["operations"]
    worked = [(at(act["setup_start"]), at(act["end"])) for act in acts]

    assert all(set(act) == KEYS for act in acts)
    assert all(act["setup_start"] <= act["start"] <= act["end"] for act in acts)
    for start, end in worked:
        assert start.weekday() < 5 and end.weekday() < 5
        assert (8, 0) <= (start.hour, start.minute) < (17, 0)
        assert (8, 0) < (end.hour, end.minute) <= (17, 0)
    assert all(sum(start <= moment < end for start, end in worked) <= hands for moment, _ in worked)
    on_stations = defaultdict(list)
    for act in acts:
        if act["act"] == "work":
            on_stations[act["station"]].append((at(act["setup_start"]), at(act["end"])))
    assert all(a[1] <= b[0] for name in ("table saw", "mortiser") for a, b in pairwise(sorted(on_stations[name])))
    glued, uses = {}, []
    for act in acts:
        if act["act"] == "work" and act["clamps"]:
            glued[act["build"], act["id"]] = act
        elif act["clamps"]:
            on = glued.pop((act["build"], act["id"]))
            assert on["clamps"] == act["clamps"]
            uses.append(
                (at(on["start"]), at(on["end"]), at(act["start"]), at(act["end"]), act["clamps"].get("parallel jaw", 0))
            )
    assert uses and not glued
    assert all(on_end < off_start for _, on_end, off_start, _, _ in uses)
    assert all(sum(count for a, _, _, b, count in uses if a <= moment < b) <= 4 for moment, *_ in uses)


def test_the_figures_of_the_plan_agree_with_its_operations(plan):
    data = plan_as_json(plan, STOOL, BENCH)
    last = max(at(act["end"]) for act in data["operations"])

    assert {build["id"]: build["name"] for build in data["builds"]} == {
        "garden-stool": "Garden stool",
        "hall-bench": "Hall bench",
    }
    assert 0 < data["lower_bound"] <= data["makespan"] == minutes(data["start"], data["finish"])
    assert last <= at(data["finish"])
    assert all(act["slack"] >= 0 for act in data["operations"])
    assert any(act["reason"] for act in data["operations"])
    assert 0 < data["setup_changes"] <= sum(bool(act["station"]) for act in data["operations"])
    assert (data["overrun"], data["unplanned"]) == (0, [])


def test_the_same_recipe_twice_is_two_builds_with_names_of_their_own(plan):
    data = plan_as_json(plan, STOOL, STOOL)
    ids = [(act["build"], act["id"], act["act"]) for act in data["operations"]]

    assert {build["id"]: build["name"] for build in data["builds"]} == {
        "garden-stool": "Garden stool",
        "garden-stool 2": "Garden stool 2",
    }
    assert len(ids) == len(set(ids)) == 2 * sum(build == "garden-stool" for build, _, _ in ids)


def test_for_reading_each_of_several_builds_is_named_and_one_alone_is_not(plan):
    _, alone, _ = plan(STOOL, *USUAL)
    _, both, _ = plan(STOOL, BENCH, *USUAL)

    assert "  Choose boards and chalk out (bench)" in alone
    assert "  Choose boards and chalk out (Garden stool, bench)" in both
    assert "  Cut to rough length (Hall bench, mitre saw)" in both


def test_for_reading_nothing_stands_in_empty_brackets(plan):
    """Wedged tenons are glued without clamps."""
    code, out, _ = plan(ROOT / "recipes/laminated-footrest.toml", *USUAL)

    assert code == 0
    assert "Glue and wedge the left side: glue set\n" in out
    assert "()" not in out


def test_in_the_cold_it_says_what_cannot_be_glued(plan, tmp_path):
    """At 8 °C; common practice, no source: PVA needs 10 °C."""
    shop = tmp_path / "cold.toml"
    shop.write_text("celsius = 8", encoding="utf-8")
    code, out, _ = plan(BENCH, "--shop", shop, *USUAL)
    said = "Not at this temperature: 8 °C (46 °F) in the shop, pva-slow needs at least 10 °C (50 °F)."

    assert code == 0
    assert out.startswith("Not at this temperature: Glue the left end frame; Glue the right end frame; Glue the long ")
    assert "; Oil, coat 2 of 2. Warm the shop first; the plan has the times of a warm one.\n" in out
    assert out.count(said) == 1
    assert "  Not at this temperature.\n" in out
    assert "May come off" not in out
    assert {
        act["reason"] for act in plan_as_json(plan, BENCH, "--shop", shop)["operations"] if act["id"] == "A/glue-seat"
    } == {said, "Not at this temperature."}


def test_in_damp_air_it_says_what_cannot_be_finished(plan, tmp_path):
    """Most humidity for hardwax oil: 80 %, from memory."""
    shop = tmp_path / "damp.toml"
    shop.write_text("humidity = 85", encoding="utf-8")
    _, out, _ = plan(BENCH, "--shop", shop, *USUAL)

    assert out.startswith(
        "Not in air so damp: Oil, coat 1 of 2; Oil, coat 2 of 2. Dry the air first; the plan has the "
    )
    assert out.count("85 % relative humidity in the shop, hardwax-oil needs at most 80 %.") >= 2


def test_it_begins_at_the_moment_asked_for(plan):
    data = plan_as_json(plan, STOOL)

    assert at(data["start"]) == datetime(2026, 12, 1, 8).astimezone()
    assert min(at(act["setup_start"]) for act in data["operations"]) == at(data["start"])


def test_no_two_laminations_stand_in_one_form(plan):
    steps = plan_as_json(plan, ROOT / "recipes/porch-chair.toml", "--pieces", "2")["operations"]
    begin = {one["id"]: one["start"] for one in reversed(steps)}
    end = {one["id"]: one["end"] for one in steps}
    held = sorted(
        (begin[f"{piece}/glue-{which}-slat"], end[f"{piece}/release-{which}-slat"])
        for piece in "AB"
        for which in ("lower", "middle", "upper")
    )

    assert len(held) == 6
    assert all(before <= after for (_, before), (after, _) in pairwise(held))


def test_without_seconds_a_slow_machine_makes_the_same_plan(plan, monkeypatch):
    asked = (STOOL, *USUAL[:2], "--json")
    found = plan(*asked)
    slow = count(step=10)
    monkeypatch.setattr(time, "monotonic", lambda: next(slow))

    assert plan(*asked) == found
