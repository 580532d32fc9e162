"""Small choices that are kept: times that a person accepted, how a terminal shows pictures."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.actions.archive import Archive
from asfound.model.pictures import Picture
from asfound.store import jobs


def accept_time(archive: Archive, picture: Picture) -> None:
    """Say that a doubtful time is right as it stands."""
    with archive.step(f"time of {picture.file} accepted"):
        jobs.accept_time(archive.store, picture.picture_id)


def accept_times(archive: Archive, some: Sequence[Picture]) -> None:
    """Say that doubtful times are right as they stand, in one step."""
    with archive.step(f"{len(some)} time{'s' if len(some) != 1 else ''} accepted"):
        for picture in some:
            accept_time(archive, picture)


def accepted_times(archive: Archive) -> set[int]:
    """Pictures whose doubtful time a person accepted."""
    return jobs.accepted_times(archive.store, archive.job.job_id)


def remembered(archive: Archive, key: str) -> str | None:
    """A choice kept earlier; None when there is none."""
    return jobs.get_setting(archive.store, f"chosen {key}")


def remember(archive: Archive, key: str, value: str) -> None:
    """Keep a choice; what is kept already is not written again."""
    if (remembered(archive, key) or "") == value:
        return
    jobs.save_setting(archive.store, f"chosen {key}", value)
