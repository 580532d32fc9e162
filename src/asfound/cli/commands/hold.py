"""`asfound hold`: what is open before lift out, lift in or first start, as far as the record knows."""

from __future__ import annotations

import click

from asfound.actions.fit import pass_hold
from asfound.actions.hold_list import read_hold
from asfound.cli.json_documents import moment
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.core.refit.steps import HoldPoint

_HOLDS = {hold.name.lower().replace("_", "-"): hold for hold in HoldPoint}


@click.command(epilog=example('asfound hold lift-in --looked --by "yard engineer"'))
@click.argument("hold", type=click.Choice(list(_HOLDS)))
@click.option("--looked", is_flag=True, help="Write down that everything was looked at.")
@click.option("--by", "by_whom", default="", help="Who looked.")
@at_option
@json_option
def COMMAND(hold: str, looked: bool, by_whom: str, at: str | None, as_json: bool) -> None:
    """List what the record knows to be open at a HOLD: lift-out, lift-in or first-start.

    Before lift out it is every tag that is not off and has one end on the engine's side and one that stays behind. A
    tag is listed too while nobody has said on which side an end is: look at it. It leaves the list only when you say
    so. An empty list says only that nothing is known to be open.
    """
    point = _HOLDS[hold]
    with opened() as archive:
        if looked:
            moment_said, is_day_only = said_moment(archive, at)
            pass_hold(archive, point, by_whom, moment_said, is_day_only=is_day_only)
        listed = read_hold(archive, point)
        if as_json:
            print_json(
                {
                    "hold": str(point),
                    "looked_at": moment(listed.looked_at),
                    "by": listed.by_whom,
                    "open": [{"why": line.why, "sure": line.is_sure, "bag": line.bag} for line in listed.lines],
                    "words": listed.words,
                }
            )
            return
        out = console()
        out.print(f"Hold {point}", style="bold")
        for line in listed.lines:
            out.print(f"  [ ] {line.why}")
        if not listed.lines:
            out.print("  Nothing is known to be open.")
        if listed.looked:
            out.print(f"  Looked at on {listed.looked}.")
        for caution in listed.cautions:
            out.print(f"  {caution}")
        out.print(f"  {listed.words}")
