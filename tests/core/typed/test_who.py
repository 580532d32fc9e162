"""Who did it, in every form; no word of the work is taken for a name."""

from __future__ import annotations

import pytest

from asfound.core.typed.tokens import split_line
from asfound.core.typed.who import take_lead, take_who


@pytest.mark.parametrize(
    ("line", "who", "left"),
    [
        ("17 off by MK", "MK", "17 off"),
        ("17 off by the yard engineer", "yard engineer", "17 off"),
        ("17 off, MK", "MK", "17 off"),
        ("17 off (Jo)", "Jo", "17 off"),
        ("MK 17 off", "MK", "17 off"),
        ("Jan took 17 off", "Jan", "took 17 off"),
        ("Kees has taken 17 off", "Kees", "taken 17 off"),
        ("my brother took 22 off", "brother", "took 22 off"),
        ("the yard took 20 off", "yard", "took 20 off"),
        ("17 on by hand", "", "17 on by hand"),
        ("17 off by mistake", "", "17 off by mistake"),
        ("LH 17 off", "", "LH 17 off"),
        ("Took 17 off", "", "Took 17 off"),
        ("the hose took 17 off", "", "the hose took 17 off"),
    ],
)
def test_who_is_taken_out_of_a_line(line: str, who: str, left: str):
    found, tokens = take_who(split_line(line))

    assert (found, " ".join(one.text for one in tokens)) == (who, left)


@pytest.mark.parametrize(
    ("line", "who"),
    [
        ("mk: 17 off", "mk"),
        ("Piet Bakker: 17 off", "Piet Bakker"),
        ("plan: 17 off", ""),
        ("not true: 17 off", ""),
        ("wrong: 17 off", ""),
        ("next: 17 off", ""),
        ("monday: 17 off", ""),
        ("snag: 17 loose", ""),
    ],
)
def test_a_name_before_a_colon(line: str, who: str):
    assert take_lead(split_line(line))[0] == who
