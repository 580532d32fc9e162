"""Numbers that count something are no numbers of tags."""

from __future__ import annotations

import pytest

from asfound.core.find.counted import find_counted


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("injector 3", ("injector", "3", 3, "")),
        ("Mounts no. 2 rubber", ("mount", "2", 2, "rubber")),
        ("rear mount #4", ("mount", "4", 4, "rear")),
        ("3rd injector pipe", ("injector", "3", 3, "pipe")),
        ("terminal 50", ("terminal", "50", None, "")),
        ("starter terminal 30a", ("terminal", "30a", None, "starter")),
        ("bag 7", ("bag", "7", None, "")),
    ],
)
def test_number_goes_with_the_word_before_it(typed: str, meant: tuple) -> None:
    """How parts in a row are counted: common practice, no source."""
    counted = find_counted(typed)

    assert counted is not None
    assert (counted.word, counted.mark, counted.place, counted.rest) == meant


@pytest.mark.parametrize(
    "typed", ["17", "17b", "tag 3", "hose 17", "17 red wire", "10 mm hose", "mount", "12.2", "B7", ""]
)
def test_other_numbers_count_nothing(typed: str) -> None:
    """Common practice, no source."""
    assert find_counted(typed) is None
