"""The three holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from asfound.core.log.record import Record
from asfound.core.refit.engine_ends import Sides, find_sides, guess_side, said_places
from asfound.core.refit.hold_points import (
    LOOK_YOURSELF,
    HoldCheck,
    check_before_first_start,
    check_before_lift_in,
    check_before_lift_out,
)
from asfound.core.refit.left_over import CountedOut
from asfound.core.refit.lifts import Moment, find_lifts
from asfound.core.refit.reverse import draft_order
from asfound.core.refit.steps import HoldPoint
from tests.core.log.makers import START, end, event, tag
from tests.scenario import load_sallow

BEFORE_LIFT = datetime(2025, 11, 1, tzinfo=UTC)


def lines(check: HoldCheck) -> list[tuple[int | None, bool]]:
    return [(line.tag_id, line.is_sure) for line in check.lines]


@pytest.mark.parametrize(
    ("place", "side"),
    [
        ("engine-room bulkhead, port", "stays"),
        ("engine bearer, front port", "stays"),
        ("engine bracket, front port", "engine"),
        ("cylinder head, rear port", "engine"),
        ("Generator", "engine"),
        ("firewall", "stays"),
        ("front cover", None),
        ("", None),
    ],
)
def test_sides_are_guessed_from_words(place: str, side: str | None) -> None:
    assert guess_side(place) == side


def test_persons_word_on_an_end_goes_before_that_on_its_place_and_that_before_the_guess() -> None:
    said = said_places([end(9, "A", "front cover", side="engine"), end(9, "B", "Starter", side="stays")])

    sides = find_sides([end(1, "A", "Front  cover"), end(1, "B", "starter")], said)
    assert sides == Sides(frozenset({"engine", "stays"}), are_said=True)
    sides = find_sides([end(1, "A", "Front  cover", side="stays"), end(1, "B", "starter")], said)
    assert sides == Sides(frozenset({"stays"}), are_said=True)
    assert not find_sides([end(1, "A", "front cover"), end(1, "B", "engine block")], said).are_said
    assert not find_sides([], {}).are_said


def test_place_of_which_both_was_said_or_that_is_an_answer_tells_nothing() -> None:
    ends = [
        end(1, "A", "clip", side="engine"),
        end(2, "A", "clip", side="stays"),
        end(3, "A", "not found", side="stays"),
    ]

    assert said_places(ends) == {}


def test_every_tag_with_an_engine_end_is_off_before_the_lift_out() -> None:
    record = Record(
        tags=(tag(1), tag(2), tag(3), tag(4), tag(5, kind="mount"), tag(6)),
        ends=(
            end(1, "A", "engine block"), end(1, "B", "bulkhead"),
            end(2, "A", "engine block"), end(2, "B", "bulkhead"),
            end(3, "A", "spot X"), end(3, "B", "spot Y"),
            end(4, "A", "starter"), end(4, "B", "cylinder head"),
        ),
        events=(event(2, "off", 1),),
    )  # fmt: skip

    assert lines(check_before_lift_out(record)) == [(1, True), (5, True), (3, False), (4, False), (6, False)]
    said = (
        end(3, "A", "spot X", side="stays"), end(3, "B", "spot Y", side="engine"),
        end(4, "A", "starter", side="engine"), end(4, "B", "cylinder head", side="engine"),
    )  # fmt: skip
    record = replace(record, ends=(*record.ends[:4], *said))
    assert lines(check_before_lift_out(record)) == [(1, True), (3, True), (5, True), (6, False)]


def test_what_is_back_on_is_no_news_once_the_lift_is_over_and_is_told_in_one_line_before_that_is_known() -> None:
    record = Record(
        tags=(tag(1), tag(2), tag(3, kind="mount"), tag(4)),
        ends=tuple(end(one, "A", "pump") for one in (1, 2, 4)),
        events=(
            event(1, "off", 1), event(2, "off", 2), event(3, "off", 14),
            event(1, "refitted", 5), event(2, "refitted", 200), event(3, "refitted", 210),
        ),
    )  # fmt: skip

    never_off, back = check_before_lift_out(replace(record, ends=())).lines
    assert (never_off.tag_id, back.tag_id, back.is_sure) == (4, None, False)
    assert "3 things came off and are back on" in back.why
    assert back.why.endswith("They are 1, 2, 3.")
    # 1 went back on before anybody looked: it may hold the engine as it goes up. 3 came off that day.
    assert lines(check_before_lift_out(record, START + timedelta(hours=10))) == [(4, False), (1, False)]
    later = replace(record, events=(*record.events[:3], event(1, "refitted", 100), *record.events[4:]))
    assert lines(check_before_lift_out(later, START + timedelta(hours=10))) == [(4, False)]


def test_end_of_which_nobody_said_the_side_is_looked_at_and_how_to_say_it_is_told() -> None:
    record = Record(tags=(tag(7),), ends=(end(7, "A", "pump", side="engine"), end(7, "B", "clip")))

    (line,) = check_before_lift_out(record).lines

    assert not line.is_sure
    assert "with --side-b of: asfound tag 7." in line.why


def test_sallow_before_the_lift_out_still_hangs_on_its_mounts() -> None:
    record = load_sallow()
    record = replace(record, events=tuple(e for e in record.events if e.at < BEFORE_LIFT), sightings=())

    check = check_before_lift_out(record)

    assert [record.by_id[line.tag_id].number for line in check.lines if line.tag_id] == ["37", "38", "39", "40"]
    assert check.words == LOOK_YOURSELF


def test_before_the_lift_in_what_belongs_on_the_engine_is_on_and_things_are_counted() -> None:
    record = load_sallow()
    off = tuple(e for e in record.events if e.kind == "off")
    record = replace(record, events=off)
    lifted_out_at = datetime(2025, 10, 26, 12, 0, tzinfo=UTC)
    steps = draft_order([tag.tag_id for tag in record.in_order], off, lifts=find_lifts([Moment(lifted_out_at)], []))

    check = check_before_lift_in(
        record, steps, counted_out=[CountedOut("rags", 2, 1)], open_snags={"N1": "pipe end pitted. "}
    )

    before = {record.by_id[step].number for step in steps[: steps.index(HoldPoint.LIFT_IN)] if isinstance(step, int)}
    assert {record.by_id[line.tag_id].number for line in check.lines if line.tag_id} == before
    assert [line.why for line in check.lines if not line.tag_id] == [
        "Snag still open: pipe end pitted.",
        "Bag B9 is 1 short (8 out, 7 back): look for what is missing.",
        "2 rags went out, 1 counted back: look for each of them.",
    ]


def test_before_the_first_start_sallow_has_three_off_two_by_hand_and_two_too_soon() -> None:
    record = load_sallow()

    check = check_before_first_start(record, open_snags={"N9": "check valve direction not recorded"})

    numbers = [record.by_id[line.tag_id].number if line.tag_id else line.bag for line in check.lines]
    assert numbers == ["1", "29", "41", "B9", "18", "26", "19", "27", "20", "28", "36", None]
    assert [line.is_sure for line in check.lines] == [True] * 8 + [False] * 3 + [True]


def test_nothing_open_still_asks_to_look_and_never_says_safe() -> None:
    record = Record(tags=(tag(1),), events=(event(1, "off", 1), event(1, "refitted", 2, how="tight")))

    check = check_before_first_start(record)

    assert check.lines == ()
    assert "service manual" in check.words
    assert "safe" not in " ".join([check.words, *(line.why for line in check_before_first_start(load_sallow()).lines)])
