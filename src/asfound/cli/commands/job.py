"""`asfound job`: start, list and choose jobs."""

from __future__ import annotations

import click

from asfound.actions import job as actions
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.group(epilog=example('asfound job new "Sallow, diesel out" --zone Europe/Amsterdam'))
def COMMAND() -> None:
    """Start a job, list jobs, choose one."""


@COMMAND.command("new", epilog=example('asfound job new "Sallow, diesel out" --left "port, looking forward"'))
@click.argument("name")
@click.option(
    "--zone", default="", help="Time zone of the cameras, such as Europe/Amsterdam; otherwise this computer's."
)
@click.option("--front", default="", help='What "front" means on this machine.')
@click.option("--left", default="", help='What "left" means on this machine.')
def new(name: str, zone: str, front: str, left: str) -> None:
    """Start a job, and the archive if there is none yet."""
    with opened(create=True) as archive:
        job = actions.new_job(archive, name, zone=zone, front_means=front, left_means=left)
        console().print(f"Job {job.job_id}: {job.name}, times in {job.zone}")
        console().print(f"Archive: {archive.folder}", soft_wrap=True)


@COMMAND.command("list", epilog=example("asfound job list"))
@json_option
def list_(as_json: bool) -> None:
    """List the archive's jobs; the one in use is marked."""
    with opened() as archive:
        jobs = actions.list_jobs(archive)
        current = archive.job.job_id if jobs else None
        if as_json:
            print_json([{"job": j.job_id, "name": j.name, "zone": j.zone, "used": j.job_id == current} for j in jobs])
            return
        for job in jobs:
            mark = "in use" if job.job_id == current else ""
            console().print(f"{job.job_id:>3}  {job.name}  [{job.zone}]  {mark}".rstrip(), markup=False)


@COMMAND.command("use", epilog=example("asfound job use 2"))
@click.argument("job_id", type=click.IntRange(1, 999_999_999))
def use(job_id: int) -> None:
    """Make a job the one that later commands mean."""
    with opened() as archive:
        console().print(f"Now on: {actions.use_job(archive, job_id).name}", markup=False)


@COMMAND.command("set", epilog=example('asfound job set --front "belt end, facing the bow"'))
@click.option("--name")
@click.option("--zone")
@click.option("--front", "front_means", help='What "front" means on this machine.')
@click.option("--left", "left_means", help='What "left" means on this machine.')
def set_(**words: str | None) -> None:
    """Change the name, zone, or what front and left mean."""
    with opened() as archive:
        job = actions.change_job(archive, **{name: word for name, word in words.items() if word is not None})
        front, left = job.front_means or "not said", job.left_means or "not said"
        said = f"{job.name}, times in {job.zone}; front: {front}; left: {left}"
        console().print(said, markup=False)
