"""Jobs: one machine's teardown and refit."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from asfound.actions.archive import Archive
from asfound.core.codes.turning import turning_question
from asfound.errors import Misused
from asfound.model.pictures import Job
from asfound.store import jobs


def new_job(
    archive: Archive, name: str, *, zone: str = "", front_means: str = "", left_means: str = "", turning_means: str = ""
) -> Job:
    """Make a job, which later commands then mean. Without a zone, the system's own is taken.

    Raises
    ------
    Misused
        If it has no name, the zone is none, or the turning says too little; no job is made then.
    """
    name = _check_name(name)
    if question := turning_question(turning_means, front_means):
        raise Misused(f"{question} No job was made.")
    with archive.store.transaction():
        job = jobs.add_job(archive.store, name, check_zone(zone or system_zone()), archive.now())
        means = {"front_means": front_means, "left_means": left_means, "turning_means": turning_means}
        jobs.change_job(archive.store, job.job_id, **_one_line(means))
    return jobs.get_job(archive.store, job.job_id)


def change_job(archive: Archive, **words: str) -> Job:
    """Set name, zone, front_means, left_means or turning_means of the job that is meant."""
    if "zone" in words:
        check_zone(words["zone"])
    if "name" in words:
        words["name"] = _check_name(words["name"])
    if not words:
        return archive.job
    with archive.step(f"job {archive.job.name} changed"):
        jobs.change_job(archive.store, archive.job.job_id, **_one_line(words))
    return archive.job


def turning_to_ask(job: Job) -> str:
    """What must be asked back of which way the engine turns, in one line; empty when it was said, or nothing was."""
    return turning_question(job.turning_means, job.front_means)


def use_job(archive: Archive, job_id: int) -> Job:
    """Switch to a job. Later commands use it."""
    jobs.use_job(archive.store, job_id)
    return jobs.get_job(archive.store, job_id)


def list_jobs(archive: Archive) -> list[Job]:
    """All jobs, oldest first."""
    return jobs.list_jobs(archive.store)


def _one_line(words: dict[str, str]) -> dict[str, str]:
    return {field: " ".join(said.split()) for field, said in words.items()}


def _check_name(name: str) -> str:
    if not name.strip():
        raise Misused('A job needs a name, such as "Sallow, diesel out".')
    return name.strip()


def check_zone(zone: str) -> str:
    """The zone's name itself; Misused when no such zone is known."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise Misused(f'"{zone}" is not a time zone; write it like Europe/Amsterdam or UTC.') from error
    return zone


def system_zone() -> str:
    """The IANA name of the system's zone, UTC when it does not tell."""
    from asfound.media.zones import read_system_zone

    return read_system_zone() or "UTC"
