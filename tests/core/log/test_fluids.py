"""Fluids drained and filled again."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.core.log.fluids import find_fluid_notes, find_fluids, read_litres
from asfound.model.log import LogLine
from tests.core.log.makers import START


def line(kind: str, what: str, hour: int, amount: str = "", **words: str) -> LogLine:
    said = {name: "" for name in ("end", "how", "bag", "container", "looks", "by_whom", "note")} | words
    return LogLine(
        event_id=hour, tag_id=None, kind=kind, at=START + timedelta(hours=hour), is_day_only=False, what=what,
        amount=amount, strikes=None, entered_at=START, **said,
    )  # fmt: skip


def why(*lines: LogLine) -> list[str]:
    return [note.why for note in find_fluid_notes(find_fluids(lines))]


OIL_OUT = line("drained", "engine oil", 1, "7.5 l", container="C2", looks="black")


def test_what_was_drained_and_not_filled_is_open_with_what_came_out() -> None:
    (open_line,) = find_fluid_notes(find_fluids([OIL_OUT]))

    assert open_line.is_sure
    assert open_line.why.startswith("engine oil was drained (7.5 l into C2, black) and not filled: ")
    assert "service manual" in open_line.why


def test_filling_closes_it_by_its_name_in_any_case_and_asks_for_a_look_at_leaks() -> None:
    found = why(OIL_OUT, line("filled", "Engine  Oil", 2, "7.5 l", grade="15W-40"))

    assert found == ["engine oil is filled (7.5 l, 15W-40), and nobody wrote down that leaks were looked at: look."]
    assert why(OIL_OUT, line("filled", "engine oil", 2, "7.5 l"), line("leaks looked at", "engine oil", 3)) == []


def test_other_fluid_of_a_like_name_does_not_close_it() -> None:
    assert why(OIL_OUT, line("filled", "gear oil", 2, "1.8 l"))[0].startswith("engine oil was drained")
    assert why(OIL_OUT, line("filled", "oil", 2, "7.5 l"))[0].startswith("engine oil was drained")


def test_less_than_came_out_or_no_amount_asks_for_a_look_at_the_level() -> None:
    looked = line("leaks looked at", "engine oil", 3)

    assert why(OIL_OUT, line("filled", "engine oil", 2, "6,5 l"), looked) == [
        "engine oil: came out: 7.5 l into C2, black; went in: 6,5 l: look at the level as the service manual says."
    ]
    assert "nobody wrote how much" in why(OIL_OUT, line("filled", "engine oil", 2), looked)[0]
    two = [line("filled", "engine oil", 2, "7 l"), line("filled", "engine oil", 2, "500 ml")]
    assert why(OIL_OUT, *two, looked) == []


def test_drained_again_is_open_again_and_left_out_is_not() -> None:
    filled = line("filled", "coolant", 2, "14 l")
    again = [line("drained", "coolant", 1, "14 l"), filled, line("drained", "coolant", 4, "13 l")]

    assert why(*again)[0].startswith("coolant was drained (13 l) and not filled")
    assert why(*again, line("left out", "coolant", 5, note="goes to the new owner dry")) == []
    (fluid,) = find_fluids(again)
    assert (fluid.out_words, fluid.filled) == ("13 l", [])


def test_bleeding_is_asked_for_where_it_is_usual_and_again_after_filling_again() -> None:
    bled = [line("drained", "diesel", 1), line("filled", "diesel", 2, "3 l"), line("bled", "diesel", 3)]

    assert why(*bled)[-1].endswith("nobody wrote down that leaks were looked at: look.")
    assert "it was bled or that leaks" in why(*bled, line("filled", "diesel", 4, "1 l"))[-1]


@pytest.mark.parametrize(
    ("amount", "litres"),
    [("7.5 l", 7.5), ("7,5 Litres", 7.5), ("500ml", 0.5), ("about 9 l", 9.0), ("2 qt", None), ("", None), ("l", None)],
)
def test_amounts_are_read_in_litres_or_not_at_all(amount: str, litres: float | None) -> None:
    assert read_litres(amount) == litres
