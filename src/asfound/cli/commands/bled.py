"""`asfound bled`: write down that the air was let out of a fluid's circuit."""

from __future__ import annotations

import click

from asfound.actions.fluids import FluidWords
from asfound.cli.fluid_lines import tell_fluid
from asfound.cli.moments import at_option
from asfound.cli.parts import example, json_option
from asfound.model.log import BLED


@click.command(epilog=example('asfound bled coolant --by "yard engineer"'))
@click.argument("what")
@click.option("--by", "by_whom", default="", help="Who did it.")
@click.option("--note", default="", help="Where, and how much came out.")
@at_option
@json_option
def COMMAND(what: str, by_whom: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that the circuit of WHAT was bled as the service manual says. After each filling it is asked again."""
    tell_fluid(BLED, FluidWords(what, by_whom=by_whom, note=note), at, as_json=as_json)
