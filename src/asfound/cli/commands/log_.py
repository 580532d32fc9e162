"""`asfound log`: what happened, in order, to everything or to one thing."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.log_list import list_log
from asfound.cli.lines import line_document, print_lines
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command("log", epilog=example("asfound log 17"))
@click.argument("tag", required=False)
@json_option
def COMMAND(tag: str | None, as_json: bool) -> None:
    """Show the log in order of time. With TAG, show the history of that thing.

    No line is ever changed. To strike out a wrong one: asfound strike LINE
    """
    with opened() as archive:
        mine = None if tag is None else resolve.get_tag(archive, tag).tag
        lines = list_log(archive, mine)
        if as_json:
            print_json([line_document(line) for line in lines])
            return
        print_lines(lines, archive.job.zone)
        if not lines and mine is not None:
            console().print(
                f"The log has nothing about {mine.number} yet. Write it down with: asfound off {mine.number}"
            )
        elif not lines:
            console().print("Nothing has come off yet. Write it down with: asfound off 17 --bag 4")
