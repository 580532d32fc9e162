"""What is free to fit now, what still waits and for what, and what is fitted but not tight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from asfound.core.log.order import Standing
from asfound.core.refit.steps import Step
from asfound.core.refit.waits_for import RefitOrder


@dataclass(frozen=True, slots=True)
class Waiting:
    """A step that is still to come.

    Attributes
    ----------
    missing : tuple of Step
        What must be in first and is not: tags that are off, holds not passed, steps not done. Empty: it is free now.
    loose : tuple of int
        Tags it goes after that are in, but only by hand.
    """

    step: Step
    missing: tuple[Step, ...] = ()
    loose: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class NotTight:
    """A tag that came off and is not known to be tight."""

    tag_id: int
    state: Literal["not fitted", "by hand", "not said"]


def find_waiting(
    order: RefitOrder, standings: Mapping[int, Standing], passed: Collection[Step] = ()
) -> tuple[Waiting, ...]:
    """Steps still to come, in the order of refitting. What never came off is in, and no step.

    Parameters
    ----------
    passed : collection of Step
        Holds that were looked at, and other steps that are no things and are done.
    """
    return tuple(
        _waiting(step, order.earlier_steps(step), standings, passed)
        for step in order.steps
        if _is_open(step, standings, passed)
    )


def fit_next(
    order: RefitOrder, standings: Mapping[int, Standing], passed: Collection[Step] = ()
) -> tuple[Waiting, ...]:
    """Steps that are free to fit now, the first of them being the next one; a hold point stands among them when due."""
    return tuple(waiting for waiting in find_waiting(order, standings, passed) if not waiting.missing)


def find_not_tight(tag_ids: Iterable[int], standings: Mapping[int, Standing]) -> tuple[NotTight, ...]:
    """Tags that came off and are not known to be tight, in the order given."""
    found = []
    for tag_id in tag_ids:
        standing = standings.get(tag_id, Standing())
        if standing.is_off:
            found.append(NotTight(tag_id, "not fitted"))
        elif standing.came_off and not standing.is_tight:
            found.append(NotTight(tag_id, "by hand" if standing.how == "by hand" else "not said"))
    return tuple(found)


def _waiting(
    step: Step, earlier: Iterable[Step], standings: Mapping[int, Standing], passed: Collection[Step]
) -> Waiting:
    missing: list[Step] = []
    loose: list[int] = []
    for other in earlier:
        if _is_open(other, standings, passed):
            missing.append(other)
        elif isinstance(other, int) and standings.get(other, Standing()).how == "by hand":
            loose.append(other)
    return Waiting(step, tuple(missing), tuple(loose))


def _is_open(step: Step, standings: Mapping[int, Standing], passed: Collection[Step]) -> bool:
    return standings.get(step, Standing()).is_off if isinstance(step, int) else step not in passed
