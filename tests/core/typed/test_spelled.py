"""Numbers and amounts in words."""

from __future__ import annotations

import pytest

from asfound.core.typed.spelled import in_figures, number_at, parted_at
from tests.core.typed.lines import read, sure


@pytest.mark.parametrize(
    ("said", "figures"),
    [
        ("forty five newton metres", "45 newton metres"),
        ("a gallon and a half", "1.5 gallon"),
        ("about a gallon and a half", "about 1.5 gallon"),
        ("six and a half litres", "6.5 litres"),
        ("two and a quarter pints", "2.25 pints"),
        ("zero point three mm", "0.3 mm"),
        ("two point two five litres", "2.25 litres"),
        ("half a litre", "0.5 litre"),
        ("a quarter of a litre", "0.25 litre"),
        ("three quarters of a litre", "0.75 litre"),
        ("a quart", "1 quart"),
        ("6.5 l", "6.5 l"),
        ("all", "all"),
        ("", ""),
    ],
)
def test_amounts_in_words_become_figures(said: str, figures: str):
    assert in_figures(said) == figures


def test_a_number_in_two_words():
    assert number_at(["forty", "one", "off"]) == (2, 41)
    assert number_at(["forty", "off"]) == (0, 0)
    assert number_at(["one", "forty"]) == (0, 0)


def test_how_many_words_a_number_has():
    assert parted_at("six and a half litres".split()) == 4
    assert parted_at("litres".split()) == 0


@pytest.mark.parametrize(
    ("line", "tags"),
    [
        ("forty one off", ("41",)),
        ("forty-one off", ("41",)),
        ("disconnected twenty four and twenty five", ("24", "25")),
        ("took seventeen through nineteen off", ("17", "18", "19")),
    ],
)
def test_numbers_on_tape_in_words(line: str, tags: tuple[str, ...]):
    assert sure(line)[0].tags == tags


@pytest.mark.parametrize(
    ("line", "amount", "what"),
    [
        ("drained six and a half litres of oil", "6.5 litres", "oil"),
        ("drained a gallon and a half of coolant into the bucket", "1.5 gallon", "coolant"),
        ("thirty six torqued to forty five newton metres", "45 newton metres", ""),
        ("B9 seven back", "7", ""),
    ],
)
def test_amounts_in_a_line(line: str, amount: str, what: str):
    (said,) = sure(line)

    assert (said.amount, said.what) == (amount, what)


def test_a_bag_by_a_number_in_words():
    assert sure("20 off, bolts in bag four")[0].bag == "4"
    assert read("twenty two bolts in bag nine").sure is None  # 22 bolts, or those of 22
