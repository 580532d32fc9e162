"""Off and refitted: the two events in a thing's life, and taking any step back."""

from __future__ import annotations

from datetime import datetime

from asfound.actions.archive import Archive
from asfound.errors import Misused, NothingToUndo
from asfound.model.log import HOW_REFITTED, Event
from asfound.model.tags import Tag
from asfound.store import events, pins

BACK_IN_PLACE = "back in place"


def mark_off(archive: Archive, tag: Tag, *, bag: str = "", note: str = "", at: datetime | None = None) -> Event:
    """Write down that a thing came off, and where its fasteners went.

    `bag` is a bag's label, or "back in place"; a bag not heard of before is added.
    """
    now = archive.now()
    with archive.step(f"{tag.number} off"):
        if bag and bag != BACK_IN_PLACE:
            events.save_bag(archive.store, archive.job.job_id, bag)
        events.add_event(archive.store, tag.tag_id, "off", at or now, now, bag=bag, note=note)
    return events.find_events(archive.store, tag.tag_id)[-1]


def mark_refitted(archive: Archive, tag: Tag, *, how: str = "", note: str = "", at: datetime | None = None) -> Event:
    """Write down that a thing went back, and how: by hand, tight, marked or checked.

    Saying it again with another `how` adds to the history; the latest word counts.
    """
    if how and how not in HOW_REFITTED:
        raise Misused(f'"{how}" is not a way to be refitted; say one of: {", ".join(HOW_REFITTED)}.')
    now = archive.now()
    with archive.step(f"{tag.number} refitted{f', {how}' if how else ''}"):
        events.add_event(archive.store, tag.tag_id, "refitted", at or now, now, how=how, note=note)
    return events.find_events(archive.store, tag.tag_id)[-1]


def list_events(archive: Archive) -> list[Event]:
    """The log in the order in which things happened."""
    return events.list_events(archive.store, archive.job.job_id)


def off_times_s(archive: Archive) -> dict[int, float]:
    """Tag to the moment it first came off, as Unix seconds; tags still on are left out."""
    first: dict[int, float] = {}
    for event in list_events(archive):
        if event.kind == "off":
            first.setdefault(event.tag_id, event.at.timestamp())
    return first


def undo(archive: Archive, steps: int = 1) -> list[str]:
    """Take back the latest steps and return their words, latest first.

    Raises
    ------
    NothingToUndo
        If there are fewer; nothing is taken back then.
    """
    present = archive.store.count_steps()
    if present < steps and steps > 1:
        raise NothingToUndo(
            f"Only {present} steps can be taken back, not {steps}; nothing was. See: asfound undo --list"
        )
    with archive.store.transaction():
        taken_back = [archive.store.undo(archive.now()) for _ in range(steps)]
        pins.drop_unfounded(archive.store)
    return taken_back


def steps_to_undo(archive: Archive, limit: int = 20) -> list[str]:
    """Words of what could be taken back, latest first."""
    return archive.store.steps(limit)
