"""What the record lacks, told from everything that is written down."""

from __future__ import annotations

from asfound.actions import log, settings, tag
from asfound.actions.archive import Archive
from asfound.core.log import gaps as rules
from asfound.core.log.record import BagContents, DoubtfulTime, Record, Sighting, Stage
from asfound.model.log import Gap
from asfound.model.pictures import Picture
from asfound.store import bags, pins
from asfound.store.pictures import list_pictures


def find_gaps(archive: Archive) -> list[Gap]:
    """Gaps, those that can still be mended first."""
    return archive.kept("gaps", lambda: rules.find_gaps(read_record(archive)))


def read_record(archive: Archive) -> Record:
    """Everything that the gap rules look at. Proposals are no evidence: nobody has said that they are right."""
    job_id = archive.job.job_id
    pictures = {picture.picture_id: picture for picture in list_pictures(archive.store, job_id)}
    off = log.off_times_s(archive)
    sightings = tuple(
        Sighting(pin.tag_id, pin.end, pin.picture_id, _stage(pictures[pin.picture_id], off.get(pin.tag_id)))
        for pin in pins.list_pins(archive.store, job_id)
    )
    accepted = settings.accepted_times(archive)
    return Record(
        tags=tuple(tag.list_tags(archive)),
        ends=tuple(end for ends in tag.list_ends(archive).values() for end in ends),
        sightings=sightings,
        events=tuple(log.list_events(archive)),
        bags=tuple(
            BagContents(bag.label, bag.contents, bag.count_out, bag.count_back, bag.note)
            for bag in bags.list_bags(archive.store, job_id)
        ),
        doubtful_times=tuple(
            DoubtfulTime(picture.file, str(picture.time_doubt), picture.picture_id)
            for picture in pictures.values()
            if picture.time_doubt is not None and picture.picture_id not in accepted
        ),
    )


def is_closable(archive: Archive, gap: Gap) -> bool:
    """Whether looking at the machine can still close a gap: the thing has not come off yet."""
    return gap.tag_id is None or gap.tag_id not in log.off_times_s(archive)


def _stage(picture: Picture, off_s: float | None) -> Stage:
    """A picture is from after removal only when both its time and the log say so."""
    return (
        "after" if off_s is not None and picture.taken_utc_s is not None and picture.taken_utc_s > off_s else "before"
    )
