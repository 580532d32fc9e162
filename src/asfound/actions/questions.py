"""What waits for a word as it is asked: pins of one picture together, doubtful times of one kind together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.actions import settings
from asfound.actions.archive import Archive, kept
from asfound.actions.pinned import ProposalEntry
from asfound.actions.to_sort import (
    BurstProposal,
    PairProposal,
    PinQuestion,
    SortItem,
    SpotProposal,
    TimeQuestion,
    list_to_sort,
)
from asfound.errors import Misused
from asfound.model.pictures import Pair, Picture
from asfound.model.tags import PinProposal

READ_SURE = 0.8
"""Numbers read less surely than this are asked after everything else, and left for later together; so are those of
which an end is pinned elsewhere already."""

SURE_AT_FIRST = 0.8
"""How sure is sure enough while nobody chose; a person sees each of them counted before it is accepted."""
_SURE = "sort sure"


@dataclass(frozen=True, slots=True)
class PinsQuestion:
    """The pins proposed on one picture, the least sure first; one answer does for all of them."""

    picture: Picture
    entries: tuple[ProposalEntry, ...]
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class NumberQuestion:
    """A number that was read at a place: which end of the thing hangs there?

    Attributes
    ----------
    picture : Picture
        Of those of the place the one in which it was read most surely.
    place : int
        The spot; of a picture in none the picture's id, negative.
    also : int
        In how many other pictures of the place it was read.
    """

    picture: Picture
    entry: ProposalEntry
    place: int
    also: int
    doubtful: bool


@dataclass(frozen=True, slots=True)
class TimesQuestion:
    """Pictures whose times are doubtful for the same reason."""

    pictures: tuple[Picture, ...]
    why: str


SheetQuestion = BurstProposal | SpotProposal | TimesQuestion
"""What is asked over a sheet of pictures; the others are asked over one picture or two."""
Question = SheetQuestion | PairProposal | PinsQuestion | NumberQuestion


def ask(items: Sequence[SortItem]) -> list[Question]:
    """The questions of a queue: bursts, spots, pairs, ends, pins by picture, times by reason; what is doubtful last.

    Of each kind in the order given.
    """
    pins: dict[tuple[int, bool], list[PinQuestion]] = {}
    numbers: dict[tuple[int, int], list[PinQuestion]] = {}
    times: dict[str, list[Picture]] = {}
    asked: list[Question] = []
    for item in items:
        if isinstance(item, PinQuestion):
            if item.entry.other is None:
                pins.setdefault((item.picture.picture_id, _is_doubtful(item)), []).append(item)
            else:
                numbers.setdefault((item.entry.proposal.tag_id, _place(item)), []).append(item)
        elif isinstance(item, TimeQuestion):
            times.setdefault(item.why, []).append(item.picture)
        else:
            asked.append(item)
    ends = [_number_question(some) for some in numbers.values()]
    by_picture = [
        PinsQuestion(
            some[0].picture, tuple(sorted((one.entry for one in some), key=lambda one: one.confidence)), doubtful
        )
        for (_, doubtful), some in pins.items()
    ]
    of_pins: list[Question] = [*ends, *by_picture]
    asked += [one for one in of_pins if not is_doubtful(one)]
    asked += [TimesQuestion(tuple(pictures), why) for why, pictures in times.items()]
    return asked + [one for one in of_pins if is_doubtful(one)]


def _number_question(some: Sequence[PinQuestion]) -> NumberQuestion:
    surest = max(some, key=lambda one: one.entry.confidence)
    also = len({one.picture.picture_id for one in some}) - 1
    return NumberQuestion(surest.picture, surest.entry, _place(surest), also, _is_doubtful(surest))


def _place(item: PinQuestion) -> int:
    return -item.picture.picture_id if item.spot_id is None else item.spot_id


def _is_doubtful(item: PinQuestion) -> bool:
    return item.in_passing or (item.entry.proposal.source == "read" and item.entry.confidence < READ_SURE)


def is_doubtful(question: Question) -> bool:
    """Whether it is asked after everything else."""
    return isinstance(question, PinsQuestion | NumberQuestion) and question.doubtful


def key_of(question: Question) -> tuple[object, ...]:
    """What makes a question the same one after the queue was read anew."""
    if isinstance(question, SpotProposal):
        return ("spot", question.spot.spot_id)
    if isinstance(question, BurstProposal):
        return ("burst", *sorted(question.picture_ids))
    if isinstance(question, PairProposal):
        return ("pair", question.pair.before_id, question.pair.after_id)
    if isinstance(question, PinsQuestion):
        return ("pins", question.picture.picture_id, question.doubtful)
    if isinstance(question, NumberQuestion):
        return ("number", question.entry.proposal.tag_id, question.place)
    return ("times", question.why)


def parts_of(question: Question) -> tuple[object, ...]:
    """What is asked about one by one in a question, in its order: its pins, or its pictures."""
    if isinstance(question, PinsQuestion):
        return tuple((one.proposal.tag_id, one.proposal.end) for one in question.entries)
    if isinstance(question, SheetQuestion):
        return sheet_ids(question)
    return (key_of(question),)


def sheet_ids(question: SheetQuestion) -> tuple[int, ...]:
    """The pictures that a question is about."""
    if isinstance(question, TimesQuestion):
        return tuple(picture.picture_id for picture in question.pictures)
    return question.picture_ids


def bursts_of(items: Sequence[SortItem]) -> list[tuple[int, ...]]:
    """Every burst that waits."""
    return [item.picture_ids for item in items if isinstance(item, BurstProposal)]


def sure_ones(items: Sequence[SortItem], least: float) -> tuple[list[PinProposal], list[Pair]]:
    """The pins and pairs of which the machine is at least so sure, 0 to 1; of an end not told it is never sure."""
    pins = [one.entry.proposal for one in items if isinstance(one, PinQuestion) and one.entry.other is None]
    pairs = [one.pair for one in items if isinstance(one, PairProposal)]
    return [one for one in pins if one.confidence >= least], [one for one in pairs if one.score >= least]


def sure_from(archive: Archive) -> float:
    """How sure, 0 to 1, is sure enough to be accepted with all that are; a person's choice."""
    chosen = settings.remembered(archive, _SURE)
    return float(chosen) if chosen else SURE_AT_FIRST


def keep_sure(archive: Archive, percent: str) -> float:
    """Keep a choice of how sure is sure enough, as a person writes it: ``85`` or ``85 %``; the share, 0 to 1.

    Raises
    ------
    Misused
        Not a whole number from 1 to 100.
    """
    digits = percent.strip().removesuffix("%").strip()
    if not digits.isdecimal() or not 1 <= int(digits) <= 100:
        raise Misused(f'"{percent}" is not a number from 1 to 100. Nothing changed.')
    settings.remember(archive, _SURE, str(int(digits) / 100))
    return int(digits) / 100


@kept
def list_questions(archive: Archive) -> Sequence[Question]:
    """The questions of everything that waits."""
    return ask(list_to_sort(archive))
