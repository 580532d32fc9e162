"""The way back by command: what is free to fit, the holds, and where was I."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.log_words import write_words
from asfound.errors import Misused, NotFound
from tests.sallow_archive import Bench, bench_with_job, bench_with_sallow


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return bench_with_sallow(tmp_path_factory.mktemp("sallow") / "archive")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Three things off, in the order 1, 2, 3."""
    opened = bench_with_job(tmp_path / "archive")
    for number, minute in (("1", "00"), ("2", "10"), ("3", "20")):
        opened.run("tag", number, "--kind", "wire")
        opened.run("off", number, "--at", f"2025-10-18 14:{minute}")
    return opened


def order(bench: Bench) -> list[str]:
    plan = bench.json("fit")
    return [step["tag"] for step in plan["free"] if step["tag"]]


def test_last_off_is_first_on(bench: Bench):
    assert order(bench) == ["3", "2", "1"]


def test_rule_makes_a_thing_wait_until_the_other_is_in(bench: Bench):
    bench.run("tag", "3", "--fit-after", "1")
    plan = bench.json("fit")
    waits = {step["tag"]: [one["tag"] for one in step["waits_for"]] for step in plan["waiting"]}
    assert waits["3"] == ["1"]
    assert order(bench) == ["2", "1"]

    bench.run("refitted", "1", "--how", "by hand")

    assert "3" in order(bench)
    third = next(step for step in bench.json("fit")["free"] if step["tag"] == "3")
    assert third["loose"][0]["tag"] == "1"


def test_moved_step_stays_moved_until_undo(bench: Bench):
    bench.run("fit", "move", "1", "before", "3")
    assert order(bench)[0] == "1"
    bench.run("refitted", "2")
    assert order(bench)[0] == "1"

    bench.run("undo")
    bench.run("undo")

    assert order(bench) == ["3", "2", "1"]


def test_loop_is_shown_with_its_tags_and_refused_never(bench: Bench):
    bench.run("tag", "1", "--fit-after", "2")
    done = bench.run("tag", "2", "--fit-after", "1")
    assert done.return_value == 0

    shown = bench.run("fit")

    assert bench.json("fit")["loops"] == [["1", "2"]]
    assert "wait for each other" in shown.stderr


def test_lift_out_divides_the_order(bench: Bench):
    """What came off on the bench goes back before the lift in."""
    bench.run("hold", "lift-out", "--looked", "--by", "yard engineer", "--at", "2025-10-18 14:15")

    plan = bench.json("fit")

    assert [step["tag"] for step in plan["free"]] == ["3"]
    hold = next(step for step in plan["waiting"] if step["hold"] == "before lift in")
    assert [one["tag"] for one in hold["waits_for"]] == ["3"]


def steps(bench: Bench) -> list[str]:
    """The whole order: numbers, and names of holds and other steps."""
    return [one["tag"] or one["step"] for one in bench.json("fit", "--all")["order"]]


def test_order_of_the_way_back_names_every_step_and_hold(bench: Bench):
    bench.run("tag", "3", "--name", "second of its number", "--another")
    bench.run("off", "3.2", "--at", "2025-10-18 14:30")
    bench.run("refitted", "2", "--how", "tight")

    found = bench.json("fit", "--all")["order"]

    assert [(one["tag"], one["order"], one["hold"]) for one in found] == [
        (None, None, "before lift in"), ("3", 2, None), ("3", 1, None), ("2", 1, None), ("1", 1, None),
        (None, None, "before first start"),
    ]  # fmt: skip
    assert [one["tag"] for one in found if one["done"]] == ["2"]


def test_day_only_on_the_day_of_the_lift_goes_on_after_it(tmp_path: Path):
    """Battery and mount were told to go on before the engine is lifted in."""
    bench = bench_with_job(tmp_path / "archive")
    for number in ("1", "2"):
        bench.run("tag", number, "--kind", "cable")
        bench.run("off", number, "--at", "2025-10-01")
    bench.run("hold", "lift-out", "--looked", "--at", "2025-10-01 15:00")

    assert [line["why"] for line in bench.json("hold", "lift-in")["open"]] == []
    assert steps(bench) == ["before lift in", "lift in", "1", "2", "before first start"]


def test_off_again_after_the_lift_in_stays_after_it(bench: Bench):
    bench.run("out", "--at", "2025-10-18 14:15", "--by", "crane operator")
    bench.run("refitted", "3", "--how", "tight", "--at", "2025-11-01")
    bench.run("hold", "lift-in", "--looked", "--at", "2025-11-02 10:00")
    bench.run("in", "--at", "2025-11-02 11:00")
    bench.run("off", "3", "--at", "2025-11-03", "--note", "it wept")

    assert steps(bench) == ["before lift in", "lift in", "3", "2", "1", "before first start"]
    assert order(bench) == ["3", "2", "1"]


def test_lift_in_is_a_step_with_its_cautions_and_what_waits_for_it(bench: Bench):
    assert "out from under a hanging engine" in bench.run("out", "--at", "2025-10-18 14:15").stdout
    bench.run("refitted", "3", "--how", "tight")
    assert "look first with: asfound hold lift-in" in bench.run("fit").stdout
    bench.run("hold", "lift-in", "--looked")

    plan = bench.json("fit")

    assert [step["step"] for step in plan["free"]] == ["lift in"]
    shown = bench.run("fit").stdout
    assert "When it is in: asfound in" in shown
    assert "goes in shifts the balance" in shown
    done = bench.run("in", "--by", "crane operator")
    assert "lifted in" in done.stdout
    assert "by crane operator" in done.stdout
    assert done.stderr == ""
    assert order(bench) == ["2", "1"]
    bench.run("undo")
    assert [step["step"] for step in bench.json("fit")["free"]] == ["lift in"]


def test_out_and_in_without_a_look_are_written_and_told(bench: Bench):
    assert "hold before lift out: asfound hold lift-out" in bench.run("out").stderr
    assert "out already" in bench.run("out").stderr
    assert "hold before lift in: asfound hold lift-in" in bench.run("in").stderr
    bench.run("hold", "lift-out", "--looked")
    assert "out already" not in bench.run("out").stderr
    bench.run("undo")
    assert [line["event"] for line in bench.json("log")][-3:] == ["lifted out", "lifted out", "lifted in"]


def test_lift_in_that_nobody_wrote_down_as_out_is_told(bench: Bench):
    assert "Nothing says when the engine went out" in bench.run("in").stderr


def test_without_any_lift_there_is_still_a_stop_and_a_mount_that_is_off_keeps_all_waiting(bench: Bench):
    assert "no lift is written down" in bench.run("fit").stdout
    assert order(bench) == ["3", "2", "1"]
    bench.run("tag", "9", "--kind", "mount")
    bench.run("off", "9")

    assert [step["hold"] for step in bench.json("fit")["free"]] == ["before lift in"]
    bench.run("hold", "lift-in", "--looked")
    assert order(bench) == ["9", "3", "2", "1"]


def test_look_before_the_first_start_is_asked_for_again_after_something_came_off(bench: Bench):
    for number in "123":
        bench.run("refitted", number, "--how", "tight", "--at", "2025-10-20")
    bench.run("hold", "first-start", "--looked", "--at", "2025-10-21 10:00")
    assert bench.json("fit")["order"][-1]["done"]
    bench.run("off", "2", "--at", "2025-10-22")

    assert not bench.json("fit")["order"][-1]["done"]


def test_own_steps_stand_where_they_were_put_and_are_done_by_name_or_number(bench: Bench):
    bench.run("fit", "step", "bleed the fuel", "--after", "1")
    bench.run("fit", "step", "look after the first run")
    bench.run("fit", "step", "align the shaft", "--before", "first-start", "--hold")

    assert steps(bench)[4:] == [
        "bleed the fuel", "align the shaft", "before first start", "look after the first run",
    ]  # fmt: skip
    found = {one["name"]: one for one in bench.json("fit", "step")}
    assert [found[name]["is_hold"] for name in ("bleed the fuel", "align the shaft")] == [False, True]
    assert found["look after the first run"]["is_hold"], "a usual hold is one"
    bench.run("fit", "step", "retighten warm")
    assert steps(bench)[-2:] == ["look after the first run", "retighten warm"]
    bench.run("fit", "drop", "retighten warm")
    late = bench.run("fit", "done", "s3", "--by", "yard engineer")
    assert (
        late.stderr.strip() == '"align the shaft" was meant to wait for hold before lift in, 3, 2, 1, "bleed the fuel".'
    )
    assert {one["name"] for one in bench.json("fit", "step") if one["done"]} == {"align the shaft"}
    assert bench.json("log")[-1]["what"] == "align the shaft"
    bench.run("undo")
    assert not any(one["done"] for one in bench.json("fit", "step"))
    bench.run("fit", "drop", "bleed the fuel")
    assert "bleed the fuel" not in steps(bench)
    with pytest.raises(Misused, match="on the list already"):
        bench.run("fit", "step", "Align  the shaft")
    with pytest.raises(NotFound, match="align the shaft"):
        bench.run("fit", "done", "polish it")


def test_move_beside_a_hold_is_kept_and_told_when_it_crosses_the_lift(bench: Bench):
    bench.run("out", "--at", "2025-10-18 14:15")
    moved = bench.run("fit", "move", "1", "before", "lift-in")

    assert steps(bench) == ["3", "1", "before lift in", "lift in", "2", "before first start"]
    assert "before the engine is lifted in now" in moved.stderr
    assert bench.run("fit", "move", "1", "before", "3").stderr == ""
    bench.run("fit", "move", "1", "after", "first-start")
    assert steps(bench)[-1] == "1"


def test_belt_that_comes_off_first_goes_on_last(bench: Bench):
    bench.run("belt", "3", "--off", "first")
    bench.run("belt", "1", "--off", "second")
    bench.run("tag", "1", "--kind", "belt", "--change")

    assert steps(bench) == ["before lift in", "2", "1", "3", "before first start"]


def test_what_came_off_on_one_day_without_an_hour_goes_by_the_words_of_its_place(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    for number, place in (("1", "starter"), ("2", "pump"), ("3", "starter"), ("4", "pump")):
        bench.run("tag", number, "--kind", "wire", "--place-a", place)
        bench.run("off", number, "--at", "2025-10-01")

    assert order(bench) == ["1", "3", "2", "4"]


def test_move_before_itself_is_refused(bench: Bench):
    with pytest.raises(Misused, match="itself"):
        bench.run("fit", "move", "1", "before", "1")


def test_whole_boat_lacks_what_the_scenario_says(whole: Bench):
    """Not tight on 2026-04-26: 18, 26 by hand; 1, 29, 41 not fitted; the earth lead waits for all of them."""
    plan = whole.json("fit")

    states = {one["tag"]: one["state"] for one in plan["not_tight"]}
    assert states == {"18": "by hand", "26": "by hand", "1": "not fitted", "29": "not fitted", "41": "not fitted"}
    assert plan["loops"] == [["26", "27"]]
    earth = next(step for step in plan["waiting"] if step["tag"] == "1")
    assert {one["tag"] for one in earth["waits_for"]} == {"29", "41"}


def test_what_is_free_comes_with_its_as_found_picture(whole: Bench):
    coupling = next(step for step in whole.json("fit")["free"] if step["tag"] == "41")

    assert {seen["end"] for seen in coupling["as_found"]} == {"A", "B"}
    assert all(seen["file"].startswith("K1_") for seen in coupling["as_found"])


def test_hold_before_first_start_lists_what_is_open_and_promises_nothing(whole: Bench):
    check = whole.json("hold", "first-start")
    why = " ".join(line["why"] for line in check["open"])

    for words in ("41 (shaft", "18 (fuel feed", "B9 is 1 short", "check valve direction", "19 (fuel feed"):
        assert words in why
    shown = whole.run("hold", "first-start").stdout
    assert "service manual" in shown
    assert "safe" not in shown.casefold()


def test_every_engine_end_that_is_not_off_stands_before_lift_out(bench: Bench):
    bench.run("tag", "9", "--kind", "cable", "--place-a", "starter", "--place-b", "bulkhead")

    open_lines = bench.json("hold", "lift-out")["open"]

    assert any(line["why"].startswith("9 (cable) holds the engine") for line in open_lines)


def test_side_of_an_end_is_said_in_every_way_shown_searched_and_taken_back(bench: Bench, tmp_path: Path):
    table = tmp_path / "sides.csv"
    table.write_text("tag,end_a_place,side_a,side_b\n7,pump,engine side,boat\n8,x,sideways,\n")
    bench.run("tag", "--line", "5 hose A pump, engine side B tank stays behind")
    bench.run("tag", "6", "--place-a", "clip", "--side-a", "stays behind")
    done = bench.run("tags", "import", str(table))

    assert '"sideways" is not a side of the lift' in done.output
    sides = {number: [end["side"] for end in bench.json("tag", number)["ends"]] for number in "567"}
    assert sides == {"5": ["engine", "stays"], "6": ["stays", ""], "7": ["engine", "stays"]}
    assert "side of A  engine side" in bench.run("tag", "5").output
    assert {row["tag"] for row in bench.json("find", "stays behind")} == {"5", "6", "7"}
    bench.run("tag", "6", "--side-a", "")
    assert bench.json("tag", "6")["ends"][0]["side"] == ""
    bench.run("undo")
    assert bench.json("tag", "6")["ends"][0]["side"] == "stays"
    with pytest.raises(Misused, match="stays behind"):
        bench.run("tag", "6", "--side-a", "left")


def test_hold_before_lift_out_goes_by_the_side_of_each_end(bench: Bench):
    for number, sides in (("11", "engine stays"), ("12", "engine engine"), ("13", "stays stays"), ("14", "engine")):
        said = [word for letter, side in zip("ab", sides.split(), strict=False) for word in (f"--side-{letter}", side)]
        bench.run("tag", number, *said)

    bench.run("gaps", "answer", "walk round", "taken on film")
    check = bench.json("hold", "lift-out")

    assert [(one["why"].split()[0], one["sure"]) for one in check["open"]] == [("11", True), ("14", False)]
    bench.run("tag", "14", "--side-b", "engine")
    bench.run("off", "11")
    assert bench.json("hold", "lift-out")["open"] == []


def test_fitting_before_what_it_waits_for_is_said_at_once_and_written_all_the_same(bench: Bench):
    bench.run("tag", "1", "--fit-after", "2")

    early = bench.run("refitted", "1", "--how", "by hand")

    assert early.stderr.strip() == "1 was meant to wait for 2 (wire)."
    assert "1" not in [one["tag"] for one in bench.json("fit")["free"]]
    assert bench.run("refitted", "2").stderr == ""


def test_fitting_what_is_sent_out_or_broken_is_said_in_one_line_until_that_is_put_right(bench: Bench):
    bench.run("event", "1", "sent out", "--by", "engine shop", "--at", "2025-11-02")
    bench.run("event", "1b", "cut", "short of the clip", "--at", "2025-11-03")

    line = bench.run("refitted", "1").stderr.strip()

    assert line == (
        "1 was sent out to engine shop on 2025-11-02 and nothing says that it came back; 1 was cut at end B on "
        "2025-11-03 (short of the clip) and nothing says that it was repaired or is a new part."
    )
    bench.run("undo")
    bench.run("event", "1", "came back")
    assert bench.run("refitted", "1").stderr == ""
    bench.run("event", "2", "broken")
    bench.run("event", "2", "repaired", "spliced")
    assert bench.run("refitted", "2").stderr == ""
    assert "asfound event" not in bench.run("refitted", "2", "--how", "torqued").stderr


def test_fitting_what_was_to_be_replaced_is_said_until_there_is_a_new_part(bench: Bench):
    bench.run("tag", "1", "--condition", "replace")

    assert "1 was to be replaced and nothing says that it is a new part." in bench.run("refitted", "1").stderr
    bench.run("event", "1", "new part")
    assert bench.run("refitted", "1").stderr == ""


def test_what_waits_for_much_names_only_what_is_next_to_it(bench: Bench):
    bench.run("tag", "1", "--fit-after", "2")
    bench.run("tag", "2", "--fit-after", "3")

    assert "1 (wire)  waits for 2\n" in bench.run("fit", "--all").stdout
    assert "hold before first start  waits for hold before lift in, 1\n" in bench.run("fit", "--all").stdout


def test_line_typed_on_the_screens_says_it_too(bench: Bench):
    bench.run("tag", "1", "--fit-after", "2")

    with open_archive(bench.folder) as archive:
        assert "1 was meant to wait for 2" in write_words(archive, "1 on by hand")


def test_caps_are_counted_back(bench: Bench):
    bench.run("tag", "4", "--kind", "hose", "--capped", "a", "--capped", "b")
    assert "2 caps and plugs went out, 0" in " ".join(x["why"] for x in bench.json("hold", "lift-in")["open"])

    bench.run("event", "4a", "uncapped")

    assert "2 caps and plugs went out, 1 counted back: look for each of them (4b)" in " ".join(
        line["why"] for line in bench.json("hold", "lift-in")["open"]
    )


def test_resume_tells_the_last_day_what_is_open_and_what_comes_next(whole: Bench):
    found = whole.json("resume")

    assert found["day"] == "2026-04-26"
    assert {line["event"] for line in found["lines"]} == {"refitted"}
    assert [name.split()[0] for name in found["off"]] == ["1", "29", "41"]
    assert [snag["snag"] for snag in found["snags"]] == ["N1", "N4", "N6", "N8", "N9"]
    assert [bag["bag"] for bag in found["to_count"]] == ["B9"]
    assert {gap["at_machine"] for gap in found["gaps"]} == {True}
    assert [name.split()[0] for name in found["next"]] == ["29", "41"]


def test_resume_after_the_pause_tells_what_came_off_last_what_is_open_and_what_comes_next(whole: Bench):
    """As of 2026-04-26: the pause was from 2025-11-08 to 2026-04-18, 161 days; the mounts came off last."""
    found = whole.json("resume")

    assert found["pause"] == ["2025-11-08", "2026-04-18"]
    assert found["off_day"] == "2025-11-01"
    assert [name.split()[0] for name in found["came_off_last"]] == ["37", "38", "39", "40"]
    assert [name.split()[0] for name in found["off"]] == ["1", "29", "41"]
    assert [name.split()[0] for name in found["by_hand"]] == ["18", "26"]
    assert [name.split()[0] for name in found["next"]] == ["29", "41"]
    told = whole.run("resume").output
    assert "The longest pause was 161 days" in told
    assert told.index("Came off last, on 2025-11-01 (4)") < told.index("Still off (3)") < told.index("Free to fit next")


def test_handover_of_the_last_day_comes_first(bench: Bench):
    bench.run("handover", "fuel", "is", "off", "--day", "2025-10-18")
    bench.run("handover", "18 only hand-tight", "--day", "2025-11-08")

    lines = bench.run("resume").stdout.splitlines()

    assert lines[1] == "Handed over on 2025-11-08: 18 only hand-tight"
    bench.run("undo")
    assert bench.json("resume")["note"] == "fuel is off"


def test_job_without_anything_resumes_too(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")

    assert "Nothing has happened yet" in bench.run("resume").stdout
    assert "nothing waits" in bench.run("fit").stdout


def test_resume_shows_the_cautions_of_the_phase_that_the_job_is_in(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    assert "Take the earth lead off first" in bench.run("resume").stdout

    bench.run("tag", "1", "--kind", "wire")
    assert "Cap every open line" in bench.run("off", "1", "--at", "2025-10-18 14:00").stdout
    now = bench.run("resume").stdout
    assert "Cap every open line" in now
    assert "earth lead off first" not in now
    assert "Seacocks" not in now

    bench.run("tag", "2", "--kind", "hose", "--hazard", "sea cock")
    bench.run("out", "--at", "2025-10-20")
    now = bench.run("resume").stdout
    assert "Oily rags" in now
    assert "Keep seacocks shut" in now

    bench.run("in", "--at", "2026-04-20")
    assert "Never pull an engine in" in bench.run("resume").stdout


def test_cautions_of_taking_apart_are_shown_once_a_day(bench: Bench):
    assert "Cap every open line" not in bench.run("off", "3", "--at", "2025-10-19 10:00").stdout


def test_cautions_are_shown_once_a_day(bench: Bench):
    assert "Never pull an engine in with its bolts" in bench.run("fit").stdout
    assert "Never pull" not in bench.run("fit").stdout
    first = bench.run("drained", "oil").stdout
    assert "One container, one fluid" in first
    assert "One container" not in bench.run("drained").stdout


def test_what_a_person_said_of_a_refitted_thing_is_kept_and_shown_where_it_is_open(bench: Bench):
    bench.run("refitted", "1", "--how", "tight", "--at", "2026-04-25")

    said = bench.run("looked", "1b", "--as", "wrong", "--note", "clamp the other way round").output
    assert "recorded as wrong: clamp the other way round" in said
    assert "your word" in said
    assert "Snag 1 is open" in said

    for command in (("resume",), ("fit",), ("log", "1"), ("tag", "1"), ("snags",)):
        words = bench.run(*command).output
        assert "wrong" in words, command
        assert "safe" not in words.lower(), command
    assert bench.json("resume")["look_again"] == ["1 (wire) end B recorded as wrong: clamp the other way round"]

    bench.run("looked", "1b", "--as", "right", "--by", "yard engineer")
    assert "recorded as right by yard engineer" in bench.run("tag", "1").output
    assert "Look again" not in bench.run("fit").output
