"""`asfound off`: write down that something came off."""

from __future__ import annotations

from datetime import datetime

import click

from asfound.actions import log, resolve
from asfound.cli.parts import console, example, opened
from asfound.cli.times import TIME


@click.command(epilog=example('asfound off 17 --bag 4 --note "clamp rusted through"'))
@click.argument("tags", nargs=-1, required=True)
@click.option("--bag", default="", help='The bag its fasteners went to, or "back in place".')
@click.option("--note", default="")
@click.option("--at", type=TIME, help="When, if not now: 2025-10-18 14:30.")
def COMMAND(tags: tuple[str, ...], bag: str, note: str, at: datetime | None) -> None:
    """Write down that TAGS came off, and where their fasteners went."""
    with opened() as archive, archive.step(f"{', '.join(tags)} off"):
        moment = TIME.in_zone(at, archive.job.zone)
        # All are looked up before any is written down: what is printed has happened.
        for tag in [resolve.get_tag(archive, words).tag for words in tags]:
            log.mark_off(archive, tag, bag=bag, note=note, at=moment)
            where = f", fasteners: {bag if bag == log.BACK_IN_PLACE else f'bag {bag}'}" if bag else ""
            console().print(f"{tag.number} {tag.name or tag.kind} is off{where}.", markup=False)
