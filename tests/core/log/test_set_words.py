"""Positions of like parts, as they are typed and as they are told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.sets import MOST_MEMBERS, join_positions, read_positions, set_words
from asfound.errors import Misused
from asfound.model.purchases import SetMember


@pytest.mark.parametrize(
    ("typed", "positions"),
    [
        ("1-3", ("1", "2", "3")),
        ("1 to 3", ("1", "2", "3")),
        ("1–3", ("1", "2", "3")),
        ("3-3", ("3",)),
        ("1,3, 5", ("1", "3", "5")),
        ("front, rear", ("front", "rear")),
        ("2, 1-3", ("2", "1", "3")),
        ("inlet 1, exhaust 1", ("inlet 1", "exhaust 1")),
    ],
)
def test_positions_are_read_as_people_write_them(typed: str, positions: tuple[str, ...]):
    """Common practice, no source."""
    assert read_positions(typed) == positions


@pytest.mark.parametrize(("typed", "told"), [("5-1", "1-5"), ("", "1-8"), (" , ", "1-8"), ("1-9999", "1-8")])
def test_what_is_no_list_of_positions_is_refused_with_one(typed: str, told: str):
    with pytest.raises(Misused, match=told):
        read_positions(typed)


@given(st.sets(st.integers(1, MOST_MEMBERS), min_size=1))
def test_positions_that_are_told_read_back(positions: set[int]):
    ordered = [str(one) for one in sorted(positions)]

    assert list(read_positions(join_positions(ordered))) == ordered


@pytest.mark.parametrize(
    ("members", "words"),
    [
        ([], ""),
        ([("1", "", ""), ("2", "", "")], "2, each back in its own position: 1, 2"),
        (
            [("2", "up", ""), ("1", "up", ""), ("10", "up", "")],
            "3, each back in its own position: 1, 2, 10, all faced up",
        ),
        (
            [("1", "up", ""), ("2", "up", "worn"), ("3", "", "")],
            "3, each back in its own position: 1 to 3; 1 faced up; 2 faced up, worn",
        ),
    ],
)
def test_set_is_told_in_one_line_with_what_differs(members: list[tuple[str, str, str]], words: str):
    assert set_words(SetMember(1, *one) for one in members) == words
