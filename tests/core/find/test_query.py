"""What a person typed to find something."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.find.query import Query, parse_query
from asfound.errors import Misused
from tests.strategies import any_numbers

KNOWN = {"7", "10", "12", "17", "W3", "tag 5"}


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("17", ("17", None, None, ())),
        (" 17b ", ("17", "B", None, ())),
        ("tag 17 end b", ("17", "B", None, ())),
        ("#17", ("17", None, None, ())),
        ("No. 17", ("17", None, None, ())),
        ("12.2", ("12", None, 2, ())),
        ("w3", ("W3", None, None, ())),
        ("tag 5", ("tag 5", None, None, ())),
        ("99", ("99", None, None, ())),
        ("99b", ("99", "B", None, ())),
        ("black hose heat exchanger", (None, None, None, ("black", "hose", "heat", "exchanger"))),
        ("the ground strap", (None, None, None, ("earth", "strap"))),
        ("17b red wire", ("17", "B", None, ("17b", "red", "wire"))),
        ("10 mm hose", (None, None, None, ("10", "mm", "hose"))),
        ("B6", (None, None, None, ("b6",))),
        ("number plate", (None, None, None, ("number", "plate"))),
    ],
)
def test_typed_text_is_a_number_or_words(typed: str, meant: tuple) -> None:
    query = parse_query(typed, KNOWN)

    assert (query.number, query.end, query.order, query.words) == meant


def test_nothing_typed_is_refused_with_advice() -> None:
    with pytest.raises(Misused, match="type a number such as 17b"):
        parse_query("  ", KNOWN)


@given(any_numbers, st.sets(any_numbers, max_size=5))
def test_a_number_in_use_is_always_read_as_that_number(number: str, others: set[str]) -> None:
    assert parse_query(number, {number, *others}) == Query(number, number, None, None, ())
