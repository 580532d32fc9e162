"""What a yes or a no to a question of the sort queue writes down, and the words that say it was done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from asfound.actions import bursts, pinned, settings, spots
from asfound.actions.archive import Archive
from asfound.actions.pinned import ProposalEntry
from asfound.actions.questions import NumberQuestion, PinsQuestion, Question, bursts_of, sure_ones
from asfound.actions.to_sort import BurstProposal, PairProposal, SortItem, SpotProposal
from asfound.tui.words import count, spot_words


@dataclass(frozen=True, slots=True)
class SortAnswer:
    """An answer that can be written down.

    Attributes
    ----------
    work : callable
        Writes it, in one step.
    words : str
        What is said when it is written.
    """

    work: Callable[[], object]
    words: str


def yes_to(archive: Archive, question: Question, picture_id: int | None) -> SortAnswer | None:
    """Yes to all that a question asks, `picture_id` being chosen; None where a yes does not answer it."""
    if isinstance(question, BurstProposal):
        return None if picture_id is None else _fold(archive, question, picture_id)
    if isinstance(question, SpotProposal):
        accept = partial(spots.accept_spot, archive, question.spot)
        return SortAnswer(accept, f"{spot_words(question.spot)} accepted.")
    if isinstance(question, PairProposal):
        pair = question.pair
        return SortAnswer(partial(spots.confirm_pair, archive, pair.before_id, pair.after_id), "Kept as a pair.")
    if isinstance(question, PinsQuestion):
        return yes_to_pins(archive, question.entries)
    if isinstance(question, NumberQuestion):
        return None
    times = question.pictures
    return SortAnswer(partial(settings.accept_times, archive, times), f"{count(len(times), 'time')} accepted.")


def _fold(archive: Archive, question: BurstProposal, front: int) -> SortAnswer:
    """The chosen picture in front, the others behind it."""
    others = [one for one in question.picture_ids if one != front]
    words = f"{count(len(others), 'look-alike')} behind this one; b shows them on its spot."
    return SortAnswer(partial(bursts.fold_all, archive, [(front, *others)]), words)


def yes_to_pins(archive: Archive, entries: Sequence[ProposalEntry]) -> SortAnswer:
    """Yes to some of the pins of a picture."""
    proposals = [entry.proposal for entry in entries]
    verb = "is" if len(entries) == 1 else "are"
    words = f"{', '.join(entry.called for entry in entries)} {verb} pinned."
    return SortAnswer(partial(pinned.accept_many, archive, proposals, []), words)


def yes_to_bursts(archive: Archive, items: Sequence[SortItem]) -> SortAnswer:
    """Yes to every burst that waits."""
    folded = bursts_of(items)
    words = f"{count(len(folded), 'burst')}: the sharpest in front, the others behind it."
    return SortAnswer(partial(bursts.fold_all, archive, folded), words)


def yes_to_sure(archive: Archive, items: Sequence[SortItem], sure: float) -> SortAnswer | None:
    """Yes to all pins and pairs that are so sure, 0 to 1; None where none is."""
    pins, pairs = sure_ones(items, sure)
    if not pins and not pairs:
        return None
    words = " and ".join(count(len(some), name) for some, name in ((pins, "pin"), (pairs, "pair")) if some)
    said = f"{words} accepted, {sure:.0%} sure or more."
    return SortAnswer(partial(pinned.accept_many, archive, pins, pairs), said)


def no_to(archive: Archive, question: Question, mark: ProposalEntry | None) -> SortAnswer | None:
    """No to what a question asks, with this pin marked; None where a no does not answer it."""
    if isinstance(question, PairProposal):
        pair = question.pair
        return SortAnswer(partial(spots.refuse_pair, archive, pair.before_id, pair.after_id), "Not a pair.")
    if mark is not None:
        return SortAnswer(partial(pinned.reject_many, archive, mark.both), f"{mark.called} is not there.")
    if isinstance(question, BurstProposal):
        return SortAnswer(partial(bursts.let_stand, archive, question.picture_ids), "All are shown.")
    return None
