"""The way back: what is free to fit now, what waits and for what, and the three holds, told from the record.

The order is a draft: what came off last goes on first, until rules and the person's moves change it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from asfound.actions import gaps, log, settings, snags, tag_card
from asfound.actions.archive import Archive, kept
from asfound.actions.find import SeenEnd, seen_end
from asfound.actions.look_over import look_again
from asfound.core.codes.cautions import cautions_for, cautions_of, due_today
from asfound.core.log.order import Standing
from asfound.core.log.record import Record
from asfound.core.refit.fit_next import NotTight, Waiting, find_not_tight, find_waiting
from asfound.core.refit.hold_points import (
    HoldCheck,
    check_before_first_start,
    check_before_lift_in,
    check_before_lift_out,
)
from asfound.core.refit.left_over import CountedOut
from asfound.core.refit.reverse import draft_order
from asfound.core.refit.steps import HoldPoint, Move, Step
from asfound.core.refit.waits_for import RefitOrder, collect_rules, find_earth_leads, plan_refit
from asfound.errors import Misused
from asfound.model.log import Snag
from asfound.model.tags import Tag
from asfound.store import fitting

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
        return f"hold {step}" if isinstance(step, HoldPoint) else self.record.label(self.record.by_id[step])


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
    """Work the way back out from the log, the rules, and what was moved by hand."""
    record = gaps.read_record(archive)
    job_id = archive.job.job_id
    holds = fitting.list_holds(archive.store, job_id)
    came_off = [tag.tag_id for tag in record.in_order if record.standing(tag).came_off]
    lifted_out_at = holds[HoldPoint.LIFT_OUT][0] if HoldPoint.LIFT_OUT in holds else None
    draft = draft_order(came_off, record.events, lifted_out_at=lifted_out_at) if came_off else ()
    leads = find_earth_leads(record.tags, record.ends)
    rules = collect_rules(draft, record.fit_after, earth_leads=leads)
    moves = [
        Move(_step(step), _side(side), _step(other)) for step, side, other in fitting.list_moves(archive.store, job_id)
    ]
    order = plan_refit(draft, rules, moves)
    passed = frozenset(HoldPoint(hold) for hold in holds)
    return FitPlan(
        record=record,
        order=order,
        waiting=find_waiting(order, record.standings, passed),
        not_tight=find_not_tight((tag.tag_id for tag in record.in_order), record.standings),
        standings=record.standings,
    )


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


def move_step(archive: Archive, step: Tag, side: str, other: Tag) -> None:
    """Put one thing right before or after another; the last word on a thing counts, and goes before every rule."""
    if step.tag_id == other.tag_id:
        raise Misused(f"{step.number} cannot go {side} itself; name two things.")
    with archive.step(f"{step.number} is fitted right {side} {other.number}"):
        fitting.add_move(archive.store, archive.job.job_id, str(step.tag_id), _side(side), str(other.tag_id))


def check_hold(archive: Archive, hold: HoldPoint) -> HoldCheck:
    """What the record knows to be open at a hold. An empty list says only that nothing is known to be open."""
    plan = plan_fit(archive)
    if hold is HoldPoint.LIFT_OUT:
        looked = list_holds(archive).get(HoldPoint.LIFT_OUT)
        return check_before_lift_out(plan.record, looked[0] if looked else None)
    by_id = plan.record.by_id
    open_snags = {
        snag.label: f"{by_id[snag.tag_id].number}, {snag.what}" if snag.tag_id in by_id else snag.what
        for snag in snags.list_snags(archive)
        if snag.is_open
    }
    caps = [count_caps(archive, plan.record)]
    if hold is HoldPoint.LIFT_IN:
        return check_before_lift_in(plan.record, plan.order.steps, counted_out=caps, open_snags=open_snags)
    return check_before_first_start(
        plan.record,
        counted_out=caps,
        open_snags=open_snags,
        not_right=[line for _tag, line in look_again(archive)],
    )


def pass_hold(archive: Archive, hold: HoldPoint, by_whom: str, at: datetime | None = None) -> None:
    """Write down that somebody looked at everything at a hold."""
    with archive.step(f"hold {hold} looked at"):
        fitting.pass_hold(archive.store, archive.job.job_id, hold, at or archive.now(), by_whom)


def list_holds(archive: Archive) -> dict[str, tuple[datetime, str]]:
    """Holds that were looked at, with when and by whom."""
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


def _step(text: str) -> Step:
    return int(text) if text.isdecimal() else HoldPoint(text)


def _side(text: str) -> Side:
    return "before" if text == "before" else "after"
