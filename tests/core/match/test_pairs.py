"""Before and after."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match.likeness import Likeness, no_likeness
from asfound.core.match.pairs import ProposedPair, SpotPicture, propose_pairs

DAY = 86400.0


def propose(days: list[float], **words: object) -> list[ProposedPair]:
    members = [SpotPicture(k, day * DAY) for k, day in enumerate(days)]
    return propose_pairs(members, {}, load_gray=lambda _: np.zeros((2, 2), np.uint8), **words)  # type: ignore[arg-type]


def kinds(proposals: list[ProposedPair]) -> set[tuple[int, int, str]]:
    return {(p.before_id, p.after_id, p.kind) for p in proposals}


def test_what_rests_apart_was_taken_apart_before_the_rest() -> None:
    """As found, tagged, off, five months, back: the tape flags are no removal."""
    said = kinds(propose([0, 1.4, 3.4, 150]))

    assert said == {(0, 2, "removed"), (1, 2, "removed"), (2, 3, "refitted"), (0, 3, "changed")}


def test_one_stint_has_no_pairs() -> None:
    assert propose([0, 0.01, 0.02]) == []


def test_the_log_decides_where_it_speaks() -> None:
    said = kinds(propose([0, 1, 2, 3], off_times_s=[0.5 * DAY], refit_times_s=[2.5 * DAY]))

    assert (0, 1, "removed") in said
    assert (2, 3, "refitted") in said


def test_a_refused_pair_is_not_proposed_again() -> None:
    assert (0, 2, "removed") not in kinds(propose([0, 1.4, 3.4, 150], not_pairs=[(2, 0)]))


def test_before_is_the_earlier_picture_whatever_the_order_given() -> None:
    for pair in propose([150, 3.4, 0]):
        assert pair.before_id > pair.after_id


def test_undated_pictures_take_no_part() -> None:
    said = propose_pairs(
        [SpotPicture(0, None), SpotPicture(1, 0.0)], {}, load_gray=lambda _: np.zeros((2, 2), np.uint8)
    )

    assert said == []


@pytest.mark.parametrize("order", [(0, 2), (2, 0)])
def test_the_pictures_most_alike_stand_for_their_stints(order: tuple[int, int]) -> None:
    alike = no_likeness("too few")
    alike = Likeness(**{**alike.__dict__, "agreeing": 90})
    members = [SpotPicture(0, 0.0), SpotPicture(1, 60.0), SpotPicture(2, 3 * DAY)]

    said = propose_pairs(members, {order: alike}, load_gray=lambda _: np.zeros((2, 2), np.uint8))

    assert kinds(said) == {(0, 2, "removed")}
