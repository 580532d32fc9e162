"""Values out of the manual, by command."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.log_words import write_words
from asfound.errors import Ambiguous, Misused, NotFound
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("tag", "41", "--kind", "fastener group", "--name", "shaft coupling bolts")
    opened.run("off", "41", "--at", "2025-10-18")
    opened.run("value", "41", "tightening", "45 Nm", "--page", "6-12")
    return opened


def states(bench: Bench) -> dict[str, str]:
    return {one["what"]: one["state"] for one in bench.json("value")}


def test_typed_value_is_shown_wherever_the_thing_is(bench: Bench):
    words = "45 Nm, manual page 6-12; not reached yet"

    assert words in bench.run("tag", "41").stdout
    assert words in bench.run("fit").stdout
    assert words in bench.run("value", "--open").stdout
    assert f"41 (shaft coupling bolts), tightening: {words}" in bench.run("resume").stdout
    assert any(words in line["why"] for line in bench.json("hold", "first-start")["open"])
    assert bench.json("tag", "41")["values"][0]["page"] == "6-12"


def test_reached_closes_it_and_coming_off_opens_it_again(bench: Bench):
    bench.run("refitted", "41", "--how", "torqued", "--value", "45 Nm", "--by", "yard engineer", "--at", "2026-04-20")

    assert states(bench) == {"tightening": "reached"}
    assert "reached 45 Nm by yard engineer, 2026-04-20" in bench.run("tag", "41").stdout
    assert not any(line["why"].startswith("41") for line in bench.json("hold", "first-start")["open"])
    bench.run("off", "41", "--at", "2026-04-21")
    assert states(bench) == {"tightening": "came off since"}


def test_torqued_without_a_value_is_taken_and_the_value_asked_for(bench: Bench):
    done = bench.run("refitted", "41", "--how", "torqued")

    assert "With what value? asfound reached 41 VALUE" in done.stderr
    assert bench.json("fit")["not_tight"] == []


@pytest.mark.parametrize("typed", ["41 45 Nm", "41 torque 45 Nm", "41 torqued 45 Nm"])
def test_line_with_a_value_is_one_that_was_reached(bench: Bench, typed: str):
    bench.run("refitted", "41", "--how", "by hand")
    with open_archive(bench.folder) as archive:
        write_words(archive, typed)

    assert states(bench) == {"tightening": "reached"}
    assert bench.json("log")[-1]["amount"] == "45 Nm"


def test_event_torque_is_taken_and_said_to_be_odd_while_the_thing_is_off(bench: Bench):
    bench.run("event", "41", "torque", "40 Nm", "--by", "deckhand")

    assert states(bench) == {"tightening": "differs"}
    assert "still off by the record" in bench.run("reached", "41", "45 Nm").stderr
    assert states(bench) == {"tightening": "reached"}
    with pytest.raises(Misused, match="what was reached"):
        bench.run("event", "41", "torque")


def test_stage_stays_on_the_list_and_one_of_several_values_must_be_named(bench: Bench):
    bench.run("value", "41", "angle", "90 degrees")
    with pytest.raises(Ambiguous, match="tightening, angle"):
        bench.run("reached", "41", "45 Nm")

    bench.run("reached", "41", "45 Nm", "--what", "tightening", "--not-final")

    assert states(bench) == {"tightening": "not final", "angle": "not reached"}


def test_measured_of_a_thing_without_a_number_stands_beside_its_limits_at_the_lift_in(bench: Bench):
    bench.run("value", "crankshaft", "end float", "--limits", "0.1 to 0.2 mm", "--page", "3-4")
    bench.run("reached", "crankshaft", "0.25 mm", "--what", "end float", "--by", "engine shop")

    (line,) = [one["why"] for one in bench.json("hold", "lift-in")["open"]]

    assert line.startswith(
        "crankshaft, end float: limit 0.1 to 0.2 mm, manual page 3-4; measured 0.25 mm by engine shop"
    )
    assert "differs from the manual's value" in line


def test_measured_value_without_a_typed_one_is_on_the_card_and_in_fit(bench: Bench):
    bench.run("event", "41", "measured", "gap 0.08 mm at 12, 0.05 at 6", "--at", "2025-10-18")

    for command in (("tag", "41"), ("fit",)):
        assert "gap 0.08 mm at 12, 0.05 at 6, 2025-10-18" in bench.run(*command).stdout, command
    assert "The manual's gap for 41 is not typed in" in bench.run("reached", "41", "0.07 mm", "--what", "gap").stderr


def test_values_are_changed_dropped_and_taken_back(bench: Bench):
    bench.run("value", "41", "Tightening", "50 Nm")
    assert [(one["wanted"], one["page"]) for one in bench.json("value", "41")] == [("50 Nm", "6-12")]
    bench.run("undo")
    bench.run("value", "41", "tightening", "--drop")
    assert bench.run("value").stdout == "No value is typed in yet.\n"
    bench.run("undo")
    assert bench.json("value")[0]["wanted"] == "45 Nm"
    with pytest.raises(NotFound, match="it has: tightening"):
        bench.run("value", "41", "gap", "--drop")
    with pytest.raises(NotFound, match="W9"):
        bench.run("value", "W9", "gap", "1 mm")
    with pytest.raises(Misused, match="no values of its own"):
        bench.run("value", "41", "gap")
    bench.run("tag", "41", "--remove")
    assert bench.json("value") == []
