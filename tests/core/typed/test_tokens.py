"""A line as words, numbers, amounts, pieces and bags."""

from __future__ import annotations

import pytest

from asfound.core.typed.tokens import read_numbers, split_line
from tests.core.typed.lines import KNOWN


def codes(line: str) -> str:
    return " ".join(one.code for one in read_numbers(split_line(line), KNOWN))


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("took 17 off", "took # off"),
        ("17-19", "R"),
        ("17 - 19", "R"),
        ("17's", "#"),
        ("6.5 l", "Qvol"),
        ("6,5 l oil", "Qvol oil"),
        ("0.3mm", "Qlen"),
        ("45 ft lb", "Qnm"),
        ("90 degrees", "Qang"),
        ("2 + 1 mm", "Qlen"),
        ("4 bolts", "P"),
        ("17 clamp", "# clamp"),
        ("bag 4", "G"),
        ("bag4", "G"),
        ("in B7", "in G"),
        ("bag four", "G"),
        ("B4", "G"),
        ("0.25", "N"),
        ("twenty-two", "#"),
        ("twenty two bolts", "P"),
        ("half a litre", "Qvol"),
        ("two", "two"),
        ("re-fitted hand-tight", "refitted hand tight"),
    ],
)
def test_what_a_word_stands_for(line: str, expected: str):
    assert codes(line) == expected


def test_words_know_where_they_stand():
    line = "took 17, off."

    assert [line[one.start : one.stop] for one in split_line(line)] == ["took", "17", ",", "off", "."]


def test_a_point_of_an_abbreviation_ends_nothing():
    assert [one.text for one in split_line("no. 17 off")] == ["no", "17", "off"]
