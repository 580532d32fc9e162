"""Which ends a number can stand for, as far as the places tell it."""

from __future__ import annotations

import pytest

from asfound.core.read.ends import possible_ends


@pytest.mark.parametrize(
    ("ends", "pinned", "place", "expected"),
    [
        (2, {4: ["B"]}, 4, ("B",)),
        (2, {4: ["A", "B"]}, 4, ()),
        (1, {}, 9, ("A",)),
        (1, {4: ["A"]}, 9, ("A",)),
        (2, {}, 9, ("A", "B")),
        (2, {4: ["A"]}, 9, ("B", "A")),
        (2, {4: ["B"]}, 9, ("A", "B")),
        (2, {4: ["A"], 9: ["B"]}, 9, ("B",)),
        (2, {1: ["A"], 2: ["B"]}, 3, ()),
        (2, {1: ["A", "B"]}, 3, ()),
    ],
)
def test_pins_tell_which_end_hangs_at_a_place(ends, pinned, place, expected):
    assert possible_ends(ends, pinned, place) == expected
