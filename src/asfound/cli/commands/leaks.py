"""`asfound leaks`: write down that somebody looked for leaks of a fluid."""

from __future__ import annotations

import click

from asfound.actions.fluids import FluidWords
from asfound.cli.fluid_lines import tell_fluid
from asfound.cli.moments import at_option
from asfound.cli.parts import example, json_option
from asfound.model.log import LEAKS


@click.command(epilog=example('asfound leaks "engine oil" --note "none seen, cold"'))
@click.argument("what")
@click.option("--by", "by_whom", default="", help="Who did it.")
@click.option("--note", default="", help="What was seen, and where.")
@at_option
@json_option
def COMMAND(what: str, by_whom: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that somebody looked for leaks of WHAT, and what they saw. It is kept as their word."""
    tell_fluid(LEAKS, FluidWords(what, by_whom=by_whom, note=note), at, as_json=as_json)
