"""`asfound reached`: write down what was measured or reached of a value out of the manual."""

from __future__ import annotations

import click

from asfound.actions.fit_oddity import oddity
from asfound.actions.values import Reached, reach, values_of
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import errors, example, json_option, opened, print_json
from asfound.cli.value_lists import print_values, read_about, values_document
from asfound.model.tags import Tag


@click.command(epilog=example('asfound reached 41 "0.08 mm" --what gap --by "yard engineer"'))
@click.argument("thing")
@click.argument("amount")
@click.option("--what", default="", help="Which value, where the thing has several.")
@click.option(
    "--not-final", is_flag=True, help="Not yet final, such as a first stage or a cold value; it stays on the list."
)
@click.option("--by", "by_whom", default="", help="Who measured or tightened it.")
@click.option("--note", default="", help="With which tool, at which place.")
@at_option
@json_option
def COMMAND(
    thing: str, amount: str, what: str, not_final: bool, by_whom: str, note: str, at: str | None, as_json: bool
) -> None:
    """Write down the AMOUNT measured or reached on THING, beside the manual's value."""
    with opened() as archive:
        about = read_about(archive, thing)
        moment, is_day_only = said_moment(archive, at)
        odd = oddity(archive, about, "torque") if isinstance(about, Tag) else ""
        said = Reached(amount, what, by_whom, note, is_final=not not_final)
        line = reach(archive, about, said, at=moment, is_day_only=is_day_only)
        found = [one for one in values_of(archive, about) if one.reached and one.reached.event_id == line.event_id]
        if as_json:
            print_json(values_document(archive, found))
        elif found:
            print_values(archive, found)
        else:
            errors().print(f"Written down. The manual's {line.what or 'value'} for {thing} is not typed in yet.")
        if odd:
            errors().print(odd)
