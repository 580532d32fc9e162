"""Standings out of the log, and rules for what is fitted after what."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.order import Standing, find_loops, find_standings, find_tight_too_soon
from tests.core.log.makers import event

rules = st.lists(st.tuples(st.integers(1, 7), st.integers(1, 7)), max_size=14)


def test_latest_event_counts_whatever_the_order_given() -> None:
    log = [event(1, "refitted", 5, how="by hand"), event(1, "off", 1), event(1, "refitted", 6, how="tight")]

    assert find_standings(log)[1] == find_standings(log[::-1])[1] == Standing(came_off=True, how="tight")


def test_off_again_forgets_how_it_was_refitted() -> None:
    log = [event(1, "off", 1), event(1, "refitted", 2, how="tight"), event(1, "off", 3)]

    standing = find_standings(log)[1]

    assert standing == Standing(came_off=True, is_off=True)
    assert not standing.is_tight
    assert not standing.is_refitted


def test_refitted_without_a_word_keeps_the_word_before() -> None:
    log = [event(1, "off", 1), event(1, "refitted", 2, how="tight"), event(1, "refitted", 3)]

    assert find_standings(log)[1].how == "tight"


@pytest.mark.parametrize(
    ("fit_after", "loops"),
    [
        ([], []),
        ([(1, 2), (2, 3)], []),
        ([(26, 27), (27, 26)], [(26, 27)]),
        ([(1, 1)], [(1,)]),
        ([(1, 2), (2, 3), (3, 1), (3, 4)], [(1, 2, 3)]),
        ([(1, 2), (2, 1), (2, 3), (3, 2)], [(1, 2)]),
        ([(5, 6), (6, 5), (1, 2), (2, 1), (2, 5)], [(1, 2), (5, 6)]),
    ],
)
def test_loops_are_named_once(fit_after: list[tuple[int, int]], loops: list[tuple[int, ...]]) -> None:
    assert find_loops(fit_after) == loops


@given(rules)
def test_every_loop_is_made_of_rules(fit_after: list[tuple[int, int]]) -> None:
    for loop in find_loops(fit_after):
        assert {*zip(loop, [*loop[1:], loop[0]], strict=True)} <= set(fit_after)


@given(rules)
def test_rules_without_a_loop_can_be_put_in_order(fit_after: list[tuple[int, int]]) -> None:
    """Taking away what waits for nothing, again and again, uses all rules up exactly when no loop is named."""
    left = set(fit_after)
    while free := {rule for rule in left if rule[1] not in {later for later, _ in left}}:
        left -= free

    assert bool(left) == bool(find_loops(fit_after))


@pytest.mark.parametrize(
    ("earlier", "is_broken"),
    [
        (Standing(came_off=True, is_off=True), True),
        (Standing(came_off=True, how="by hand"), True),
        (Standing(came_off=True, how="tight"), False),
        (Standing(came_off=True, how="checked"), False),
        (Standing(came_off=True), False),
        (Standing(), False),
    ],
)
def test_tight_too_soon_needs_a_loose_thing_before(earlier: Standing, is_broken: bool) -> None:
    standings = {2: Standing(came_off=True, how="marked"), 1: earlier}

    assert find_tight_too_soon([(2, 1)], standings) == ([(2, 1)] if is_broken else [])


def test_by_hand_is_not_too_soon() -> None:
    standings = {2: Standing(came_off=True, how="by hand"), 1: Standing(came_off=True, is_off=True)}

    assert find_tight_too_soon([(2, 1)], standings) == []
