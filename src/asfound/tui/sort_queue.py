"""The sort queue as it is asked: pins of one picture together, doubtful times of one kind together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.model.pictures import Pair, Picture
from asfound.model.tags import PinProposal
from asfound.tui.pins import ProposalEntry
from asfound.tui.sort_items import BurstProposal, PairProposal, PinQuestion, SortItem, SpotProposal, TimeQuestion
from asfound.tui.words import count


@dataclass(frozen=True, slots=True)
class PinsQuestion:
    """The pins proposed on one picture; one answer does for all of them."""

    picture: Picture
    entries: tuple[ProposalEntry, ...]


@dataclass(frozen=True, slots=True)
class TimesQuestion:
    """Pictures whose times are doubtful for the same reason."""

    pictures: tuple[Picture, ...]
    why: str


SheetQuestion = BurstProposal | SpotProposal | TimesQuestion
"""What is asked over a sheet of pictures; the others are asked over one picture or two."""
Question = SheetQuestion | PairProposal | PinsQuestion


def ask(items: Sequence[SortItem]) -> list[Question]:
    """The questions of a queue: bursts, spots, pairs, pins by picture in order of time, times by reason."""
    pins: dict[int, list[PinQuestion]] = {}
    times: dict[str, list[Picture]] = {}
    asked: list[Question] = []
    for item in items:
        if isinstance(item, PinQuestion):
            pins.setdefault(item.picture.picture_id, []).append(item)
        elif isinstance(item, TimeQuestion):
            times.setdefault(item.why, []).append(item.picture)
        else:
            asked.append(item)
    by_picture = [PinsQuestion(some[0].picture, tuple(one.entry for one in some)) for some in pins.values()]
    by_picture.sort(key=_by_time)
    asked += by_picture
    return [*asked, *(TimesQuestion(tuple(pictures), why) for why, pictures in times.items())]


def key_of(question: Question) -> tuple[object, ...]:
    """What makes a question the same one after the queue was read anew."""
    if isinstance(question, SpotProposal):
        return ("spot", question.spot.spot_id)
    if isinstance(question, BurstProposal):
        return ("burst", *sorted(question.picture_ids))
    if isinstance(question, PairProposal):
        return ("pair", question.pair.before_id, question.pair.after_id)
    if isinstance(question, PinsQuestion):
        return ("pins", question.picture.picture_id)
    return ("times", question.why)


def sheet_ids(question: SheetQuestion) -> tuple[int, ...]:
    """The pictures that a question is about."""
    if isinstance(question, TimesQuestion):
        return tuple(picture.picture_id for picture in question.pictures)
    return question.picture_ids


def bursts_of(items: Sequence[SortItem]) -> list[tuple[int, ...]]:
    """Every burst that waits."""
    return [item.picture_ids for item in items if isinstance(item, BurstProposal)]


def sure_ones(items: Sequence[SortItem], least: float) -> tuple[list[PinProposal], list[Pair]]:
    """The pins and pairs of which the machine is at least so sure, 0 to 1."""
    pins = [one.entry.proposal for one in items if isinstance(one, PinQuestion)]
    pairs = [one.pair for one in items if isinstance(one, PairProposal)]
    return [one for one in pins if one.confidence >= least], [one for one in pairs if one.score >= least]


def left_words(items: Sequence[SortItem], left: int) -> str:
    """What is left, in words: ``5 left (2 spots, 9 pins)``."""
    kinds = (
        (BurstProposal, "burst"),
        (SpotProposal, "spot"),
        (PairProposal, "pair"),
        (PinQuestion, "pin"),
        (TimeQuestion, "time"),
    )
    parts = [count(sum(isinstance(item, kind) for item in items), name) for kind, name in kinds]
    return f"{left} left ({', '.join(part for part in parts if not part.startswith('no '))})"


def _by_time(question: PinsQuestion) -> tuple[bool, float, int]:
    picture = question.picture
    return picture.taken_utc_s is None, picture.taken_utc_s or 0.0, picture.picture_id
