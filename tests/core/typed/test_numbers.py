"""Numbers of things: lists, ranges, ends, and whether anybody has them."""

from __future__ import annotations

import pytest

from asfound.core.typed.numbers import doubtful_of, join_numbers, unknown_of
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import read_numbers, split_line
from tests.core.typed.lines import KNOWN


def labels(line: str) -> tuple[str, ...]:
    return next((one.of for one in join_numbers(read_numbers(split_line(line), KNOWN)) if one.code == "T"), ())


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("17", "17"),
        ("hose 17", "17"),
        ("17, 18 and 19", "17 18 19"),
        ("the 17 & the 18", "17 18"),
        ("17-19", "17 18 19"),
        ("17 to 19", "17 18 19"),
        ("17/18", "17 18"),
        ("17a and b", "17a 17b"),
        ("17 end b", "17b"),
        ("b end of 17", "17b"),
        ("both ends of 17", "17"),
        ("second 12", "12.2"),
        ("nothing", ""),
    ],
)
def test_numbers_that_stand_together(line: str, expected: str):
    assert " ".join(labels(line)) == expected


@pytest.mark.parametrize("line", ["19-17", "1-99", "17a-19"])
def test_what_is_no_range_is_refused(line: str):
    with pytest.raises(Unread):
        labels(line)


def test_a_place_in_a_row_is_no_number_on_tape():
    with pytest.raises(Unread, match="place in a row"):
        labels("piston rod 3")
    assert labels("fuel pipe 3") == ("3",)


def test_who_has_a_number():
    assert unknown_of(["17", "33", "61b", "12.3"], KNOWN) == ["33", "61b", "12.3"]
    assert doubtful_of(["17", "12", "12.2"], KNOWN) == [("12", ("12.1", "12.2"))]
