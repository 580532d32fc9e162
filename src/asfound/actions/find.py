"""From a number or words to the picture of how it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.actions.archive import Archive
from asfound.core.find.as_found import RankedSighting, Sighting, rank_as_found
from asfound.core.find.scoring import TagIndex, TagText
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag, TagEnd
from asfound.store import events, pins, tags
from asfound.store.pictures import get_picture


@dataclass(frozen=True, slots=True)
class SeenEnd:
    """A tag end on one picture.

    Attributes
    ----------
    ranked : RankedSighting
        Whether the picture is from before removal, and why it stands where it does.
    """

    picture: Picture
    pin: Pin | PinProposal
    ranked: RankedSighting


@dataclass(frozen=True, slots=True)
class FoundEnd:
    """One end of a thing that answers to what was asked.

    Attributes
    ----------
    as_found : SeenEnd or None
        The best picture from before it came off; None when there is none.
    others : tuple of SeenEnd
        The other pictures, best first, those from after removal last.
    reasons : tuple of str
        Why the thing answers.
    """

    tag: Tag
    end: TagEnd
    as_found: SeenEnd | None
    others: tuple[SeenEnd, ...]
    reasons: tuple[str, ...]
    score: float


def find_tags(archive: Archive, words: str, *, most: int = 20) -> list[FoundEnd]:
    """Ends of the things that answer to a number, a number with an end, or words; best first;
    of one thing the ends with an as-found picture first, then A before B.

    Parameters
    ----------
    words : str
        "17", "17b", "12.2", "black hose heat exchanger".
    most : int
        Things to answer with at most.
    """
    known, ends, index = archive.kept("tag index", lambda: _index(archive))
    found = []
    for answer in index.find(words, limit=most):
        wanted = [end for end in ends.get(answer.tag_id, ()) if answer.end in (None, end.end)]
        ends_found = [seen_end(archive, known[answer.tag_id], end, answer.reasons, answer.score) for end in wanted]
        # An end with a picture answers the question "how was it"; one without must not stand in its way.
        found += sorted(ends_found, key=lambda one: one.as_found is None)
    return found


def seen_end(archive: Archive, tag: Tag, end: TagEnd, reasons: tuple[str, ...] = (), score: float = 0.0) -> FoundEnd:
    """One end with its as-found picture and the other pictures it is seen on."""
    seen = _seen(archive, tag, end.end)
    before = [one for one in seen if one.ranked.is_as_found]
    best = before[0] if before else None
    return FoundEnd(tag, end, best, tuple(one for one in seen if one is not best), reasons, score)


def off_time_s(archive: Archive, tag: Tag) -> float | None:
    """When a thing first came off, as Unix seconds; None while the log does not say so."""
    times = [event.at.timestamp() for event in events.find_events(archive.store, tag.tag_id) if event.kind == "off"]
    return min(times, default=None)


def _seen(archive: Archive, tag: Tag, end: EndLetter) -> list[SeenEnd]:
    known: list[Pin | PinProposal] = [
        *pins.find_pins(archive.store, tag.tag_id, end),
        *pins.find_proposals(archive.store, tag.tag_id, end),
    ]
    by_id = {pin.picture_id: pin for pin in reversed(known)}
    shown = {picture_id: get_picture(archive.store, picture_id) for picture_id in by_id}
    ranked = rank_as_found([_sighting(pin, shown[i]) for i, pin in by_id.items()], off_time_s(archive, tag))
    return [SeenEnd(shown[one.picture_id], by_id[one.picture_id], one) for one in ranked]


def _sighting(pin: Pin | PinProposal, picture: Picture) -> Sighting:
    proposal = pin if isinstance(pin, PinProposal) else None
    return Sighting(
        picture_id=picture.picture_id,
        taken_utc_s=picture.taken_utc_s,
        x_frac=pin.x_frac,
        y_frac=pin.y_frac,
        w_frac=pin.w_frac,
        h_frac=pin.h_frac,
        source=pin.source,
        confirmed=proposal is None,
        confidence=1.0 if proposal is None else proposal.confidence,
        sharpness=picture.sharpness,
        gone=None if proposal is None else proposal.gone,
    )


def _index(archive: Archive) -> tuple[dict[int, Tag], dict[int, tuple[TagEnd, ...]], TagIndex]:
    job_id = archive.job.job_id
    known = tags.list_tags(archive.store, job_id)
    ends = tags.list_ends(archive.store, job_id)
    return {tag.tag_id: tag for tag in known}, ends, TagIndex([_text(tag, ends.get(tag.tag_id, ())) for tag in known])


def _text(tag: Tag, ends: Sequence[TagEnd]) -> TagText:
    return TagText(
        tag_id=tag.tag_id,
        number=tag.number,
        order=tag.order,
        kind=tag.kind,
        name=tag.name,
        places=tuple(end.place for end in ends),
        how_it_sat=tuple(end.how_it_sat for end in ends),
        colours=tuple(end.colour for end in ends),
        note=tag.note,
        bag=tag.bag,
        size=tag.size,
    )
