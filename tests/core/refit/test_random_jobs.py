"""The order of the way back on 1,000 random jobs, each checked against the rules by plain means of its own."""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest

from asfound.core.log.order import find_standings
from asfound.core.refit.fit_next import find_waiting
from asfound.core.refit.reverse import draft_order
from asfound.core.refit.steps import HoldPoint, Move, Rule, Step
from asfound.core.refit.waits_for import RefitOrder, collect_rules, plan_refit
from asfound.model.log import Event

JOBS = 1000
START = datetime(2025, 10, 11, 9, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Job:
    """What a person has written down of one job, by the number of its seed."""

    tags: list[int]
    events: list[Event]
    lifted_out_at: datetime | None
    fit_after: list[tuple[int, int]]
    fit_before: list[tuple[int, int]]
    leads: list[int]
    moves: list[Move]

    @property
    def draft(self) -> tuple[Step, ...]:
        return draft_order(self.tags, self.events, lifted_out_at=self.lifted_out_at)

    @property
    def rules(self) -> list[Rule]:
        return collect_rules(self.draft, self.fit_after, self.fit_before, earth_leads=self.leads)

    def plan(self) -> RefitOrder:
        return plan_refit(self.draft, self.rules, self.moves)


def make_job(seed: int) -> Job:
    """Up to 60 tags; half of the jobs have rules that may loop, in any direction and number."""
    dice = random.Random(seed)
    tags = list(range(1, dice.randint(1, 60) + 1))
    events = []
    for at in range(dice.randint(0, 2 * len(tags))):
        tag_id, kind = dice.choice(tags), dice.choice(("off", "off", "refitted"))
        when = START + timedelta(minutes=dice.randint(0, 400))
        how = dice.choice(("by hand", "tight", "")) if kind == "refitted" else ""
        events.append(Event(at, tag_id, "off" if kind == "off" else "refitted", when, how, "", "", when))

    def pairs() -> list[tuple[int, int]]:
        found = [(dice.choice(tags), dice.choice(tags)) for _pair in range(dice.randint(0, len(tags)))]
        return found if seed % 2 else [(max(pair), min(pair)) for pair in found if pair[0] != pair[1]]

    after, before = pairs(), [pair if seed % 2 else pair[::-1] for pair in pairs()]
    moves = [
        Move(dice.choice(tags), dice.choice(("before", "after")), dice.choice(tags)) for _ in range(dice.randint(0, 4))
    ]
    lifted = START + timedelta(minutes=dice.randint(0, 400)) if dice.random() < 0.5 else None
    return Job(tags, events, lifted, after, before, dice.sample(tags, min(len(tags), dice.randint(0, 2))), moves)


def in_loops(pairs: list[tuple[int, int]]) -> set[int]:
    """Tags that wait for themselves, by walking from each of them (nothing of the program is used)."""
    earlier: dict[int, set[int]] = {}
    for one, other in pairs:
        earlier.setdefault(one, set()).add(other)

    def reached(start: int) -> set[int]:
        seen: set[int] = set()
        todo = [start]
        while todo:
            for other in earlier.get(todo.pop(), set()) - seen:
                seen.add(other)
                todo.append(other)
        return seen

    return {start for start in earlier if start in reached(start)}


def said_pairs(job: Job) -> list[tuple[int, int]]:
    return [*job.fit_after, *((later, earlier) for earlier, later in job.fit_before)]


def last_moves(job: Job) -> list[Move]:
    last = {move.step: move for move in job.moves if move.step != move.other}
    return [move for move in reversed(job.moves) if last.get(move.step) is move]


@pytest.fixture(scope="module")
def jobs() -> list[Job]:
    return [make_job(seed) for seed in range(JOBS)]


def test_every_job_gets_an_order_with_every_step_once_whatever_was_said(jobs: list[Job]):
    for job in jobs:
        assert sorted(job.plan().steps, key=str) == sorted(job.draft, key=str)


def test_order_respects_every_rule_but_those_that_contradict_stronger_ones(jobs: list[Job]):
    """A rule is set aside only where the rules that are kept say the contrary."""
    kept_rules = 0
    for job in jobs:
        order = job.plan()
        at = {step: place for place, step in enumerate(order.steps)}
        assert all(at[rule.earlier] < at[rule.later] for rule in order.rules)
        said = {rule for rule in job.rules if {rule.later, rule.earlier} <= at.keys()}
        assert said <= {*order.rules, *order.set_aside}
        kept_rules += len(said & set(order.rules))
        for rule in order.set_aside:
            assert rule.later == rule.earlier or at[rule.later] < at[rule.earlier]
    assert kept_rules > JOBS


def test_rules_that_cannot_loop_are_all_followed(jobs: list[Job]):
    followed = 0
    for job in jobs[::2]:
        at = {step: place for place, step in enumerate(plan_refit(job.draft, job.rules).steps)}
        for later, earlier in said_pairs(job):
            assert at[earlier] < at[later]
            followed += 1
    assert followed > JOBS


def test_loops_are_named_exactly_where_rules_wait_for_each_other(jobs: list[Job]):
    """Every tag named waits for itself, every knot of such tags is named, and nothing is refused."""
    loops = 0
    for job in jobs:
        looped = in_loops(said_pairs(job))
        order = job.plan()
        named = {tag_id for loop in order.loops for tag_id in loop}
        assert named <= looped
        assert bool(named) == bool(looped)
        assert len(order.warnings(str)) >= len(order.loops)
        loops += len(order.loops)
    assert loops > 100


def test_last_move_of_a_person_is_kept_before_every_rule(jobs: list[Job]):
    kept = 0
    for job in jobs:
        at = {step: place for place, step in enumerate(job.plan().steps)}
        moves = last_moves(job)
        if moves:
            rule = moves[0].rule
            assert at[rule.earlier] < at[rule.later]
            kept += 1
        if len({step for move in moves for step in (move.step, move.other)}) == 2 * len(moves):
            # Moves that share no tag cannot contradict each other: all of them are kept.
            assert all(at[move.rule.earlier] < at[move.rule.later] for move in moves)
    assert kept > JOBS / 4


def test_what_is_free_to_fit_waits_for_nothing_that_is_off(jobs: list[Job]):
    for job in jobs:
        order, standings = job.plan(), find_standings(job.events)
        off = {tag_id for tag_id, standing in standings.items() if standing.is_off}
        waiting = find_waiting(order, standings)
        assert {one.step for one in waiting if not isinstance(one.step, HoldPoint)} == off
        if waiting:
            assert not waiting[0].missing, "there is always something to do next"
        for one in waiting:
            earlier = set(order.earlier_steps(one.step))
            assert {step for step in one.missing if not isinstance(step, HoldPoint)} == earlier & off
