"""`asfound strike`: say that a line of the log is not so; both lines stay to be read."""

from __future__ import annotations

import click

from asfound.actions import log
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example('asfound strike 41 "it was 18 that came off"'))
@click.argument("line", type=click.IntRange(1, 2**62))
@click.argument("why", default="")
@json_option
def COMMAND(line: int, why: str, as_json: bool) -> None:
    """Strike out LINE of the log. It no longer counts but stays readable, with the reason WHY."""
    with opened() as archive:
        struck = log.get_line(archive, line)
        log.strike(archive, struck, why)
        if as_json:
            print_json({"line": line, "struck": True, "why": why})
        else:
            console().print(f"Line {line} ({struck.kind}) no longer counts. See it with: asfound log")
