"""Which two pictures of a spot are looked at, without any screen."""

from __future__ import annotations

import pytest

from asfound.model.pictures import Pair
from asfound.tui.pairs_in_turn import PairsInTurn

PICTURES = (1, 2, 3, 4)
FIRST, SECOND = Pair(7, 1, 3, "removed", 0.9), Pair(7, 3, 4, "refitted", 0.8)


@pytest.fixture
def turn() -> PairsInTurn:
    made = PairsInTurn(7)
    made.renew([FIRST, SECOND])
    return made


def both(turn: PairsInTurn) -> tuple[int, int]:
    assert turn.pair is not None
    return turn.pair.before_id, turn.pair.after_id


def test_pairs_are_gone_through_to_both_ends(turn: PairsInTurn) -> None:
    turn.begin(None, PICTURES)
    assert turn.pair == FIRST
    assert not turn.step(-1)
    assert turn.step(1)
    assert turn.pair == SECOND
    assert not turn.step(1)
    assert turn.pair == SECOND


def test_two_that_are_asked_for_are_a_pair_or_tried(turn: PairsInTurn) -> None:
    turn.begin((3, 4), PICTURES)
    assert (turn.pair, turn.tried) == (SECOND, None)
    turn.begin((1, 4), PICTURES)
    assert turn.tried == turn.pair == Pair(7, 1, 4, "changed", 0.0)
    assert turn.step(1), "from two that are none it goes back to the pair that was left"
    assert turn.pair == SECOND


def test_without_pairs_the_first_and_the_last_picture_are_tried() -> None:
    turn = PairsInTurn(7)
    turn.begin(None, PICTURES)
    assert both(turn) == (1, 4)
    assert not turn.step(1)

    alone = PairsInTurn(7)
    alone.begin(None, (1,))
    assert alone.pair is None
    assert alone.exchange(1, (1,), after_in_front=True) is None


def test_the_picture_in_front_is_exchanged_and_the_earlier_stays_before(turn: PairsInTurn) -> None:
    assert turn.exchange(1, PICTURES, after_in_front=True) is True
    assert both(turn) == (1, 4)
    assert turn.exchange(1, PICTURES, after_in_front=True) is None
    assert both(turn) == (1, 4)
    assert turn.exchange(1, PICTURES, after_in_front=False) is False
    assert both(turn) == (2, 4)
    assert turn.exchange(1, PICTURES, after_in_front=False) is False
    assert (turn.pair, turn.tried) == (SECOND, None)


def test_a_picture_that_goes_past_the_other_becomes_the_later_one() -> None:
    turn = PairsInTurn(7)
    turn.take(2, 3)
    assert turn.exchange(1, PICTURES, after_in_front=False) is True
    assert both(turn) == (3, 4)


def test_the_place_stays_while_there_is_one(turn: PairsInTurn) -> None:
    turn.step(1)
    turn.renew([FIRST])
    assert turn.pair == FIRST
    turn.renew([])
    assert turn.pair is None
