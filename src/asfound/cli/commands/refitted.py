"""`asfound refitted`: write down that something went back, and how."""

from __future__ import annotations

from datetime import datetime

import click

from asfound.actions import log, resolve
from asfound.cli.parts import console, example, opened
from asfound.cli.times import TIME
from asfound.model.log import HOW_REFITTED


@click.command(epilog=example('asfound refitted 17 --how "by hand"'))
@click.argument("tags", nargs=-1, required=True)
@click.option("--how", type=click.Choice(HOW_REFITTED), help="Fitted is not tight: say which. The latest word counts.")
@click.option("--note", default="")
@click.option("--at", type=TIME, help="When, if not now: 2026-04-26 14:30.")
def COMMAND(tags: tuple[str, ...], how: str | None, note: str, at: datetime | None) -> None:
    """Write down that TAGS went back, and how they sit now."""
    with opened() as archive, archive.step(f"{', '.join(tags)} refitted"):
        moment = TIME.in_zone(at, archive.job.zone)
        # All are looked up before any is written down: what is printed has happened.
        for tag in [resolve.get_tag(archive, words).tag for words in tags]:
            log.mark_refitted(archive, tag, how=how or "", note=note, at=moment)
            console().print(
                f"{tag.number} {tag.name or tag.kind} is refitted{f', {how}' if how else ''}.", markup=False
            )
