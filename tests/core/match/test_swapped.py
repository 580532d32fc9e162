"""Which look-alikes may be on each other's joints."""

from __future__ import annotations

from collections.abc import Hashable

from asfound.core.match.compare import JointScore
from asfound.core.match.swapped import find_swapped

SIZE = (800, 600)


def alike(one: Hashable, other: Hashable) -> bool:
    return "stud" not in (one, other)


def pairs(*joints: JointScore) -> list[tuple[Hashable, Hashable]]:
    return [(swap.first, swap.second) for swap in find_swapped(joints, alike, size_px=SIZE)]


def test_two_alike_that_both_changed_may_be_swapped() -> None:
    assert pairs(JointScore("9", 0.4, 0.5, 0.7), JointScore("10", 0.5, 0.5, 0.2)) == [("9", "10")]


def test_one_changed_joint_alone_is_no_swap() -> None:
    assert pairs(JointScore("9", 0.4, 0.5, 0.9), JointScore("10", 0.5, 0.5, 0.1)) == []


def test_two_faint_changes_are_no_swap() -> None:
    assert pairs(JointScore("9", 0.4, 0.5, 0.2), JointScore("10", 0.5, 0.5, 0.2)) == []


def test_things_that_are_not_alike_or_far_apart_are_not_asked_about() -> None:
    assert pairs(JointScore("9", 0.4, 0.5, 0.9), JointScore("stud", 0.5, 0.5, 0.9)) == []
    assert pairs(JointScore("9", 0.1, 0.1, 0.9), JointScore("10", 0.9, 0.9, 0.9)) == []


def test_the_likeliest_pair_comes_first() -> None:
    joints = [JointScore("9", 0.4, 0.5, 0.9), JointScore("10", 0.5, 0.5, 0.2), JointScore("11", 0.45, 0.5, 0.8)]
    assert pairs(*joints)[0] == ("9", "11")
