"""`asfound rebuild`: work everything out again from the originals."""

from __future__ import annotations

import click

from asfound.actions import sort
from asfound.cli.parts import console, example, opened, shown_progress
from asfound.cli.places import counted


@click.command(epilog=example("asfound rebuild"))
def COMMAND() -> None:
    """Work spots, pairs and carried pins out again; what you entered stays as it is."""
    with opened() as archive, shown_progress() as progress:
        report = sort.rebuild(archive, progress)
    ends = counted(report.carried_ends, "tag end")
    console().print(f"{counted(report.examined, 'picture')} looked at again; pins of {ends} carried.")
