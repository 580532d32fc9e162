"""`asfound in`: write down that the engine came in."""

from __future__ import annotations

import click

from asfound.actions.lift import lift_oddity, write_lift
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.core.codes.cautions import cautions_of
from asfound.core.refit.steps import Lift


@click.command(epilog=example('asfound in --at "2025-11-01 15:00" --by "crane operator"'))
@click.option("--by", "by_whom", default="", help="Who lifted.")
@click.option("--note", default="", help="Rigging, angle, weight, what else to know.")
@at_option
@json_option
def COMMAND(by_whom: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that the engine went back in.

    What comes off from now on counts as taken off in the machine, and goes back after the lift in.
    """
    with opened() as archive:
        moment, is_day_only = said_moment(archive, at)
        odd = lift_oddity(archive, Lift.IN)
        line = write_lift(archive, Lift.IN, by_whom=by_whom, note=note, at=moment, is_day_only=is_day_only)
        (listed,) = as_listed(archive, [line])
        if as_json:
            print_json(line_document(listed))
        else:
            print_lines([listed], archive.job.zone)
            for caution in cautions_of(Lift.IN):
                console().print(caution.text)
        if odd:
            errors().print(odd)
