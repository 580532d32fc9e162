"""One end of a thing with the pictures and clips that show it, the as-found picture first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.actions.archive import Archive
from asfound.core.find.as_found import RankedSighting, Sighting, rank_as_found
from asfound.core.find.in_clips import FrameSighting, InClip, find_in_clips
from asfound.core.log.first_off import first_off_s
from asfound.model.pictures import Clip, Picture
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag, TagEnd
from asfound.store import events, pins
from asfound.store.pictures import get_clip, get_picture


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
class SeenInClip:
    """A tag end in a clip: from when to when, where best, and when it came off in it."""

    clip: Clip
    shown: InClip


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
    clips : tuple of SeenInClip
        Clips in which it can be seen, those from before it came off first.
    """

    tag: Tag
    end: TagEnd
    as_found: SeenEnd | None
    others: tuple[SeenEnd, ...]
    reasons: tuple[str, ...]
    score: float
    clips: tuple[SeenInClip, ...] = ()


def seen_end(archive: Archive, tag: Tag, end: TagEnd, reasons: tuple[str, ...] = (), score: float = 0.0) -> FoundEnd:
    """One end with its as-found picture and the other pictures it is seen on."""
    seen = _seen(archive, tag, end.end)
    before = [one for one in seen if one.ranked.is_as_found]
    best = before[0] if before else None
    others = tuple(one for one in seen if one is not best)
    return FoundEnd(tag, end, best, others, reasons, score, _in_clips(archive, tag, seen))


def off_time_s(archive: Archive, tag: Tag) -> float | None:
    """When a thing first came off, as Unix seconds; None while the log does not say so."""
    return first_off_s(events.find_events(archive.store, tag.tag_id)).get(tag.tag_id)


def _in_clips(archive: Archive, tag: Tag, seen: Sequence[SeenEnd]) -> tuple[SeenInClip, ...]:
    """What the clips show, by the pins and proposals on their frames; as found before after removal."""
    frames = [one for one in seen if one.picture.clip_id is not None and one.picture.clip_seconds is not None]
    clips = {clip_id: get_clip(archive.store, clip_id) for one in frames if (clip_id := one.picture.clip_id)}
    off = off_time_s(archive, tag) if clips else None
    starts = {clip_id: clip.taken_utc_s for clip_id, clip in clips.items()}
    off_s = {clip_id: off - start for clip_id, start in starts.items() if off is not None and start is not None}
    shown = find_in_clips(map(_frame_sighting, frames), off_s)
    return tuple(SeenInClip(clips[one.clip_id], one) for one in shown)


def _frame_sighting(seen: SeenEnd) -> FrameSighting:
    picture, pin = seen.picture, seen.pin
    assert picture.clip_id is not None, "only frames are asked about"
    assert picture.clip_seconds is not None, "a frame knows its moment"
    proposal = pin if isinstance(pin, PinProposal) else None
    return FrameSighting(
        clip_id=picture.clip_id,
        picture_id=picture.picture_id,
        seconds=picture.clip_seconds,
        x_frac=pin.x_frac,
        y_frac=pin.y_frac,
        confidence=1.0 if proposal is None else proposal.confidence,
        sharpness=picture.sharpness,
        gone=None if proposal is None else proposal.gone,
    )


def _seen(archive: Archive, tag: Tag, end: EndLetter) -> list[SeenEnd]:
    known: list[Pin | PinProposal] = [
        *pins.find_pins(archive.store, tag.tag_id, end),
        *pins.find_proposals(archive.store, tag.tag_id, end),
    ]
    by_id = {pin.picture_id: pin for pin in reversed(known)}
    shown = {picture_id: get_picture(archive.store, picture_id) for picture_id in by_id}
    scales = pins.find_scales(archive.store, tag.tag_id, end)
    sightings = [_sighting(pin, shown[i], scales.get(i)) for i, pin in by_id.items()]
    ranked = rank_as_found(sightings, off_time_s(archive, tag))
    return [SeenEnd(shown[one.picture_id], by_id[one.picture_id], one) for one in ranked]


def _sighting(pin: Pin | PinProposal, picture: Picture, scale: float | None) -> Sighting:
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
        scale=scale,
        gone=None if proposal is None else proposal.gone,
    )
