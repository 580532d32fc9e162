"""What words behind a verb make of it."""

from __future__ import annotations

import pytest

from asfound.core.typed.behind import goes_with, is_part, means_more, meant_by_plugged, refuse_limit, without_with
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import read_numbers, split_line
from tests.core.typed.lines import KNOWN


@pytest.mark.parametrize(
    "rest", ["to the shop", "its clip", "limits", "centre", "by 2 mm", "at the yard shop", "and on"]
)
def test_off_with_more_behind_it_is_not_taken_off(rest: str):
    assert means_more(read_numbers(split_line(rest), KNOWN))


@pytest.mark.parametrize("rest", ["stiff", "at the pump", "3 bolts 10mm", "rubbed through"])
def test_off_with_a_remark_behind_it(rest: str):
    assert not means_more(read_numbers(split_line(rest), KNOWN))


def test_a_part_of_a_thing():
    assert is_part(split_line("clamp"))
    assert not is_part(split_line("very stiff today"))


def test_what_goes_with_on():
    assert not goes_with("", split_line("bench"), is_bare_on=False)
    assert goes_with("", split_line("with new clamp"), is_bare_on=True)
    assert goes_with("marked", split_line("with yellow paint"), is_bare_on=False)


def test_a_line_is_closed_by_a_plug_and_a_wire_is_not():
    assert meant_by_plugged(["17b"], [], KNOWN) == "capped"
    assert meant_by_plugged(["52"], split_line("with a cork"), KNOWN) == "capped"
    with pytest.raises(Unread, match="plugged in"):
        meant_by_plugged(["52"], [], KNOWN)


def test_a_value_from_the_manual_is_not_a_measured_one():
    refuse_limit(split_line("40 gap"))
    with pytest.raises(Unread, match="manual"):
        refuse_limit(split_line("40 gap max"))


def test_words_that_lead_to_a_stopper_are_left_out():
    assert without_with("with a cork") == "cork"
    assert without_with("both ends") == "both ends"
