"""`asfound job`: start, list and choose jobs."""

from __future__ import annotations

import click

from asfound.actions import job as actions
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.core.codes.facing import NOT_SAID, list_meanings, meanings_line
from asfound.core.codes.turning import turning_note
from asfound.model.pictures import Job

_FRONT = 'What "front" means on this machine.'
_LEFT = 'What "left" means on this machine.'
_TURNING = 'Which way the engine turns, and seen from which end: "clockwise seen from the belt end".'


@click.group(epilog=example('asfound job new "Sallow, diesel out" --zone Europe/Amsterdam'))
def COMMAND() -> None:
    """Start a job, list jobs, choose one."""


@COMMAND.command("new", epilog=example('asfound job new "Sallow, diesel out" --left "port, looking forward"'))
@click.argument("name")
@click.option(
    "--zone", default="", help="Time zone of the cameras, such as Europe/Amsterdam; otherwise this computer's."
)
@click.option("--front", default="", help=_FRONT)
@click.option("--left", default="", help=_LEFT)
@click.option("--turning", default="", help=_TURNING)
def new(name: str, zone: str, front: str, left: str, turning: str) -> int:
    """Start a job, and the archive if there is none yet."""
    with opened(create=True) as archive:
        job = actions.new_job(archive, name, zone=zone, front_means=front, left_means=left, turning_means=turning)
        console().print(f"Job {job.job_id}: {job.name}, times in {job.zone}")
        console().print(f"Archive: {archive.folder}", soft_wrap=True)
        return _tell_meanings(job)


@COMMAND.command("list", epilog=example("asfound job list"))
@json_option
def list_(as_json: bool) -> None:
    """List the archive's jobs; the one in use is marked."""
    with opened() as archive:
        jobs = actions.list_jobs(archive)
        current = archive.job.job_id if jobs else None
        if as_json:
            print_json([_document(job, is_used=job.job_id == current) for job in jobs])
            return
        for job in jobs:
            mark = "in use" if job.job_id == current else ""
            console().print(f"{job.job_id:>3}  {job.name}  [{job.zone}]  {mark}".rstrip(), markup=False)
            console().print(f"     {meanings_line(job)}", markup=False, style="dim")


@COMMAND.command("use", epilog=example("asfound job use 2"))
@click.argument("job_id", type=click.IntRange(1, 999_999_999))
def use(job_id: int) -> None:
    """Switch to a job. Later commands use it."""
    with opened() as archive:
        console().print(f"Now on: {actions.use_job(archive, job_id).name}", markup=False)


@COMMAND.command("set", epilog=example('asfound job set --front "belt end, facing the bow"'))
@click.option("--name")
@click.option("--zone")
@click.option("--front", "front_means", help=_FRONT)
@click.option("--left", "left_means", help=_LEFT)
@click.option("--turning", "turning_means", help=_TURNING)
def set_(**words: str | None) -> int:
    """Change or show name, zone, and what front, left and turning mean."""
    with opened() as archive:
        job = actions.change_job(archive, **{name: word for name, word in words.items() if word is not None})
        console().print(f"{job.name}, times in {job.zone}", markup=False)
        return _tell_meanings(job)


def _tell_meanings(job: Job) -> int:
    """What front, left and turning mean; asks back for a turning that does not say enough, which is status 1."""
    meanings = list_meanings(job)
    for lead, words in meanings:
        console().print(f"  {lead:<7}  {words or NOT_SAID}", markup=False)
    if lacking := [f'--{lead} "..."' for lead, words in meanings if not words]:
        console().print(f"  Say it once: asfound job set {' '.join(lacking)}", markup=False, style="dim")
    if note := turning_note(job.turning_means, job.front_means):
        console().print(f"           {note}", markup=False, style="dim")
    question = actions.turning_to_ask(job)
    if question:
        errors().print(question, markup=False)
    return 1 if question else 0


def _document(job: Job, *, is_used: bool) -> dict[str, object]:
    means = {"front": job.front_means, "left": job.left_means, "turning": job.turning_means}
    return {"job": job.job_id, "name": job.name, "zone": job.zone, "used": is_used, **means}
