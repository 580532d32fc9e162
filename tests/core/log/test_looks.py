"""What was said last of what was looked over."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from asfound.core.log.looks import latest_looks, look_words, not_right
from asfound.model.log import LOOKED_OVER, LogLine

NOON = datetime(2026, 4, 25, 12, 0, tzinfo=UTC)


def line(number: int, kind: str = LOOKED_OVER, *, how: str = "", end: str = "", struck: bool = False, note: str = ""):
    at = NOON + timedelta(minutes=number)
    texts = dict.fromkeys(("bag", "what", "amount", "container", "looks", "by_whom"), "")
    return LogLine(
        number, 1, end, kind, at, False, how, note=note, strikes=None, entered_at=at, is_struck=struck, **texts
    )


def said(*lines: LogLine) -> list[tuple[str, str]]:
    return [(one.end, one.how) for one in latest_looks(lines).get(1, ())]


def test_the_latest_word_on_each_end_counts():
    assert said(line(1, how="wrong", end="A"), line(3, how="right", end="A"), line(2, how="can't tell", end="B")) == [
        ("B", "can't tell"),
        ("A", "right"),
    ]


def test_a_word_on_the_whole_goes_before_earlier_ones_on_its_ends():
    assert said(line(1, how="wrong", end="A"), line(2, how="right")) == [("", "right")]
    assert said(line(2, how="wrong", end="A"), line(1, how="right")) == [("", "right"), ("A", "wrong")]


def test_nothing_stands_once_it_came_off_again_nor_when_it_was_struck_out():
    assert said(line(1, how="right"), line(2, "off")) == []
    assert said(line(1, how="right"), line(2, "refitted")) == [("", "right")]
    assert said(line(1, how="wrong", struck=True)) == []


def test_what_is_to_look_at_again_names_what_is_wrong_first():
    looks = (line(1, how="can't tell", end="A"), line(2, how="right", end="B"), line(3, how="wrong"))
    assert [one.how for one in not_right(looks)] == ["wrong", "can't tell"]
    assert look_words(line(1, how="wrong", note="clamp turned")) == "recorded as wrong: clamp turned"
