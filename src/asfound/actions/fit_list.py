"""The way back as it is listed: each step with what it waits for, and what to look at again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfound.actions.archive import Archive, kept
from asfound.actions.fit import FitPlan, plan_fit
from asfound.actions.look_over import look_again
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.refit.fit_next import Waiting
from asfound.core.refit.steps import HoldPoint, Step
from asfound.model.log import LogLine


@dataclass(frozen=True, slots=True)
class ListedStep:
    """A step of the way back, or a thing that is on and was not called right when it was looked over.

    Attributes
    ----------
    name : str
        The step in words; a thing's without its number.
    title : str
        The same with the number: "17 (raw water hose)".
    card : TagCard or None
        The thing; None for a hold, a lift and a step of the person's own.
    missing, loose : tuple of str
        What it waits for, and what it goes after that is in by hand only: numbers as they are typed, and steps.
    nearest : tuple of str
        Of what it waits for, what does not wait for another of it in its turn.
    said : LogLine or None
        What was said when the thing was looked over; it is on then, and is no step.
    """

    step: Step
    name: str
    card: TagCard | None
    missing: tuple[str, ...] = ()
    loose: tuple[str, ...] = ()
    nearest: tuple[str, ...] = ()
    title: str = ""
    said: LogLine | None = None

    @property
    def is_free(self) -> bool:
        """Whether it can be fitted, or looked at, now."""
        return not self.missing

    @property
    def hold(self) -> HoldPoint | None:
        """The hold that it is; None for anything else."""
        return self.step if isinstance(self.step, HoldPoint) else None


@kept
def list_fit_steps(archive: Archive) -> Sequence[ListedStep]:
    """First what was not called right; then what is still to be fitted, in order. A draft: the manual comes first."""
    cards, plan = read_cards(archive), plan_fit(archive)
    again = (
        ListedStep(tag.tag_id, cards[tag.tag_id].called, cards[tag.tag_id], said=line)
        for tag, line in look_again(archive)
    )
    return (*again, *(_listed(archive, plan, one) for one in plan.waiting))


def _listed(archive: Archive, plan: FitPlan, one: Waiting) -> ListedStep:
    cards = read_cards(archive)
    card = cards[one.step] if isinstance(one.step, int) else None

    def named(steps: Iterable[Step]) -> tuple[str, ...]:
        return tuple(cards[step].label if isinstance(step, int) else plan.name(step) for step in steps)

    return ListedStep(
        one.step,
        card.called if card is not None else plan.name(one.step),
        card,
        missing=named(one.missing),
        loose=named(one.loose),
        nearest=named(plan.nearest(one)),
        title=plan.name(one.step),
    )
