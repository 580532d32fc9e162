"""`asfound sent`: write down that something was sent out, or list what is away."""

from __future__ import annotations

import click

from asfound.actions.away import list_away, write_sent
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.cli.value_lists import away_document, read_about


@click.command(epilog=example('asfound sent "cylinder head" --to "engine shop" --promised 2025-12-20'))
@click.argument("thing", default="")
@click.option("--to", "to_whom", default="", help="Who has it.")
@click.option("--promised", default="", metavar="DAY", help="The day by which it is to be back.")
@click.option("--note", default="", help="What is to be done to it.")
@at_option
@json_option
def COMMAND(thing: str, to_whom: str, promised: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that THING was sent out: a tag, or words for what has no number. Without THING, list what is away."""
    with opened() as archive:
        if thing:
            at_said, is_day_only = said_moment(archive, at)
            line = write_sent(
                *(archive, read_about(archive, thing)),
                to_whom=to_whom,
                promised=promised,
                note=note,
                at=at_said,
                is_day_only=is_day_only,
            )
            listed = as_listed(archive, [line])
            if as_json:
                print_json(line_document(listed[0]))
            else:
                print_lines(listed, archive.job.zone)
            return
        away = list_away(archive)
        if as_json:
            print_json([away_document(one) for one in away])
            return
        for one in away:
            console().print(one.words)
        if not away:
            console().print("Nothing is recorded as away.")
