"""`asfound drained`: write down a fluid that was let out: what, how much, where it is, how it looked."""

from __future__ import annotations

import click

from asfound.actions import log, resolve
from asfound.actions.fit import cautions_due
from asfound.actions.log import Drained
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, by_option, said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example('asfound drained "engine oil" "7.5 l" --into C2 --looks "black, sample kept"'))
@click.argument("what", default="")
@click.argument("amount", default="")
@click.option("--into", "container", default="", help="The container it is in.")
@click.option("--looks", default="", help="How it looked and smelled: colour, water, metal.")
@click.option("--from", "tag", help="The tag it came out of.")
@click.option("--note", default="", help="To be used again, or disposed of.")
@by_option
@at_option
@json_option
def COMMAND(
    what: str,
    amount: str,
    container: str,
    looks: str,
    tag: str | None,
    note: str,
    by_whom: str,
    at: str | None,
    as_json: bool,
) -> None:
    """Write down WHAT was drained and how much. With no words, list what was drained."""
    with opened() as archive:
        if what:
            moment, is_day_only = said_moment(archive, at)
            source = None if tag is None else resolve.get_tag(archive, tag).tag
            fluid = Drained(what, amount, container, looks, note, by_whom)
            lines = [log.write_drained(archive, fluid, tag=source, at=moment, is_day_only=is_day_only)]
        else:
            lines = [line for line in log.list_lines(archive) if line.kind == "drained" and not line.is_struck]
        listed = as_listed(archive, lines)
        if as_json:
            print_json([line_document(line) for line in listed])
            return
        print_lines(listed, archive.job.zone)
        if not lines:
            console().print(
                'Nothing was drained yet. Write it down with: asfound drained "engine oil" "7.5 l" --into C2'
            )
        for caution in cautions_due(archive, "drain"):
            console().print(caution)
