"""What waits for what, and the order of refitting that follows from it.

Rules may contradict each other and the person's moves. They are added the strongest first, and one that would close a
loop is set aside and named; nothing is ever refused.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter

from asfound.core.log.order import find_loops
from asfound.core.refit.reverse import apply_moves, last_words
from asfound.core.refit.steps import STRENGTH, HoldPoint, Move, OwnStep, Rule, Step, is_divider


@dataclass(frozen=True, slots=True)
class RefitOrder:
    """The way back.

    Attributes
    ----------
    steps : tuple of Step
        Every step of the draft once; each rule of `rules` holds in it.
    rules : tuple of Rule
        The rules that are followed.
    set_aside : tuple of Rule
        Rules that would have closed a loop, in the order in which they were met.
    loops : tuple of tuple of int
        Tags whose fit-after and fit-before rules chase their own tail; each waits for the next, the last for the first.
    """

    steps: tuple[Step, ...]
    rules: tuple[Rule, ...]
    set_aside: tuple[Rule, ...]
    loops: tuple[tuple[int, ...], ...]

    def earlier_steps(self, step: Step) -> tuple[Step, ...]:
        """What a step waits for, in the order of refitting."""
        earlier = {rule.earlier for rule in self.rules if rule.later == step}
        return tuple(other for other in self.steps if other in earlier)

    def warnings(self, label: Callable[[int], str]) -> tuple[str, ...]:
        """One line for each loop, and for each word of the person that could not be followed.

        Parameters
        ----------
        label : callable
            Names a tag in a sentence.
        """
        looped = {tag_id for loop in self.loops for tag_id in loop}
        lines = [f"{_and(map(label, loop))} wait for each other: take one rule away." for loop in self.loops]
        rules = (rule for rule in self.set_aside if not {rule.later, rule.earlier} <= looped)
        return tuple(filter(None, (*lines, *(self._set_aside_words(rule, label) for rule in rules))))

    def _set_aside_words(self, rule: Rule, label: Callable[[int], str]) -> str:
        """What to know of a rule that is not followed; empty where it is told by another line already."""
        later, earlier = (_name(step, label) for step in (rule.later, rule.earlier))
        if rule.reason in ("moved", "fit after", "fit before"):
            return f"{later} should wait for {earlier}, but another rule puts it first: say which counts."
        if rule.reason == "belt off first":
            return f"{earlier} comes off after {later}, but another rule fits it later: say which counts."
        if rule.reason == "after the hold" and isinstance(rule.later, int):
            return f"{later} goes on before {earlier}, because a rule or a move puts it there: correct it if wrong."
        if rule.reason == "before the hold" and rule.later is HoldPoint.LIFT_IN and isinstance(rule.earlier, int):
            return self._late_words(rule.earlier, label)
        return ""

    def _late_words(self, step: int, label: Callable[[int], str]) -> str:
        """A thing from the bench that goes on after the lift in, and for the sake of what."""
        lift_in = self.steps.index(HoldPoint.LIFT_IN)
        late = [one for one in self.earlier_steps(step) if isinstance(one, int) and self.steps.index(one) > lift_in]
        waits = f" waits for {_and(map(label, late))} and" if late else ""
        return f"{label(step)} came off on the bench, but it{waits} goes on after the lift in: say if that is not so."


def collect_rules(
    draft: Sequence[Step],
    fit_after: Iterable[tuple[int, int]],
    fit_before: Iterable[tuple[int, int]] = (),
    *,
    earth_leads: Iterable[int] = (),
    belts: Iterable[tuple[int, int]] = (),
    not_holding: Collection[Step] = (),
) -> list[Rule]:
    """Every rule of a job.

    Parameters
    ----------
    draft : sequence of Step
        With the person's moves made. Its holds divide it: what stands before one is fitted before it, the rest after.
        A step of the person's own waits for the things before it; those after it do not wait for it.
    fit_after : iterable of (int, int)
        Tag ids (later, earlier).
    fit_before : iterable of (int, int)
        Tag ids (earlier, later).
    earth_leads : iterable of int
        Fitted last of all that stands before the first start, whatever came off first.
    belts : iterable of (int, int)
        Tag ids (later, earlier) of belts.
    not_holding : collection of Step
        Holds that stand in the order and stop nothing.
    """
    leads = set(earth_leads)
    rules = [Rule(later, earlier) for later, earlier in fit_after]
    rules += [Rule(later, earlier, "fit before") for earlier, later in fit_before]
    rules += [Rule(later, earlier, "belt off first") for later, earlier in belts]
    before_start = draft[: draft.index(HoldPoint.FIRST_START)] if HoldPoint.FIRST_START in draft else draft
    others = [step for step in before_start if isinstance(step, int) and step not in leads]
    rules += [Rule(lead, other, "earth lead last") for lead in draft if lead in leads for other in others]
    for at, hold in enumerate(draft):
        if is_divider(hold) and hold not in not_holding:
            rules += [Rule(hold, step, "before the hold") for step in draft[:at]]
            rules += [Rule(step, hold, "after the hold") for step in draft[at + 1 :]]
        elif isinstance(hold, OwnStep):
            rules += [Rule(hold, step, "before the hold") for step in draft[:at] if isinstance(step, int)]
    return rules


def plan_refit(draft: Sequence[Step], rules: Iterable[Rule], moves: Sequence[Move] = ()) -> RefitOrder:
    """Put the draft in an order that follows the rules, changing no more than they ask for.

    Of the steps that wait for nothing the first one of the draft comes next, so a thing that must wait slips back to
    where it is free. Of rules that chase their own tail those that go with the draft are kept.

    Parameters
    ----------
    moves : sequence of Move
        Oldest first. The last word on a step counts, and goes before every rule.
    """
    draft = tuple(dict.fromkeys(draft))
    last_moves = last_words(move for move in moves if move.step in draft and move.other in draft)
    ranks = {step: rank for rank, step in enumerate(apply_moves(draft, last_moves))}
    rules = [rule for rule in rules if rule.later in ranks and rule.earlier in ranks]
    moved = [move.rule for move in reversed(last_moves)]
    kept, set_aside = _keep_without_loops([*moved, *rules], ranks)
    said = [rule for rule in rules if rule.reason in ("fit after", "fit before")]
    loops = find_loops((r.later, r.earlier) for r in said if isinstance(r.later, int) and isinstance(r.earlier, int))
    return RefitOrder(_sort(ranks, kept), tuple(kept), tuple(set_aside), tuple(loops))


def _keep_without_loops(rules: Sequence[Rule], ranks: Mapping[Step, int]) -> tuple[list[Rule], list[Rule]]:
    """Rules that can all be followed, and the rest. Sorting is stable: of equals the first one given is kept."""
    kept: list[Rule] = []
    set_aside: list[Rule] = []
    waits: dict[Step, list[Step]] = {}
    for rule in sorted(dict.fromkeys(rules), key=lambda rule: _strength(rule, ranks)):
        if rule.later == rule.earlier or _waits(rule.earlier, rule.later, waits):
            set_aside.append(rule)
        else:
            kept.append(rule)
            waits.setdefault(rule.later, []).append(rule.earlier)
    return kept, set_aside


def _strength(rule: Rule, ranks: Mapping[Step, int]) -> tuple[int, bool]:
    """Sorts the strong before the weak; among equals what goes with the draft comes first, for that is never a loop."""
    is_against = rule.reason != "moved" and ranks[rule.later] < ranks[rule.earlier]
    return STRENGTH[rule.reason], is_against


def _waits(step: Step, other: Step, waits: Mapping[Step, list[Step]]) -> bool:
    """Whether a step waits for another one, directly or through others."""
    seen, todo = {step}, [step]
    while todo:
        for earlier in waits.get(todo.pop(), ()):
            if earlier == other:
                return True
            if earlier not in seen:
                seen.add(earlier)
                todo.append(earlier)
    return False


def _sort(ranks: Mapping[Step, int], rules: Iterable[Rule]) -> tuple[Step, ...]:
    sorter: TopologicalSorter[Step] = TopologicalSorter({step: () for step in ranks})
    for rule in rules:
        sorter.add(rule.later, rule.earlier)
    sorter.prepare()
    by_rank = list(ranks)
    free: list[int] = []
    steps = []
    while sorter.is_active():
        for step in sorter.get_ready():
            heapq.heappush(free, ranks[step])
        step = by_rank[heapq.heappop(free)]
        steps.append(step)
        sorter.done(step)
    return tuple(steps)


def _name(step: Step, label: Callable[[int], str]) -> str:
    if isinstance(step, int):
        return label(step)
    return f'the hold "{step}"' if isinstance(step, HoldPoint) else f'"{step}"'


def _and(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
