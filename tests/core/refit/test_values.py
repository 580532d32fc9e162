"""Values typed from the manual beside what was reached."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest

from asfound.core.refit.amounts import Amount, is_torque, read_amount
from asfound.core.refit.values import ValueStanding, find_values, measured_lines, measured_words
from asfound.model.log import Event, LogLine
from asfound.model.values import ManualValue
from tests.core.log.makers import START, event


def value(what: str = "tightening", wanted: str = "45 Nm", *, limits: str = "", tag_id: int | None = 1) -> ManualValue:
    return ManualValue(1, tag_id, "" if tag_id else "crankshaft", what, wanted, limits, "6-12")


def line(kind: str, hour: int, what: str = "", amount: str = "", *, note: str = "", how: str = "",
         tag_id: int | None = 1, is_struck: bool = False) -> LogLine:  # fmt: skip
    return LogLine(
        event_id=hour, tag_id=tag_id, end="", kind=kind, at=START + timedelta(hours=hour), is_day_only=False, how=how,
        bag="", what=what, amount=amount, container="", looks="", by_whom="deckhand", note=note, strikes=None,
        entered_at=START, is_struck=is_struck,
    )  # fmt: skip


def standing(one: ManualValue, *lines: LogLine, events: tuple[Event, ...] = ()) -> ValueStanding:
    return find_values([one], lines, events)[0]


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("45 Nm", Amount(45, 45, "nm")),
        ("0,08mm", Amount(0.08, 0.08, "mm")),
        ("0.25 to 0.35 mm", Amount(0.25, 0.35, "mm")),
        ("0.25-0.35 mm", Amount(0.25, 0.35, "mm")),
        ("0.25 mm - 0.35 mm", Amount(0.25, 0.35, "mm")),
        ("45 ± 5 Nm", Amount(40, 50, "nm")),
        ("max. 0.1 mm", Amount(0, 0.1, "mm")),
        ("at least 3 mm", Amount(3, math.inf, "mm")),
        ("45 Nm, then 90 degrees", None),
        ("0.08 mm at 12, 0.05 at 6", None),
        ("3 to 1 mm", None),
        ("20 Nm to 3 kgm", None),
        ("tight", None),
    ],
)
def test_amounts_are_read_or_left_alone(text: str, amount: Amount | None) -> None:
    """Forms as manuals print them: common practice, no source."""
    assert read_amount(text) == amount


def test_amounts_of_different_units_are_not_judged() -> None:
    assert Amount(33, 33, "lb-ft").is_outside(Amount(45, 45, "nm")) is None
    assert Amount(0.3, 0.3, "mm").is_outside(Amount(0.1 + 0.2, 0.4, "mm")) is False


@pytest.mark.parametrize("text", ["45 Nm", "45nm", "33 lb-ft", "33 ft lbs", "4.5 kgm", "45 Nm, then 90 degrees"])
def test_tightening_values_are_known_by_their_unit(text: str) -> None:
    """Units of tightening in manuals of both sides of the ocean: from memory."""
    assert is_torque(text)


@pytest.mark.parametrize("text", ["45 mm", "45", "tight", "4 nmx"])
def test_others_are_not(text: str) -> None:
    assert not is_torque(text)


def test_value_is_not_final_until_somebody_says_what_was_reached() -> None:
    one = standing(value())

    assert (one.state, one.is_final) == ("not reached", False)
    assert one.words == "45 Nm, manual page 6-12; not reached yet"
    one = standing(value(), line("torque", 1, "tightening", "45 Nm"))
    assert (one.state, one.is_final) == ("reached", True)
    assert one.words == "45 Nm, manual page 6-12; reached 45 Nm by deckhand, 2025-10-11"


def test_first_stage_and_another_amount_are_not_final() -> None:
    assert standing(value(), line("torque", 1, "tightening", "45 Nm", how="not final")).state == "not final"
    low = standing(value(), line("torque", 1, "tightening", "40 Nm"))
    assert low.state == "differs"
    assert low.words.endswith("which differs from the manual's value")


def test_limits_go_before_the_value_and_what_cannot_be_read_is_not_judged() -> None:
    gap = value("gap", "0.08 mm", limits="0.05 to 0.10 mm")

    assert standing(gap, line("measured", 1, "gap", "0.06 mm")).state == "reached"
    assert standing(gap, line("measured", 1, "gap", "0.12 mm")).state == "differs"
    assert standing(gap, line("measured", 1, "gap", "0.12 mm at 12, 0.05 at 6")).state == "reached"


def test_joint_that_came_off_since_is_not_tight_any_more_and_a_gap_measured_before_stays() -> None:
    off = (event(1, "off", 5),)

    assert standing(value(), line("torque", 1, "tightening", "45 Nm"), events=off).state == "came off since"
    assert standing(value(), line("torque", 9, "tightening", "45 Nm"), events=off).state == "reached"
    assert standing(value("gap", "1 mm"), line("measured", 1, "gap", "1 mm"), events=off).state == "reached"


def test_latest_line_that_stands_counts() -> None:
    early, late = line("torque", 1, "tightening", "40 Nm"), line("torque", 2, "tightening", "45 Nm")

    assert standing(value(), late, early).state == "reached"
    struck = line("torque", 2, "tightening", "45 Nm", is_struck=True)
    assert standing(value(), early, struck).state == "differs"


def test_note_that_begins_with_the_value_counts_and_other_measurements_are_told_apart() -> None:
    gap, lines = value("gap", "0.08 mm"), [line("measured", 1, note="gap 0.08 mm"), line("measured", 2, note="shims 3")]

    assert standing(gap, *lines).reached_words == "0.08 mm"
    (other,) = measured_lines(lines, [gap])[1]
    assert measured_words(other) == "shims 3, by deckhand, 2025-10-11"


def test_thing_without_a_number_goes_by_its_words_and_an_order_is_to_be_followed() -> None:
    crank = value("end float", "0.1 to 0.2 mm", tag_id=None)

    assert standing(crank, line("measured", 1, "crankshaft end float", "0.15 mm", tag_id=None)).is_final
    assert not standing(crank, line("measured", 1, "camshaft end float", "0.15 mm", tag_id=None)).is_final
    assert standing(value("order", "from the middle outwards")).state == "to be followed"
