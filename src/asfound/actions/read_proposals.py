"""Proposals from what was read: each number weighed against the job, given its tag and its end, and put to the person.

Nothing here makes a tag, a pin or any other fact. A number that no tag has is shown and not proposed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from asfound.core.read.agree import NearPin, agree, is_near, pins_beside
from asfound.core.read.ends import possible_ends
from asfound.core.read.reading import Reading
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, PinProposal, Tag
from asfound.store import pins, readings, spots
from asfound.store.database import Store
from asfound.store.pictures import list_pictures
from asfound.store.tags import list_tags

SHOWN_FROM = 0.6
"""Readings less sure than this are kept, but neither shown nor proposed unless something speaks for them."""

Answer = Literal["pinned", "rejected"]
_End = tuple[int, EndLetter]
_Asked = tuple[int, EndLetter, int]


@dataclass(frozen=True, slots=True)
class FoundNumber:
    """A number read in a picture, weighed against what the job knows.

    Attributes
    ----------
    tag : Tag or None
        The one tag it can be, None when there is none or more than one.
    ends : tuple of {"A", "B"}
        The ends it may be: one when that is told, two when the person must say it, the likelier first; empty when
        there is nothing to ask.
    answer : {"pinned", "rejected"} or None
        What the person has said already of it. Only what is not answered is proposed.
    """

    picture: Picture
    reading: Reading
    tag: Tag | None = None
    ends: tuple[EndLetter, ...] = ()
    answer: Answer | None = None

    @property
    def end(self) -> EndLetter | None:
        """The end it is taken for; None when that is not told."""
        return self.ends[0] if len(self.ends) == 1 else None

    @property
    def is_proposed(self) -> bool:
        """Whether it waits for a word as a proposal."""
        return self.tag is not None and bool(self.ends) and self.answer is None


def weigh_readings(store: Store, job_id: int) -> list[FoundNumber]:
    """Weigh all that was read in the job anew, and make the proposals that follow from it; those before are replaced.

    It is done after every step of the person (`Archive.step`): what a reading may be hangs on pins, numbers and places.

    Returns
    -------
    list of FoundNumber
        Everything worth showing, by picture in order of time, surest first.
    """
    found = _with_ends(store, job_id, _weigh_all(store, job_id))
    _save(store, job_id, found)
    return found


def _weigh_all(store: Store, job_id: int) -> list[FoundNumber]:
    tags = list_tags(store, job_id)
    by_number: dict[str, list[Tag]] = defaultdict(list)
    for tag in tags:
        by_number[tag.number].append(tag)
    beside = _near_pins(store, job_id, tags)
    read = readings.load_readings(store, job_id)
    found: list[FoundNumber] = []
    for picture in list_pictures(store, job_id):
        if picture.picture_id not in read:
            continue
        aspect = picture.width_px / picture.height_px
        near = beside.get(picture.picture_id, [])
        for reading in agree(read[picture.picture_id], by_number, near, aspect=aspect):
            if reading.confidence >= SHOWN_FROM:
                same = by_number.get(reading.number, [])
                found.append(_named(picture, reading, same, pins_beside(reading, near, aspect)))
    return found


def _near_pins(store: Store, job_id: int, tags: Iterable[Tag]) -> dict[int, list[NearPin]]:
    """Picture to what is pinned on it or carried to it. Where a joint seems to be bare its tape is elsewhere."""
    number = {tag.tag_id: tag.number for tag in tags}
    near: dict[int, list[NearPin]] = defaultdict(list)
    for pin in pins.list_pins(store, job_id):
        near[pin.picture_id].append(NearPin(pin.tag_id, number[pin.tag_id], pin.end, pin.x_frac, pin.y_frac, 1.0))
    for carried in pins.list_proposals(store, job_id):
        if carried.source == "carried" and not carried.gone:
            place = (carried.x_frac, carried.y_frac, carried.confidence)
            near[carried.picture_id].append(NearPin(carried.tag_id, number[carried.tag_id], carried.end, *place))
    return near


def _named(picture: Picture, reading: Reading, same: list[Tag], beside: list[NearPin]) -> FoundNumber:
    """The reading with its tag; where several things have the number, the pin beside it tells which."""
    if len(same) > 1:
        told = {pin.tag_id for pin in beside} & {tag.tag_id for tag in same}
        same = [tag for tag in same if tag.tag_id in told] if len(told) == 1 else same
    if len(same) > 1:
        return FoundNumber(picture, _doubted(reading, f"number {reading.number} is on {len(same)} things"))
    return FoundNumber(picture, reading, same[0] if same else None)


def _with_ends(store: Store, job_id: int, found: list[FoundNumber]) -> list[FoundNumber]:
    """The ends as the markers and pins tell them, else as the places do; those that were refused there are left out."""
    spot_of = spots.load_membership(store, job_id)
    pinned: dict[int, dict[int, set[EndLetter]]] = defaultdict(lambda: defaultdict(set))
    answers: dict[_Asked, Answer] = dict.fromkeys(pins.list_rejections(store, job_id), "rejected")
    read = {(each.tag.tag_id, each.picture.picture_id) for each in found if each.tag is not None}
    refused: dict[tuple[int, int], set[EndLetter]] = defaultdict(set)
    for tag_id, end, picture_id in answers:
        if (tag_id, picture_id) in read:
            refused[tag_id, _place(spot_of, picture_id)].add(end)
    for pin in pins.list_pins(store, job_id):
        pinned[pin.tag_id][_place(spot_of, pin.picture_id)].add(pin.end)
        answers[pin.tag_id, pin.end, pin.picture_id] = "pinned"
    settled = []
    for each in found:
        tag = each.tag
        if tag is not None:
            place = _place(spot_of, each.picture.picture_id)
            each = _with_possible(each, tag, possible_ends(tag.ends, pinned[tag.tag_id], place))
            each = _with_answer(each, tag, answers, refused[tag.tag_id, place])
        settled.append(each)
    return settled


def _place(spot_of: Mapping[int, int], picture_id: int) -> int:
    """A picture's spot; one that is in none is a place of its own."""
    return spot_of.get(picture_id, -picture_id)


def _with_possible(found: FoundNumber, tag: Tag, possible: tuple[EndLetter, ...]) -> FoundNumber:
    reading = found.reading
    if reading.end is not None:
        if reading.end == "B" and tag.ends == 1:
            return replace(found, reading=_doubted(reading, f"{tag.number} has one end"))
        return replace(found, ends=(reading.end,))
    if len(possible) == 2:
        reading = _doubted(reading, "you say which end it is")
    elif not possible:
        reading = _doubted(reading, "both ends are pinned already")
    return replace(found, reading=reading, ends=possible)


def _with_answer(
    found: FoundNumber, tag: Tag, answers: Mapping[_Asked, Answer], refused: Collection[EndLetter]
) -> FoundNumber:
    """What was said already. Read once more in another picture of the place, a number that was refused stays so."""
    if found.end is not None:
        said = answers.get((tag.tag_id, found.end, found.picture.picture_id))
        return replace(found, answer=said or ("rejected" if found.end in refused else None))
    left = tuple(end for end in found.ends if end not in refused)
    return replace(found, answer="rejected") if found.ends and not left else replace(found, ends=left)


def _doubted(reading: Reading, why: str) -> Reading:
    return replace(reading, doubt="; ".join(filter(None, (reading.doubt, why))))


def _save(store: Store, job_id: int, found: list[FoundNumber]) -> None:
    """Replace the job's read proposals where they changed; the store leaves out what a person has pinned or refused."""
    present = pins.list_proposals(store, job_id)
    carried = {(p.tag_id, p.end, p.picture_id): p for p in present if p.source == "carried"}
    before: dict[_End, dict[int, PinProposal]] = defaultdict(dict)
    for proposal in present:
        if proposal.source == "read":
            before[proposal.tag_id, proposal.end][proposal.picture_id] = proposal
    after: dict[_End, dict[int, PinProposal]] = defaultdict(dict)
    # The surest last: a number is often written twice on one flag, and a picture gets one proposal of each end.
    for each in sorted(found, key=lambda each: each.reading.confidence):
        for proposal in _proposals(each):
            one = _beside_carried(each, proposal, carried.get((proposal.tag_id, proposal.end, proposal.picture_id)))
            if one is not None:
                after[one.tag_id, one.end][one.picture_id] = one
    changed = [key for key in before.keys() | after.keys() if before[key] != after[key]]
    if changed:
        with store.transaction():
            for tag_id, end in changed:
                pins.replace_proposals(store, tag_id, end, "read", after[tag_id, end].values())


def _proposals(found: FoundNumber) -> Iterator[PinProposal]:
    """One proposal of each end that it may be; they share the confidence."""
    if found.tag is None or not found.is_proposed:
        return
    reading = found.reading
    for end in found.ends:
        yield PinProposal(
            tag_id=found.tag.tag_id,
            end=end,
            picture_id=found.picture.picture_id,
            x_frac=reading.x_frac,
            y_frac=reading.y_frac,
            w_frac=reading.w_frac,
            h_frac=reading.h_frac,
            source="read",
            confidence=round(reading.confidence / len(found.ends), 4),
            how=reading.how,
            gone=None,
        )


def _beside_carried(found: FoundNumber, read: PinProposal, carried: PinProposal | None) -> PinProposal | None:
    """The reading beside what was carried to the same picture: one question, never two.

    Where they lie together the pin stays at its joint and is surer by the number on its flag. Where they lie apart the
    surer one is asked.
    """
    if carried is None:
        return read
    aspect = found.picture.width_px / found.picture.height_px
    sure = max(read.confidence, carried.confidence)
    if is_near(read.x_frac, read.y_frac, carried.x_frac, carried.y_frac, aspect):
        return replace(carried, source="read", confidence=sure, how=read.how)
    return read if read.confidence > carried.confidence else None
