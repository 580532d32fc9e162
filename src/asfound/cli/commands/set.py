"""`asfound set`: like parts under one number, each in its position: caps 1 to 5, lifters 1 to 8."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.sets import drop_members, list_members, save_members
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.core.log.sets import read_positions, set_words


@click.command(epilog=example('asfound set 50 1-8 --faced "oil hole to the front"'))
@click.argument("tag")
@click.argument("positions", default="")
@click.option("--faced", help="Which way they faced.")
@click.option("--note", help="What else to know of these positions.")
@click.option("--drop", is_flag=True, help="Take these positions out of the set.")
@json_option
def COMMAND(tag: str, positions: str, faced: str | None, note: str | None, drop: bool, as_json: bool) -> None:
    """Enter the POSITIONS of a set of like parts under one TAG (1-8, or front,rear). Without them, show the set.

    Each part goes back where it was and facing as it did, unless the service manual says otherwise.
    """
    with opened() as archive:
        mine = resolve.get_tag(archive, tag).tag
        if positions and drop:
            drop_members(archive, mine, read_positions(positions))
        elif positions:
            save_members(archive, mine, read_positions(positions), faced=faced, note=note)
        members = list_members(archive, mine)
        if as_json:
            print_json([{"position": one.position, "faced": one.faced, "note": one.note} for one in members])
        else:
            console().print(f"{mine.number}: {set_words(members) or 'no set'}")
