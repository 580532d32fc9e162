"""The order of refitting: rules hold, the draft is kept where they allow, loops are named and never refused."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.core.refit.belts import belt_pairs
from asfound.core.refit.earth_leads import find_earth_leads
from asfound.core.refit.reverse import apply_moves, draft_order
from asfound.core.refit.steps import HoldPoint, Move, OwnStep, Rule, Step
from asfound.core.refit.waits_for import RefitOrder, collect_rules, plan_refit
from asfound.model.tags import Belt
from tests.scenario import load_sallow

pairs = st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), max_size=12)
moves = st.lists(
    st.builds(Move, st.integers(1, 9), st.sampled_from(["before", "after"]), st.integers(1, 9)).filter(
        lambda move: move.step != move.other
    ),
    max_size=3,
)


@st.composite
def drafts(draw: st.DrawFn) -> tuple[Step, ...]:
    """Up to nine tags in any order, the lift in somewhere among them or not at all, the first start last."""
    steps: list[Step] = [*draw(st.permutations(range(1, draw(st.integers(1, 9)) + 1)))]
    if draw(st.booleans()):
        steps.insert(draw(st.integers(0, len(steps))), HoldPoint.LIFT_IN)
    return (*steps, HoldPoint.FIRST_START)


def position(order: RefitOrder, step: Step) -> int:
    return order.steps.index(step)


@settings(max_examples=300, deadline=None)
@given(drafts(), pairs, pairs, st.sets(st.integers(1, 9), max_size=2), moves)
def test_order_respects_every_rule_it_keeps_and_names_every_tag_once(
    draft: tuple[Step, ...],
    fit_after: list[tuple[int, int]],
    fit_before: list[tuple[int, int]],
    earth_leads: set[int],
    moved: list[Move],
) -> None:
    rules = collect_rules(draft, fit_after, fit_before, earth_leads=earth_leads)

    order = plan_refit(draft, rules, moved)

    assert sorted(order.steps, key=str) == sorted(draft, key=str)
    assert all(position(order, rule.earlier) < position(order, rule.later) for rule in order.rules)
    known = {rule for rule in rules if {rule.later, rule.earlier} <= set(draft)}
    assert known <= {*order.rules, *order.set_aside}
    assert plan_refit(draft, rules, moved) == order


@given(drafts(), pairs)
def test_rules_without_a_loop_are_all_followed(draft: tuple[Step, ...], fit_after: list[tuple[int, int]]) -> None:
    """Rules that point one way through the numbers cannot loop, whatever the draft."""
    rules = [Rule(max(pair), min(pair)) for pair in fit_after if pair[0] != pair[1]]

    order = plan_refit(draft, rules)

    assert (order.set_aside, order.loops) == ((), ())
    assert all(
        position(order, later) > position(order, earlier)
        for later, earlier in ((rule.later, rule.earlier) for rule in rules)
        if {later, earlier} <= set(draft)
    )


@given(drafts(), pairs)
def test_draft_that_breaks_no_rule_stays_as_it_is(draft: tuple[Step, ...], fit_after: list[tuple[int, int]]) -> None:
    ranks = {step: rank for rank, step in enumerate(draft)}
    agreeing = [(a, b) for a, b in fit_after if a in ranks and b in ranks and ranks[a] > ranks[b]]

    assert plan_refit(draft, collect_rules(draft, agreeing)).steps == draft


def test_what_must_wait_slips_back_to_where_it_is_free() -> None:
    assert plan_refit((1, 2, 3, 4), [Rule(1, 3)]).steps == (2, 3, 1, 4)


def test_loop_is_named_and_the_draft_kept_inside_it() -> None:
    order = plan_refit((27, 26, 5), [Rule(26, 27), Rule(27, 26), Rule(5, 27)])

    assert order.steps == (27, 26, 5)
    assert order.loops == ((26, 27),)
    assert order.set_aside == (Rule(27, 26),)
    assert order.warnings(str) == ("26 and 27 wait for each other: take one rule away.",)


def test_thing_that_waits_for_itself_is_a_loop_of_one() -> None:
    order = plan_refit((1, 2), [Rule(1, 1)])

    assert (order.steps, order.loops) == ((1, 2), ((1,),))


def test_earth_lead_goes_last_whatever_came_off_first() -> None:
    draft = (1, 2, 3, HoldPoint.FIRST_START)

    assert plan_refit(draft, collect_rules(draft, [], earth_leads=[1])).steps == (2, 3, 1, HoldPoint.FIRST_START)


def test_person_may_put_something_after_the_earth_lead() -> None:
    draft = (1, 2, 3, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, [(3, 1)], earth_leads=[1]))

    assert order.steps == (2, 1, 3, HoldPoint.FIRST_START)
    assert order.warnings(str) == ()


def test_hold_point_divides_the_draft() -> None:
    draft = (1, HoldPoint.LIFT_IN, 2, 3, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, []))

    assert order.steps == draft
    assert order.earlier_steps(3) == (HoldPoint.LIFT_IN,)
    assert order.earlier_steps(HoldPoint.FIRST_START) == (1, HoldPoint.LIFT_IN, 2, 3)


def test_persons_move_goes_before_every_rule_and_is_told() -> None:
    order = plan_refit((1, 2, 3), [Rule(2, 1)], [Move(2, "before", 1)])

    assert order.steps == (2, 1, 3)
    assert order.warnings(str) == ("2 should wait for 1, but another rule puts it first: say which counts.",)


def test_move_across_a_hold_point_is_respected() -> None:
    draft = (1, HoldPoint.LIFT_IN, 2, 3, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, []), [Move(3, "before", HoldPoint.LIFT_IN)])

    assert order.steps == (1, 3, HoldPoint.LIFT_IN, 2, HoldPoint.FIRST_START)


def test_last_move_of_a_step_counts() -> None:
    order = plan_refit((1, 2, 3), [], [Move(3, "before", 1), Move(3, "after", 1)])

    assert order.steps == (1, 3, 2)


def test_move_beside_something_unknown_takes_no_earlier_move_back() -> None:
    moves = [Move(3, "before", 1), Move(3, "after", 99), Move(3, "after", 3)]

    assert plan_refit((1, 2, 3), [], moves).steps == (3, 1, 2)


@given(drafts(), moves)
def test_last_move_always_holds(draft: tuple[Step, ...], moved: list[Move]) -> None:
    known = [move for move in moved if {move.step, move.other} <= set(draft)]

    order = plan_refit(draft, collect_rules(draft, [(a, b) for a in range(1, 4) for b in range(4, 7)]), moved)

    if known:
        rule = known[-1].rule
        assert position(order, rule.earlier) < position(order, rule.later)


def test_rules_about_tags_that_are_gone_are_left_out() -> None:
    order = plan_refit((1, 2), [Rule(1, 99), Rule(99, 2)])

    assert (order.steps, order.rules, order.set_aside) == ((1, 2), (), ())


def test_what_came_off_in_the_machine_is_not_dragged_before_the_lift_by_a_thing_from_the_bench() -> None:
    """7 is from the bench and waits for 2: it goes on after the lift, and that is told."""
    draft = (7, HoldPoint.LIFT_IN, 2, 3, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, [(7, 2)]))

    assert order.steps == (HoldPoint.LIFT_IN, 2, 7, 3, HoldPoint.FIRST_START)
    assert order.warnings(str) == (
        "7 came off on the bench, but it waits for 2 and goes on after the lift in: say if that is not so.",
    )


def test_earth_lead_that_something_from_the_bench_waits_for_drags_nothing_before_the_lift() -> None:
    draft = (7, HoldPoint.LIFT_IN, 2, 1, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, [(7, 1)], earth_leads=[1]))

    assert order.steps == (HoldPoint.LIFT_IN, 2, 1, 7, HoldPoint.FIRST_START)


def test_move_that_takes_others_before_the_lift_is_told() -> None:
    draft = (7, HoldPoint.LIFT_IN, 2, 3, HoldPoint.FIRST_START)
    moves = [Move(3, "before", HoldPoint.LIFT_IN)]

    order = plan_refit(draft, collect_rules(apply_moves(draft, moves), [(3, 2)]), moves)

    assert order.steps == (7, 2, 3, HoldPoint.LIFT_IN, HoldPoint.FIRST_START)
    assert order.warnings(str) == (
        '2 goes on before the hold "before lift in", because a rule or a move puts it there: correct it if wrong.',
    )


def test_hold_that_holds_nothing_stands_in_the_order_and_nothing_waits_for_it() -> None:
    draft = (HoldPoint.LIFT_IN, 2, 3, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, [], not_holding=[HoldPoint.LIFT_IN]))

    assert order.steps == draft
    assert order.earlier_steps(3) == ()


def test_own_step_after_the_first_start_keeps_nothing_waiting_unless_it_is_a_hold() -> None:
    look, warm = OwnStep(1, "look after the first run", is_hold=True), OwnStep(2, "retighten warm")
    draft = (2, 1, HoldPoint.FIRST_START, look, warm)

    order = plan_refit(draft, collect_rules(draft, [], earth_leads=[1]))

    assert order.steps == draft
    assert set(order.earlier_steps(warm)) == {HoldPoint.FIRST_START, look, 1, 2}
    assert order.earlier_steps(1) == (2,)


def test_own_step_waits_for_the_things_before_it_and_keeps_none_after_it_waiting() -> None:
    """Nobody bleeds the fuel before its hoses are on."""
    bleed = OwnStep(1, "bleed the fuel")
    draft = (2, bleed, 1, HoldPoint.FIRST_START)

    order = plan_refit(draft, collect_rules(draft, []))

    assert order.earlier_steps(bleed) == (2,)
    assert order.earlier_steps(1) == ()


def test_belt_that_comes_off_first_goes_on_last() -> None:
    belts = [Belt(1, comes_off="first"), Belt(2, comes_off="2nd"), Belt(3, comes_off="?"), Belt(4)]

    assert belt_pairs(belts) == [(1, 2)]
    assert belt_pairs([Belt(1, comes_off="last"), Belt(2, comes_off="first")]) == [(2, 1)]
    draft = (1, 2, 3, HoldPoint.FIRST_START)
    order = plan_refit(draft, collect_rules(draft, [], belts=[(1, 2)]))
    assert order.steps == (2, 1, 3, HoldPoint.FIRST_START)
    order = plan_refit(draft, collect_rules(draft, [(2, 1)], belts=[(1, 2)]))
    assert order.steps == draft
    assert order.warnings(str) == ("2 comes off after 1, but another rule fits it later: say which counts.",)


def test_sallow_goes_back_with_its_loop_named_and_the_earth_lead_last() -> None:
    record = load_sallow()
    leads = find_earth_leads(record.tags, record.ends)
    draft = draft_order([tag.tag_id for tag in record.in_order], record.events, earth_leads=leads)

    order = plan_refit(draft, collect_rules(draft, record.fit_after, earth_leads=leads))

    numbers = [record.by_id[step].number for step in order.steps if isinstance(step, int)]
    assert numbers[-1] == "1"
    assert order.steps[-1] == HoldPoint.FIRST_START
    assert [[record.by_id[tag_id].number for tag_id in loop] for loop in order.loops] == [["26", "27"]]
    assert sorted(numbers, key=int) == sorted((tag.number for tag in record.tags), key=int)
    broken = [r for r in record.fit_after if position(order, r[0]) < position(order, r[1])]
    assert broken == [(rule.later, rule.earlier) for rule in order.set_aside]
    assert len(broken) == 1
