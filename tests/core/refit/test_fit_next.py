"""What is free to fit now, and what is fitted but not tight."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.order import Standing, find_tight_too_soon
from asfound.core.refit.fit_next import NotTight, Waiting, find_not_tight, find_waiting, fit_next
from asfound.core.refit.reverse import draft_order
from asfound.core.refit.steps import HoldPoint, Rule
from asfound.core.refit.waits_for import collect_rules, plan_refit
from tests.scenario import load_sallow

OFF = Standing(came_off=True, is_off=True)
BY_HAND = Standing(came_off=True, how="by hand")
TIGHT = Standing(came_off=True, how="tight")


def test_free_to_fit_is_what_waits_for_nothing_that_is_off() -> None:
    order = plan_refit((1, 2, 3, 4), [Rule(3, 1), Rule(4, 2)])

    assert fit_next(order, {1: BY_HAND, 2: OFF, 3: OFF, 4: OFF}) == (Waiting(2), Waiting(3, loose=(1,)))
    assert find_waiting(order, {2: OFF, 4: OFF})[1] == Waiting(4, missing=(2,))


def test_what_never_came_off_is_in() -> None:
    order = plan_refit((1, 2), [Rule(2, 1)])

    assert fit_next(order, {2: OFF}) == (Waiting(2),)
    assert fit_next(order, {}) == ()


def test_nothing_goes_past_a_hold_that_was_not_passed() -> None:
    draft = (1, HoldPoint.LIFT_IN, 2, HoldPoint.FIRST_START)
    order = plan_refit(draft, collect_rules(draft, []))

    assert [waiting.step for waiting in fit_next(order, {1: OFF, 2: OFF})] == [1]
    assert [waiting.step for waiting in fit_next(order, {1: TIGHT, 2: OFF})] == [HoldPoint.LIFT_IN]
    assert [waiting.step for waiting in fit_next(order, {1: TIGHT, 2: OFF}, [HoldPoint.LIFT_IN])] == [2]


def test_not_tight_tells_by_hand_from_not_said() -> None:
    standings = {1: OFF, 2: BY_HAND, 3: TIGHT, 4: Standing(came_off=True)}

    assert find_not_tight([5, 4, 3, 2, 1], standings) == (
        NotTight(4, "not said"),
        NotTight(2, "by hand"),
        NotTight(1, "not fitted"),
    )


@given(
    st.lists(st.tuples(st.integers(1, 8), st.integers(1, 8)), max_size=12),
    st.dictionaries(st.integers(1, 8), st.sampled_from([OFF, BY_HAND, TIGHT])),
)
def test_something_is_free_as_long_as_anything_is_off(
    fit_after: list[tuple[int, int]], standings: dict[int, Standing]
) -> None:
    """Loops never leave the person without a next thing to fit."""
    draft = tuple(range(1, 9))
    order = plan_refit(draft, collect_rules(draft, fit_after))

    off = {tag_id for tag_id in draft if standings.get(tag_id) == OFF}

    assert bool(fit_next(order, standings)) == bool(off)
    assert {waiting.step for waiting in find_waiting(order, standings)} == off


def test_sallow_on_the_evening_of_2026_04_26() -> None:
    record = load_sallow()
    ids = [tag.tag_id for tag in record.in_order]
    draft = draft_order(ids, record.events)
    order = plan_refit(draft, collect_rules(draft, record.fit_after, earth_leads=[1]))

    def number(step: object) -> str:
        return record.by_id[step].number if isinstance(step, int) and step in record.by_id else str(step)

    states: dict[str, list[str]] = {}
    for not_tight in find_not_tight(ids, record.standings):
        states.setdefault(not_tight.state, []).append(number(not_tight.tag_id))
    assert states == {"by hand": ["18", "26"], "not fitted": ["1", "29", "41"]}
    too_soon = find_tight_too_soon(record.fit_after, record.standings)
    assert [tuple(map(number, pair)) for pair in too_soon] == [("19", "18"), ("27", "26")]
    assert [number(waiting.step) for waiting in fit_next(order, record.standings)] == ["before lift in"]
    passed = [HoldPoint.LIFT_IN]
    assert [number(waiting.step) for waiting in fit_next(order, record.standings, passed)] == ["41", "29"]
    earth = next(waiting for waiting in find_waiting(order, record.standings, passed) if waiting.step == 1)
    assert [*map(number, earth.missing)] == ["41", "29"]
    assert sorted(map(number, earth.loose)) == ["18", "26"]
