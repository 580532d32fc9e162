"""`asfound bled`: write down that the air was let out of a fluid's circuit."""

from __future__ import annotations

import click

from asfound.actions.fluids import FluidWords, fluid_oddity, write_fluid
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import errors, example, json_option, opened, print_json
from asfound.model.log import BLED


@click.command(epilog=example('asfound bled coolant --by "yard engineer"'))
@click.argument("what")
@click.option("--by", "by_whom", default="", help="Who did it.")
@click.option("--note", default="", help="Where, and how much came out.")
@at_option
@json_option
def COMMAND(what: str, by_whom: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that the circuit of WHAT was bled as the service manual says. After each filling it is asked again."""
    with opened() as archive:
        moment, is_day_only = said_moment(archive, at)
        odd = fluid_oddity(archive, what)
        said = FluidWords(what, by_whom=by_whom, note=note)
        listed = as_listed(archive, [write_fluid(archive, BLED, said, at=moment, is_day_only=is_day_only)])
        if as_json:
            print_json(line_document(listed[0]))
        else:
            print_lines(listed, archive.job.zone)
        if odd:
            errors().print(odd)
