"""What a hold says of each thing: which one, in which state, how sure, and what comes next."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.core.log.record import Record
from asfound.core.refit.hold_points import HoldLine, check_before_first_start
from asfound.core.refit.steps import HoldPoint
from asfound.core.refit.values import measured_lines, measured_words
from asfound.model.log import LogLine
from asfound.model.values import ManualValue
from tests.core.log.makers import START, event, tag


def line(kind: str = "looked over", tag_id: int | None = 1, **more: Any) -> LogLine:
    words = dict.fromkeys("end how bag what amount container looks by_whom note".split(), "")
    return LogLine(
        event_id=1, tag_id=tag_id, kind=kind, at=START, is_day_only=False, strikes=None, entered_at=START,
        **{**words, **more},
    )  # fmt: skip


def first_start(record: Record, **more: Any) -> tuple[HoldLine, ...]:
    check = check_before_first_start(record, **more)
    assert check.point is HoldPoint.FIRST_START
    return check.lines


@pytest.mark.parametrize(
    ("how", "state", "is_sure"), [("by hand", "fitted by hand only", True), ("", "refitted", False)]
)
def test_what_is_not_tight_names_its_thing_and_how_sure_that_is(how: str, state: str, is_sure: bool):
    record = Record((tag(1, "11", name="hose"),), events=(event(1, "off", 1), event(1, "refitted", 2, how=how)))

    (found,) = first_start(record)

    assert (found.tag_id, found.is_sure) == (1, is_sure)
    assert found.why.startswith("11 (hose) is ")
    assert state in found.why


@pytest.mark.parametrize("how", ["wrong", "can't tell"])
@pytest.mark.parametrize("end", ["", "B"])
def test_what_was_not_called_right_names_the_end_and_the_next_move(how: str, end: str):
    record = Record((tag(1, "11", name="hose"),))
    looked = line(how=how, end=end, picture="P1_0090.jpg", note="clamp the other way round")

    (found,) = first_start(record, not_right=[looked, line(tag_id=99, how="wrong")])

    assert (found.tag_id, found.is_sure) == (1, how == "wrong")
    assert found.why.startswith("11 (hose) end B was " if end else "11 (hose) was ")
    assert all(words in found.why for words in (how, "P1_0090.jpg", "clamp the other way round"))
    assert ("look again, closer" in found.why) is (how != "wrong")
    assert ", then look again" in found.why or how != "wrong"


def test_tightened_too_soon_names_both():
    record = Record(
        (tag(1, "11", name="hose"), tag(2, "12", name="flange")),
        events=(
            *(event(number, "off", 1) for number in (1, 2)),
            event(1, "refitted", 2, how="tight"),
            event(2, "refitted", 3, how="by hand"),
        ),
        fit_after=((1, 2),),
    )

    soon = [one for one in first_start(record) if "before" in one.why]

    assert [one.tag_id for one in soon] == [1]
    assert "11 (hose)" in soon[0].why
    assert "12 (flange)" in soon[0].why


def test_measured_lines_are_those_of_a_thing_that_stand_and_answer_no_typed_value():
    lines = [
        line("measured", what="end float", amount="0.08 mm"),
        line("measured", None, what="loose"),
        line("measured", what="struck", is_struck=True),
        line("off"),
        line("torque", 2, what="torque", amount="45 Nm"),
        line("measured", what="gap", amount="0.3 mm"),
    ]

    found = measured_lines(iter(lines), iter([ManualValue(1, 1, "", "gap", "0.25 mm", "", "")]))

    assert found == {1: [lines[0]], 2: [lines[4]]}


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"what": "gap", "amount": "0.08 mm", "by_whom": "engine shop"}, "gap 0.08 mm, by engine shop, 2025-10-11"),
        ({"what": "gap"}, "gap, 2025-10-11"),
        ({"note": "cold"}, "cold, 2025-10-11"),
    ],
)
def test_measurement_in_words(more: dict[str, str], words: str):
    assert measured_words(line("measured", **more)) == words
