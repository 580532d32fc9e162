"""The way back: what is free to fit now, what waits and for what, and the three holds, told from the record.

The order is a draft: what came off last goes on first, until rules and the person's moves change it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from asfound.actions import gaps, log, own_steps, settings, snags, tag_card
from asfound.actions.archive import Archive, kept
from asfound.actions.away import list_away
from asfound.actions.fluids import list_fluids
from asfound.actions.found_end import SeenEnd, seen_end
from asfound.actions.lift import is_lifted_in, read_lifts
from asfound.actions.look_over import look_again
from asfound.actions.to_buy import list_not_renewed
from asfound.actions.values import list_values
from asfound.core.codes.cautions import cautions_for, cautions_of, due_today
from asfound.core.log.fluids import find_fluid_notes
from asfound.core.log.order import Standing
from asfound.core.log.record import Record, is_answered
from asfound.core.refit.belts import belt_pairs
from asfound.core.refit.earth_leads import find_earth_leads
from asfound.core.refit.fit_next import NotTight, Waiting, find_not_tight, find_waiting
from asfound.core.refit.hold_points import (
    HoldCheck,
    check_before_first_start,
    check_before_lift_in,
    check_before_lift_out,
)
from asfound.core.refit.left_over import CountedOut
from asfound.core.refit.lifts import Lifts, find_last_offs
from asfound.core.refit.one_day import Nearness, PinnedAt
from asfound.core.refit.reverse import apply_moves, draft_order, last_words
from asfound.core.refit.steps import HoldPoint, Lift, Move, OwnStep, Step
from asfound.core.refit.waits_for import RefitOrder, collect_rules, plan_refit
from asfound.core.words import fold, plain_words
from asfound.errors import Misused
from asfound.model.log import Snag
from asfound.model.tags import Tag
from asfound.store import fitting, pins, spots, tags

Side = Literal["before", "after"]


@dataclass(frozen=True, slots=True)
class FitPlan:
    """The way back as it stands.

    Attributes
    ----------
    waiting : tuple of Waiting
        Steps still to come, in order; those that wait for nothing are free to fit now.
    not_tight : tuple of NotTight
        What is off, fitted by hand, or of which nobody said that it is tight.
    """

    record: Record
    order: RefitOrder
    waiting: tuple[Waiting, ...]
    not_tight: tuple[NotTight, ...]
    standings: Mapping[int, Standing]
    lifts: Lifts

    @property
    def free(self) -> tuple[Waiting, ...]:
        """What can be fitted now, the next one first."""
        return tuple(step for step in self.waiting if not step.missing)

    @property
    def warnings(self) -> tuple[str, ...]:
        """Loops, and words of the person that could not be followed."""
        return self.order.warnings(lambda tag_id: self.record.label(self.record.by_id[tag_id]))

    def name(self, step: Step) -> str:
        """A step in words."""
        if isinstance(step, int):
            return self.record.label(self.record.by_id[step])
        is_hold = isinstance(step, HoldPoint) or (isinstance(step, OwnStep) and step.is_hold)
        return f"hold {step}" if is_hold else str(step)

    def nearest(self, waiting: Waiting) -> tuple[Step, ...]:
        """What a step waits for, without what these wait for in their turn."""
        missing = set(waiting.missing)
        implied = {
            earlier for one in self.waiting if one.step in missing for earlier in one.missing if earlier in missing
        }
        return tuple(step for step in waiting.missing if step not in implied)

    @property
    def done(self) -> frozenset[Step]:
        """Steps of the order that are over: things that are in, holds passed, steps done."""
        return frozenset(self.order.steps) - {one.step for one in self.waiting}


@dataclass(frozen=True, slots=True)
class FitCard:
    """What to have at hand when fitting one thing.

    Attributes
    ----------
    seen : tuple of SeenEnd
        The as-found picture of each end that has one, A before B.
    cautions : tuple of str
    """

    card: tag_card.TagCard
    seen: tuple[SeenEnd, ...]
    snags: tuple[Snag, ...]
    cautions: tuple[str, ...]


@kept
def plan_fit(archive: Archive) -> FitPlan:
    """Work the way back out from the log, the lifts, the rules, and what was moved by hand."""
    record = gaps.read_record(archive)
    lifts, own = read_lifts(archive), {one.step_id: one for one in own_steps.list_steps(archive)}
    leads = find_earth_leads(record.tags, record.ends)
    came_off = [tag.tag_id for tag in record.in_order if record.standing(tag).came_off]
    draft: tuple[Step, ...] = ()
    if came_off or own or lifts.are_known:
        *steps, first_start = draft_order(
            came_off, record.events, lifts=lifts, earth_leads=leads, nearness=_read_nearness(archive, record)
        )
        draft = (*steps, *own.values(), first_start)
    moves = list(_read_moves(archive, own))
    rules = collect_rules(
        apply_moves(draft, last_words(moves)),
        record.fit_after,
        earth_leads=leads,
        belts=belt_pairs(tags.list_belts(archive.store, archive.job.job_id).values()),
        not_holding=() if lifts.are_known or _is_mount_off(record) else (HoldPoint.LIFT_IN,),
    )
    order = plan_refit(draft, rules, moves)
    return FitPlan(
        record=record,
        order=order,
        waiting=find_waiting(order, record.standings, _find_passed(archive, record, order, lifts)),
        not_tight=find_not_tight((tag.tag_id for tag in record.in_order), record.standings),
        standings=record.standings,
        lifts=lifts,
    )


def _read_moves(archive: Archive, own: Mapping[int, OwnStep]) -> Iterator[Move]:
    for step, side, other in fitting.list_moves(archive.store, archive.job.job_id):
        mine, its = own_steps.read_step(step, own), own_steps.read_step(other, own)
        if mine is not None and its is not None:
            yield Move(mine, _side(side), its)


def _read_nearness(archive: Archive, record: Record) -> Nearness:
    """From hand and confirmed pins, the spots of their pictures, and the words of places."""
    store, job_id = archive.store, archive.job.job_id
    return Nearness(
        (PinnedAt(pin.tag_id, pin.picture_id, pin.x_frac, pin.y_frac) for pin in pins.list_pins(store, job_id)),
        {picture_id: spot.spot_id for spot in spots.list_spots(store, job_id) for picture_id in spot.picture_ids},
        ((end.tag_id, " ".join(plain_words(end.place))) for end in record.ends if not is_answered(end.place)),
    )


def _is_mount_off(record: Record) -> bool:
    """A mount that is off says that the engine may be out, whatever nobody wrote down."""
    return any(tag.kind == "mount" and record.standing(tag).is_off for tag in record.tags)


def _are_mounts_back(record: Record) -> bool:
    """Mounts that came off and are all on again say that the engine is in, whatever nobody wrote down."""
    mounts = [record.standing(tag) for tag in record.tags if tag.kind == "mount"]
    return any(one.came_off for one in mounts) and not any(one.is_off for one in mounts)


def _find_passed(archive: Archive, record: Record, order: RefitOrder, lifts: Lifts) -> set[Step]:
    """Holds that were looked at and nothing came off since, the lift in when it is over, and own steps done."""
    looks = list_holds(archive)
    done = own_steps.find_done(archive)
    passed: set[Step] = {step for step in order.steps if isinstance(step, OwnStep) and fold(step.name) in done}
    last_offs = find_last_offs(record.events)
    for hold in (HoldPoint.LIFT_IN, HoldPoint.FIRST_START):
        before = order.steps[: order.steps.index(hold)] if hold in order.steps else ()
        since = [last_offs[step].at for step in before if isinstance(step, int) and step in last_offs]
        since += [lifts.last_out.at] if lifts.last_out and hold is HoldPoint.LIFT_IN else []
        if hold in looks and all(at <= looks[hold][0] for at in since):
            passed.add(hold)
    if is_lifted_in(archive) or (not lifts.are_known and _are_mounts_back(record)):
        passed |= {HoldPoint.LIFT_IN, Lift.IN}
    return passed


def read_fit_card(archive: Archive, tag: Tag) -> FitCard:
    """Everything to have at hand when fitting one thing."""
    card = tag_card.read_cards(archive)[tag.tag_id]
    seen = [found for end in card.ends if (found := seen_end(archive, card.tag, end).as_found) is not None]
    return FitCard(
        card=card,
        seen=tuple(seen),
        snags=tuple(snag for snag in snags.list_snags(archive) if snag.is_open and snag.tag_id == tag.tag_id),
        cautions=tuple(caution.text for caution in cautions_for([tag.hazard], tag.kind)),
    )


def move_step(archive: Archive, step: Step, side: str, other: Step) -> str:
    """Put a step right before or after another; the last word on it counts, and goes before every rule.

    Returns what to know of it, empty when there is nothing: that it crosses the lift in.
    """
    if step == other:
        raise Misused(f"{name_step(archive, step)} cannot go {side} itself; name two things.")
    if isinstance(step, HoldPoint):
        raise Misused(f"The hold {step} stays where it is; move a thing before or after it.")
    was = _goes_before_lift(plan_fit(archive), step)
    with archive.step(f"{name_step(archive, step)} is fitted right {side} {name_step(archive, other)}"):
        texts = own_steps.step_text(step), own_steps.step_text(other)
        fitting.add_move(archive.store, archive.job.job_id, texts[0], _side(side), texts[1])
    now = _goes_before_lift(plan_fit(archive), step)
    if was == now or now is None:
        return ""
    return f"{name_step(archive, step)} goes on {'before' if now else 'after'} the engine is lifted in now."


def _goes_before_lift(plan: FitPlan, step: Step) -> bool | None:
    steps = plan.order.steps
    return steps.index(step) < steps.index(HoldPoint.LIFT_IN) if {step, HoldPoint.LIFT_IN} <= {*steps} else None


def name_step(archive: Archive, step: Step) -> str:
    """A step as it is said: the number of a thing, a hold, or an own step in quotes."""
    if isinstance(step, int):
        tag = tags.get_tag(archive.store, step)
        return tag.number if tag.order == 1 else f"{tag.number}.{tag.order}"
    return f"hold {step}" if isinstance(step, HoldPoint) else f'"{step}"'


def check_hold(archive: Archive, hold: HoldPoint) -> HoldCheck:
    """What the record knows to be open at a hold. An empty list says only that nothing is known to be open."""
    plan = plan_fit(archive)
    if hold is HoldPoint.LIFT_OUT:
        looked, last_out = list_holds(archive).get(HoldPoint.LIFT_OUT), plan.lifts.last_out
        return check_before_lift_out(plan.record, last_out.at if last_out else looked[0] if looked else None)
    by_id = plan.record.by_id
    open_snags = {
        snag.label: f"{by_id[snag.tag_id].number}, {snag.what}" if snag.tag_id in by_id else snag.what
        for snag in snags.list_snags(archive)
        if snag.is_open
    }
    caps = [count_caps(archive, plan.record)]
    away = [(one.words, one.line.tag_id) for one in list_away(archive)]
    if hold is HoldPoint.LIFT_IN:
        return check_before_lift_in(
            plan.record,
            plan.order.steps,
            counted_out=caps,
            open_snags=open_snags,
            values=list_values(archive),
            away=away,
        )
    return check_before_first_start(
        plan.record,
        counted_out=caps,
        open_snags=open_snags,
        not_right=[line for _tag, line in look_again(archive)],
        fluids=find_fluid_notes(list_fluids(archive)),
        not_renewed=list_not_renewed(archive),
        values=list_values(archive),
        away=away,
    )


def pass_hold(
    archive: Archive, hold: HoldPoint, by_whom: str, at: datetime | None = None, *, is_day_only: bool = False
) -> None:
    """Write down that somebody looked at everything at a hold."""
    with archive.step(f"hold {hold} looked at"):
        fitting.pass_hold(
            archive.store, archive.job.job_id, hold, at or archive.now(), by_whom, is_day_only=is_day_only
        )


def list_holds(archive: Archive) -> dict[str, tuple[datetime, str]]:
    """Holds that were looked at, with when and by whom at the latest."""
    return fitting.list_holds(archive.store, archive.job.job_id)


def cautions_due(archive: Archive, phase: str) -> tuple[str, ...]:
    """Cautions of a phase that were not shown yet today; asking for them counts as showing them."""
    today = archive.now().date()
    shown = {}
    for caution in cautions_of(phase):
        day = settings.remembered(archive, f"caution {caution.key}")
        if day:
            shown[caution.key] = date.fromisoformat(day)
    due = due_today(phase, shown, today)
    for caution in due:
        settings.remember(archive, f"caution {caution.key}", today.isoformat())
    return tuple(caution.text for caution in due)


def are_cautions_due(archive: Archive, phase: str) -> bool:
    """Whether a phase has cautions that were not shown yet today."""
    today = archive.now().date().isoformat()
    return any(settings.remembered(archive, f"caution {caution.key}") != today for caution in cautions_of(phase))


def count_caps(archive: Archive, record: Record) -> CountedOut:
    """Caps and plugs that went on ends and of which the log does not say that they were taken off again."""
    back = {
        (line.tag_id, letter)
        for line in log.list_lines(archive)
        if line.kind == "uncapped" and not line.is_struck
        for letter in (line.end or "AB")
    }
    capped = [
        (tag, letter) for tag in record.in_order for letter in record.letters(tag) if record.end(tag, letter).capped
    ]
    left = [
        f"{tag.number}{f'.{tag.order}' if tag.order > 1 else ''}{letter.lower()}"
        for tag, letter in capped
        if (tag.tag_id, letter) not in back
    ]
    return CountedOut("caps and plugs", len(capped), len(capped) - len(left), ", ".join(left))


def _side(text: str) -> Side:
    return "before" if text == "before" else "after"
