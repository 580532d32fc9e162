"""Small choices that are kept: times that a person accepted, how a terminal shows pictures."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.model.pictures import Picture
from asfound.store import jobs


def accept_time(archive: Archive, picture: Picture) -> None:
    """Say that a doubtful time is right as it stands."""
    with archive.step(f"time of {picture.file} accepted"):
        jobs.accept_time(archive.store, picture.picture_id)


def accepted_times(archive: Archive) -> set[int]:
    """Pictures whose doubtful time a person accepted."""
    return jobs.accepted_times(archive.store, archive.job.job_id)


def remembered(archive: Archive, key: str) -> str | None:
    """A choice kept earlier; None when there is none."""
    return jobs.get_setting(archive.store, f"chosen {key}")


def remember(archive: Archive, key: str, value: str) -> None:
    """Keep a choice."""
    jobs.save_setting(archive.store, f"chosen {key}", value)
