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


MINUTE = 60.0


def alike(agreeing: int) -> Likeness:
    return Likeness(**{**no_likeness("too few").__dict__, "agreeing": agreeing})


def in_a_day(minutes: list[float], agreeing: int = 90, **words: object) -> set[tuple[int, int, str]]:
    """Pairs of pictures taken so many minutes into the day, each two of which agree on so much."""
    members = [SpotPicture(k, minute * MINUTE) for k, minute in enumerate(minutes)]
    shared = {(a, b): alike(agreeing) for a in range(len(minutes)) for b in range(a)}
    return kinds(propose_pairs(members, shared, load_gray=lambda _: np.zeros((2, 2), np.uint8), **words))  # type: ignore[arg-type]


def test_states_of_one_day_are_cut_where_the_person_was_at_work() -> None:
    """09:17 whole, 09:40, 10:30 and 12:06 with more and more off, two pictures each within a minute."""
    said = in_a_day([0, 0.5, 23, 23.4, 73, 73.9, 169, 169.5])

    assert said == {(0, 2, "changed"), (2, 4, "changed"), (4, 6, "changed")}


def test_the_log_says_what_happened_within_a_day() -> None:
    said = in_a_day([0, 4, 8], off_times_s=[2 * MINUTE], refit_times_s=[6 * MINUTE])

    assert said == {(0, 1, "removed"), (1, 2, "refitted")}


def test_pictures_taken_one_after_the_other_are_no_pair() -> None:
    assert in_a_day([0, 1, 3, 8]) == set()


def test_pause_between_pictures_that_share_little_is_no_pair() -> None:
    assert in_a_day([0, 30], agreeing=12) == set()


def test_pictures_that_show_one_state_after_a_pause_are_no_pair() -> None:
    """So much of them agrees that nothing can have come off."""
    assert in_a_day([0, 30], agreeing=2000) == set()
