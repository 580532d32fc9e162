"""Numbers chosen for printing, in their natural order."""

from __future__ import annotations

import pytest

from asfound.core.sheets.choose import choose_numbers
from asfound.errors import NotFound

IN_USE = {"1", "2", "9", "10", "12", "12x", "20", "20x", "21", "W1", "W2", "A-3"}


@pytest.mark.parametrize(
    ("words", "chosen"),
    [
        ("9-12", {"9", "10", "12", "12x"}),
        ("1 - 2, 21", {"1", "2", "21"}),
        ("18-20", {"20", "20x"}),
        ("W1-W9", {"W1", "W2"}),
        ("A-3", {"A-3"}),
        ("2;2 1", {"1", "2"}),
    ],
)
def test_numbers_and_spans(words: str, chosen: set[str]) -> None:
    assert choose_numbers(words, IN_USE) == chosen


@pytest.mark.parametrize("words", ["34", "1,34", "30-40", "20-10"])
def test_a_part_that_names_nothing_is_refused(words: str) -> None:
    with pytest.raises(NotFound, match="No tag is numbered"):
        choose_numbers(words, IN_USE)
