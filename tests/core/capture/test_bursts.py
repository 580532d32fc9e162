"""Bursts: which pictures are the same shot again, and what a person's word does to the next question."""

from __future__ import annotations

from asfound.core.capture.bursts import WITHIN_BITS, WITHIN_S, BurstShot, find_bursts


def shot(picture_id: int, at_s: float, bits: int = 0, sharp: float = 1.0, camera_id: int = 1) -> BurstShot:
    return BurstShot(picture_id, camera_id, at_s, (1 << bits) - 1, sharp)


def test_the_sharpest_comes_first_and_then_the_others_in_time() -> None:
    shots = [shot(3, 4, sharp=2), shot(1, 0), shot(2, 2, sharp=5)]
    assert find_bursts(shots, {}) == [(2, 1, 3)]


def test_a_run_goes_on_while_each_is_soon_after_the_one_before() -> None:
    shots = [shot(n, n * WITHIN_S) for n in range(1, 5)]
    assert find_bursts(shots, {}) == [(1, 2, 3, 4)]
    assert find_bursts([shot(1, 0), shot(2, WITHIN_S + 0.1)], {}) == []


def test_other_pictures_and_other_cameras_are_no_burst() -> None:
    assert find_bursts([shot(1, 0), shot(2, 1, bits=WITHIN_BITS)], {}) == [(1, 2)]
    assert find_bursts([shot(1, 0), shot(2, 1, bits=WITHIN_BITS + 1)], {}) == []
    assert find_bursts([shot(1, 0), shot(2, 1, camera_id=2)], {}) == []


def test_two_bursts_in_one_run_are_two() -> None:
    shots = [shot(1, 0), shot(2, 1, bits=40), shot(3, 2), shot(4, 3, bits=41)]
    assert find_bursts(shots, {}) == [(1, 3), (2, 4)]


def test_what_was_answered_is_not_asked_again() -> None:
    shots = [shot(1, 0, sharp=3), shot(2, 1), shot(3, 2)]
    assert find_bursts(shots, {1: 1, 2: 1, 3: 1}) == []
    assert find_bursts(shots, {1: 1, 2: 2, 3: 3}) == []


def test_a_new_picture_is_asked_about_with_the_one_in_front_alone() -> None:
    shots = [shot(1, 0, sharp=3), shot(2, 1), shot(3, 2), shot(4, 3, sharp=9)]
    assert find_bursts(shots, {1: 1, 2: 1, 3: 1}) == [(4, 1)]
    assert find_bursts(shots, {1: 1, 2: 2, 3: 3}) == [(4, 1)]  # those left apart stay apart
