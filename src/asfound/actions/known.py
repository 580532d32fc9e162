"""What is asked of a job again and again: its pictures, tags, spots and pins, read once until something is written."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Literal

from asfound.actions.archive import Archive, kept
from asfound.model.log import Event
from asfound.model.pictures import Clip, Picture, Spot
from asfound.model.tags import Pin, Tag
from asfound.store import events, pins, spots, tags
from asfound.store.pictures import list_clips, list_pictures

State = Literal["", "off", "refitted"]
"""Where a thing is in its life: not yet off, off, or back."""


@kept
def known_pictures(archive: Archive) -> Mapping[int, Picture]:
    """Every picture of the job by its id, oldest first."""
    return {picture.picture_id: picture for picture in list_pictures(archive.store, archive.job.job_id)}


@kept
def known_clips(archive: Archive) -> Sequence[Clip]:
    """Every clip of the job, oldest first."""
    return list_clips(archive.store, archive.job.job_id)


@kept
def known_tags(archive: Archive) -> Mapping[int, Tag]:
    """Every thing of the job by its hidden identity, in the order in which they were entered."""
    return {tag.tag_id: tag for tag in tags.list_tags(archive.store, archive.job.job_id)}


@kept
def known_spots(archive: Archive) -> Mapping[int, Spot]:
    """Every spot by its id, in the order of their first picture."""
    return {spot.spot_id: spot for spot in spots.list_spots(archive.store, archive.job.job_id)}


@kept
def spot_of(archive: Archive) -> Mapping[int, int]:
    """Picture to the spot it is in; those in none are left out."""
    return spots.load_membership(archive.store, archive.job.job_id)


@kept
def seen_afar(archive: Archive) -> Mapping[int, Sequence[int]]:
    """Overview picture to the spots that it shows from afar."""
    return spots.load_seen_afar(archive.store, archive.job.job_id)


@kept
def pins_by_tag(archive: Archive) -> Mapping[int, Sequence[Pin]]:
    """Thing to its pins; those without any are left out."""
    found: dict[int, list[Pin]] = defaultdict(list)
    for pin in pins.list_pins(archive.store, archive.job.job_id):
        found[pin.tag_id].append(pin)
    return dict(found)


@kept
def states(archive: Archive) -> Mapping[int, State]:
    """Thing to where it is in its life by the log; those of which the log says nothing are left out."""
    return {tag_id: event.kind for tag_id, event in last_events(archive).items()}


@kept
def last_events(archive: Archive) -> Mapping[int, Event]:
    """Thing to the last line that says where it is; those of which the log says nothing are left out."""
    return {event.tag_id: event for event in events.list_events(archive.store, archive.job.job_id)}


def spot_name(archive: Archive, spot_id: int | None) -> str:
    """What a spot is called; empty for one without a name, and for none."""
    spot = known_spots(archive).get(spot_id) if spot_id is not None else None
    return spot.name if spot is not None else ""
