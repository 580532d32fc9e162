"""Proposals from what was read: each number weighed against the job, given its tag and its end, and put to the person.

Nothing here makes a tag, a pin or any other fact. A number that no tag has is shown and not proposed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from asfound.actions.archive import Archive
from asfound.core.read.agree import NearPin, agree, pins_beside
from asfound.core.read.ends import ends_by_spot
from asfound.core.read.reading import Reading
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, PinProposal, Tag
from asfound.store import pins, readings, spots
from asfound.store.pictures import list_pictures
from asfound.store.tags import list_tags

SHOWN_FROM = 0.6
"""Readings less sure than this are kept, but neither shown nor proposed unless something speaks for them."""

END_GUESSED = 0.8
"""What is left of the confidence where the end is a guess from the place alone."""

Answer = Literal["pinned", "rejected"]


@dataclass(frozen=True, slots=True)
class FoundNumber:
    """A number read in a picture, weighed against what the job knows.

    Attributes
    ----------
    tag : Tag or None
        The one tag it can be, None when there is none or more than one.
    end : {"A", "B"} or None
        The end it is taken for; None when that cannot be told.
    answer : {"pinned", "rejected"} or None
        What the person has said already of this end on this picture. Only what is not answered is proposed.
    """

    picture: Picture
    reading: Reading
    tag: Tag | None = None
    end: EndLetter | None = None
    answer: Answer | None = None

    @property
    def is_proposed(self) -> bool:
        """Whether it waits for a word as a proposal."""
        return self.tag is not None and self.end is not None and self.answer is None


def propose_read(archive: Archive) -> list[FoundNumber]:
    """Weigh all that was read in the job anew, and make the proposals that follow from it; those before are replaced.

    Returns
    -------
    list of FoundNumber
        Everything worth showing, by picture in order of time, surest first.
    """
    found = _with_answers(archive, _with_ends(archive, _weigh_all(archive)))
    _save(archive, found)
    return found


def _weigh_all(archive: Archive) -> list[FoundNumber]:
    job_id = archive.job.job_id
    tags = list_tags(archive.store, job_id)
    by_number: dict[str, list[Tag]] = defaultdict(list)
    for tag in tags:
        by_number[tag.number].append(tag)
    beside = _near_pins(archive, tags)
    read = readings.load_readings(archive.store, job_id)
    found: list[FoundNumber] = []
    for picture in list_pictures(archive.store, job_id):
        if picture.picture_id not in read:
            continue
        aspect = picture.width_px / picture.height_px
        near = beside.get(picture.picture_id, [])
        for reading in agree(read[picture.picture_id], by_number, near, aspect=aspect):
            if reading.confidence >= SHOWN_FROM:
                same = by_number.get(reading.number, [])
                found.append(_named(picture, reading, same, pins_beside(reading, near, aspect)))
    return found


def _near_pins(archive: Archive, tags: Iterable[Tag]) -> dict[int, list[NearPin]]:
    """Picture to what is pinned on it or carried to it. Where a joint seems to be bare its tape is elsewhere."""
    number = {tag.tag_id: tag.number for tag in tags}
    near: dict[int, list[NearPin]] = defaultdict(list)
    for pin in pins.list_pins(archive.store, archive.job.job_id):
        near[pin.picture_id].append(NearPin(pin.tag_id, number[pin.tag_id], pin.end, pin.x_frac, pin.y_frac, 1.0))
    for carried in pins.list_proposals(archive.store, archive.job.job_id):
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


def _with_ends(archive: Archive, found: list[FoundNumber]) -> list[FoundNumber]:
    """The ends as the markers and pins tell them, else as the spots do."""
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    pinned: dict[int, dict[int, set[EndLetter]]] = defaultdict(lambda: defaultdict(set))
    for pin in pins.list_pins(archive.store, archive.job.job_id):
        if pin.picture_id in spot_of:
            pinned[pin.tag_id][spot_of[pin.picture_id]].add(pin.end)
    read_in: dict[int, list[int]] = defaultdict(list)
    for each in found:
        if each.tag is not None and each.picture.picture_id in spot_of:
            read_in[each.tag.tag_id].append(spot_of[each.picture.picture_id])
    settled = []
    for each in found:
        if each.tag is not None:
            told = ends_by_spot(each.tag.ends, pinned[each.tag.tag_id], read_in[each.tag.tag_id])
            each = _with_end(each, each.tag, told.get(spot_of.get(each.picture.picture_id, 0)))
        settled.append(each)
    return settled


def _with_end(found: FoundNumber, tag: Tag, told: tuple[EndLetter, bool] | None) -> FoundNumber:
    reading = found.reading
    if reading.end is not None:
        if reading.end == "B" and tag.ends == 1:
            return replace(found, reading=_doubted(reading, f"{tag.number} has one end"))
        return replace(found, end=reading.end)
    if tag.ends == 1:
        return replace(found, end="A")
    if told is None:
        return replace(found, reading=_doubted(reading, "which end cannot be told"))
    end, certain = told
    if certain:
        return replace(found, end=end)
    lowered = replace(reading, confidence=round(reading.confidence * END_GUESSED, 3))
    return replace(found, reading=_doubted(lowered, "the end is a guess"), end=end)


def _with_answers(archive: Archive, found: list[FoundNumber]) -> list[FoundNumber]:
    answers: dict[tuple[int, EndLetter, int], Answer] = {}
    answers |= dict.fromkeys(pins.list_rejections(archive.store, archive.job.job_id), "rejected")
    placed = pins.list_pins(archive.store, archive.job.job_id)
    answers |= dict.fromkeys(((pin.tag_id, pin.end, pin.picture_id) for pin in placed), "pinned")
    return [
        replace(each, answer=answers.get((each.tag.tag_id, each.end, each.picture.picture_id)))
        if each.tag is not None and each.end is not None
        else each
        for each in found
    ]


def _doubted(reading: Reading, why: str) -> Reading:
    return replace(reading, doubt="; ".join(filter(None, (reading.doubt, why))))


def _save(archive: Archive, found: list[FoundNumber]) -> None:
    """Replace the job's read proposals; the store leaves out what a person has pinned or refused."""
    proposals: dict[tuple[int, EndLetter], dict[int, PinProposal]] = defaultdict(dict)
    # The surest last: a number is often written twice on one flag, and a picture gets one proposal of each end.
    for each in sorted(found, key=lambda each: each.reading.confidence):
        if each.tag is not None and each.end is not None:
            proposals[each.tag.tag_id, each.end][each.picture.picture_id] = _proposal(each, each.tag, each.end)
    with archive.store.transaction():
        before = pins.list_proposals(archive.store, archive.job.job_id)
        stale = {(p.tag_id, p.end) for p in before if p.source == "read"}
        for tag_id, end in stale | proposals.keys():
            pins.replace_proposals(archive.store, tag_id, end, "read", proposals.get((tag_id, end), {}).values())


def _proposal(found: FoundNumber, tag: Tag, end: EndLetter) -> PinProposal:
    return PinProposal(
        tag_id=tag.tag_id,
        end=end,
        picture_id=found.picture.picture_id,
        x_frac=found.reading.x_frac,
        y_frac=found.reading.y_frac,
        w_frac=found.reading.w_frac,
        h_frac=found.reading.h_frac,
        source="read",
        confidence=found.reading.confidence,
        how=found.reading.how,
        gone=None,
    )
