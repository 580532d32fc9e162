"""The order of the way back on random jobs, each checked against networkx and against plain intervals of time.

300 with every run of the tests; a thousand: RANDOM_JOBS=1000 pytest tests/core/refit/test_random_jobs.py

Nothing here asks the program what a rule, a loop or a lift is: said rules are edges of a graph of networkx, and "on the
bench" is an interval of time inside another one.
"""

from __future__ import annotations

import os
import random
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

import networkx as nx
import pytest

from asfound.core.log.order import find_standings
from asfound.core.refit.fit_next import find_waiting
from asfound.core.refit.lifts import Moment, find_lifts
from asfound.core.refit.reverse import apply_moves, draft_order, last_words
from asfound.core.refit.steps import HoldPoint, Lift, Move, OwnStep, Step
from asfound.core.refit.waits_for import RefitOrder, collect_rules, plan_refit
from asfound.model.log import Event

JOBS = int(os.environ.get("RANDOM_JOBS", "300"))
START = datetime(2025, 10, 11, tzinfo=UTC)
DAYS = 6
LAST_MINUTE = time(23, 59)


@dataclass(frozen=True)
class Job:
    """What a person has written down of one job, by the number of its seed."""

    seed: int
    tags: list[int]
    events: list[Event]
    outs: list[Moment]
    ins: list[Moment]
    fit_after: list[tuple[int, int]]
    fit_before: list[tuple[int, int]]
    belts: list[tuple[int, int]]
    leads: list[int]
    moves: list[Move]
    own: list[OwnStep]

    @property
    def can_loop(self) -> bool:
        return self.seed % 2 == 1

    @property
    def draft(self) -> tuple[Step, ...]:
        lifts = find_lifts(self.outs, self.ins)
        draft = draft_order(self.tags, self.events, lifts=lifts, earth_leads=self.leads)
        return (*draft, *self.own)

    def plan(self, *, moved: bool = True) -> RefitOrder:
        moves = self.moves if moved else []
        rules = collect_rules(
            apply_moves(self.draft, last_words(moves)),
            self.fit_after,
            self.fit_before,
            earth_leads=self.leads,
            belts=self.belts,
        )
        return plan_refit(self.draft, rules, moves)

    def said(self) -> nx.DiGraph:
        """The person's rules, from what goes on earlier to what waits for it."""
        graph = nx.DiGraph()
        graph.add_nodes_from(self.tags)
        graph.add_edges_from((earlier, later) for later, earlier in self.fit_after)
        graph.add_edges_from(self.fit_before)
        return graph


def make_job(seed: int) -> Job:
    """Up to 60 tags; rules of half of the jobs may loop, in any direction and number."""
    dice = random.Random(seed)
    tags = list(range(1, dice.randint(1, 60) + 1))
    dice.shuffle(tags)

    def moment(day: int) -> Moment:
        at = START + timedelta(days=day)
        if dice.random() < 0.4:
            return Moment(at.replace(hour=23, minute=59), is_day_only=True)
        return Moment(at + timedelta(minutes=dice.randint(1, 1438)))

    events = []
    for number in range(dice.randint(0, 2 * len(tags))):
        tag_id, kind = dice.choice(tags), dice.choice(("off", "off", "refitted"))
        when = moment(dice.randint(0, DAYS))
        how = dice.choice(("by hand", "tight", "")) if kind == "refitted" else ""
        off_or_on = "off" if kind == "off" else "refitted"
        events.append(Event(number, tag_id, off_or_on, when.at, how, "", "", when.at, when.is_day_only))

    lifts = [moment(day) for day in sorted(dice.sample(range(DAYS + 1), dice.randint(0, 4)))]

    def pairs(most: int) -> list[tuple[int, int]]:
        found = [(dice.choice(tags), dice.choice(tags)) for _pair in range(dice.randint(0, most))]
        return found if seed % 2 else [(max(pair), min(pair)) for pair in found if pair[0] != pair[1]]

    after, before = pairs(len(tags)), [pair if seed % 2 else pair[::-1] for pair in pairs(len(tags))]
    holds = (HoldPoint.LIFT_IN, HoldPoint.FIRST_START)
    moves = [
        Move(dice.choice(tags), dice.choice(("before", "after")), dice.choice((*tags, *holds)))
        for _ in range(dice.randint(0, 4))
    ]
    belt, other = dice.sample(tags, 2) if len(tags) > 1 and dice.random() < 0.3 else (0, 0)
    own = [OwnStep(1, "look after the first run", is_hold=True), OwnStep(2, "retighten warm")][: dice.randint(0, 2)]
    leads = dice.sample(tags, min(len(tags), dice.randint(0, 2)))
    return Job(
        *(seed, tags, events, lifts[::2], lifts[1::2], after, before, [(belt, other)] if belt else [], leads),
        *(moves, own),
    )


def when(moment: Moment | Event) -> tuple[datetime, datetime]:
    """The earliest and the latest minute that it can have been."""
    if not moment.is_day_only:
        return moment.at, moment.at
    return datetime.combine(moment.at, time(0), UTC), datetime.combine(moment.at, LAST_MINUTE, UTC)


def on_the_bench(job: Job) -> set[int]:
    """Tags whose present or last time off surely began while the engine was out."""
    found = set()
    for tag_id in job.tags:
        mine = sorted((e for e in job.events if e.tag_id == tag_id), key=lambda event: (event.at, event.event_id))
        offs = [at for at, event in enumerate(mine) if event.kind == "off"]
        if not offs:
            continue
        first = offs[-1]
        while first and mine[first - 1].kind == "off":
            first -= 1
        early, late = when(mine[first])
        for number, went_out in enumerate(job.outs):
            came_in = when(job.ins[number])[0] if number < len(job.ins) else datetime.max.replace(tzinfo=UTC)
            if when(went_out)[1] < early and late < came_in:
                found.add(tag_id)
    return found


def places(order: RefitOrder) -> dict[Step, int]:
    return {step: place for place, step in enumerate(order.steps)}


@pytest.fixture(scope="module")
def jobs() -> list[Job]:
    return [make_job(seed) for seed in range(JOBS)]


def test_every_job_gets_an_order_with_every_step_once_whatever_was_said(jobs: list[Job]):
    for job in jobs:
        lift_in = [Lift.IN] if job.outs else []
        known = [*job.tags, HoldPoint.LIFT_IN, *lift_in, HoldPoint.FIRST_START, *job.own]
        assert sorted(job.plan().steps, key=str) == sorted(known, key=str)


def test_rules_that_cannot_loop_are_all_followed(jobs: list[Job]):
    """The order is one that networkx too would call a topological order of what was said."""
    followed = 0
    for job in jobs[::2]:
        order, said = job.plan(moved=False), job.said()
        assert nx.is_directed_acyclic_graph(said)
        at = places(order)
        for earlier, later in said.edges:
            assert at[earlier] < at[later]
            followed += 1
    assert followed > JOBS


def test_rules_outside_loops_are_all_followed_too(jobs: list[Job]):
    for job in jobs[1::2]:
        at, said = places(job.plan(moved=False)), job.said()
        knot = {tag_id: number for number, tags in enumerate(nx.strongly_connected_components(said)) for tag_id in tags}
        for earlier, later in said.edges:
            assert knot[earlier] == knot[later] or at[earlier] < at[later]


def test_a_rule_is_set_aside_only_where_following_it_would_close_a_loop(jobs: list[Job]):
    aside = 0
    for job in jobs:
        order = job.plan()
        kept = nx.DiGraph((rule.earlier, rule.later) for rule in order.rules)
        assert nx.is_directed_acyclic_graph(kept)
        at = places(order)
        assert all(at[earlier] < at[later] for earlier, later in kept.edges)
        for rule in order.set_aside:
            assert rule.later == rule.earlier or nx.has_path(kept, rule.later, rule.earlier)
            aside += 1
    assert aside > JOBS


def test_loops_are_named_exactly_where_networkx_finds_them(jobs: list[Job]):
    """One loop is named for each knot of things that wait for each other, and it is a loop."""
    loops = 0
    for job in jobs:
        order, said = job.plan(), job.said()
        knots = [
            knot for knot in nx.strongly_connected_components(said)
            if len(knot) > 1 or said.has_edge(*(2 * tuple(knot)))
        ]  # fmt: skip
        assert len(order.loops) == len(knots)
        for loop in order.loops:
            assert sum(set(loop) <= knot for knot in knots) == 1
            assert all(said.has_edge(earlier, later) for later, earlier in zip(loop, (*loop[1:], loop[0]), strict=True))
        assert len(order.warnings(str)) >= len(order.loops)
        loops += len(order.loops)
    assert loops > JOBS / 10


def test_nothing_that_came_off_in_the_machine_goes_on_before_the_lift_in(jobs: list[Job]):
    """Whatever the rules say: only a person's move takes a thing there."""
    seen = {True: 0, False: 0}
    for job in jobs:
        order = job.plan(moved=False)
        at, said, bench = places(order), job.said(), on_the_bench(job) - set(job.leads)
        lift_in = at[HoldPoint.LIFT_IN]
        if not job.outs:
            assert lift_in == 0
            continue
        assert at[Lift.IN] > lift_in
        for tag_id in job.tags:
            if tag_id not in bench:
                assert at[tag_id] > at[Lift.IN]
                seen[False] += 1
            elif nx.ancestors(said, tag_id) <= bench and not job.belts:
                assert at[tag_id] < lift_in
                seen[True] += 1
    assert min(seen.values()) > JOBS / 2


def test_nothing_but_what_must_wait_for_it_goes_on_after_the_earth_lead(jobs: list[Job]):
    checked = 0
    for job in jobs[::2]:
        at, said = places(job.plan(moved=False)), job.said()
        said.add_edges_from((earlier, later) for later, earlier in job.belts)
        if not nx.is_directed_acyclic_graph(said):
            continue  # a belt's rule may close a loop
        waiting = set().union(*(nx.descendants(said, lead) for lead in job.leads))
        for lead in job.leads:
            for tag_id in set(job.tags) - set(job.leads) - waiting:
                assert at[tag_id] < at[lead]
                checked += 1
    assert checked > JOBS


def test_belt_that_comes_off_first_goes_on_after_the_other_unless_a_rule_or_the_lift_says_otherwise(jobs: list[Job]):
    checked = 0
    for job in jobs[::2]:
        at, said, bench = places(job.plan(moved=False)), job.said(), on_the_bench(job)
        for later, earlier in job.belts:
            is_free = nx.descendants(said, later) | nx.ancestors(said, earlier) == set()
            if is_free and {later, earlier}.isdisjoint(bench) and {later, earlier}.isdisjoint(job.leads):
                assert at[earlier] < at[later]
                checked += 1
    assert checked > JOBS / 50


def test_every_thing_goes_on_before_the_first_start_and_own_steps_stand_where_they_were_put(jobs: list[Job]):
    for job in jobs:
        at = places(job.plan(moved=False))
        assert all(at[tag_id] < at[HoldPoint.FIRST_START] for tag_id in job.tags)
        assert all(at[own] > at[HoldPoint.FIRST_START] for own in job.own)


def test_last_move_of_a_person_is_kept_before_every_rule(jobs: list[Job]):
    kept = 0
    for job in jobs:
        at = places(job.plan())
        moves = last_words(job.moves)[::-1]
        if moves:
            rule = moves[0].rule
            assert at[rule.earlier] < at[rule.later]
            kept += 1
        if len({step for move in moves for step in (move.step, move.other)}) == 2 * len(moves):
            # Moves that share no step cannot contradict each other: all of them are kept.
            assert all(at[move.rule.earlier] < at[move.rule.later] for move in moves)
    assert kept > JOBS / 4


def test_what_is_free_to_fit_waits_for_nothing_that_is_off_and_for_no_hold(jobs: list[Job]):
    for job in jobs:
        order, standings = job.plan(), find_standings(job.events)
        off = {tag_id for tag_id, standing in standings.items() if standing.is_off}
        waiting = find_waiting(order, standings)
        assert {one.step for one in waiting if isinstance(one.step, int)} == off
        assert not waiting[0].missing, "there is always something to do next"
        for one in waiting:
            earlier = set(order.earlier_steps(one.step))
            assert {step for step in one.missing if isinstance(step, int)} == earlier & off
            assert {step for step in one.missing if not isinstance(step, int)} == {
                step for step in earlier if not isinstance(step, int)
            }
