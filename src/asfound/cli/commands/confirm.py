"""`asfound confirm`: make a carried or read proposal a fact."""

from __future__ import annotations

from math import isnan

import click

from asfound.actions import resolve
from asfound.actions.pin import confirm_all, confirm_proposal
from asfound.cli.parts import console, example, opened
from asfound.cli.places import counted, end_label
from asfound.errors import NotFound


@click.command(epilog=example("asfound confirm 2b P2_0019.jpg"))
@click.argument("tag")
@click.argument("picture", required=False)
@click.option("--sure", type=click.FloatRange(0, 1), help="Confirm all proposals at least this sure, such as 0.8.")
def COMMAND(tag: str, picture: str | None, sure: float | None) -> None:
    """Confirm the proposed pin of TAG's end on PICTURE, or all that are --sure enough."""
    with opened() as archive:
        ref = resolve.get_tag(archive, tag)
        label = end_label(ref.tag, ref.end_or_default())
        if picture is None and (sure is None or isnan(sure)):
            raise click.UsageError("Name a picture, or say how sure: --sure 0.8")
        if picture is None:
            made = confirm_all(archive, ref.tag, ref.end_or_default(), sure or 0.0)
            if not made:
                raise NotFound(f"No proposal is that sure for {label}. See what is proposed with: asfound pins {label}")
            console().print(f"{label} is confirmed on {counted(len(made), 'picture')}.")
            return
        shown = resolve.get_picture(archive, picture)
        confirm_proposal(archive, ref.tag, ref.end_or_default(), shown)
        console().print(f"{label} is confirmed on {shown.file}.")
