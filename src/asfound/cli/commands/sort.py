"""`asfound sort`: finish sorting what was added with --later."""

from __future__ import annotations

import click

from asfound.actions.sort import finish_pending
from asfound.cli.parts import console, example, opened, shown_progress
from asfound.cli.places import counted


@click.command(epilog=example("asfound sort"))
def COMMAND() -> None:
    """Sort new pictures into spots and pairs, and carry pins. Carries on where it was stopped."""
    with opened() as archive, shown_progress() as progress:
        report = finish_pending(archive, progress)
    console().print(
        f"{counted(report.examined, 'picture')} looked at; {counted(report.new_spots, 'new spot')}, "
        f"{counted(report.new_pairs, 'new pair')}, pins of {counted(report.carried_ends, 'tag end')} carried."
    )
