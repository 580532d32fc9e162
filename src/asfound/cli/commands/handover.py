"""`asfound handover`: the note of a day, in one line: what to know when work goes on."""

from __future__ import annotations

import click

from asfound.actions.resume import hand_over, list_handovers
from asfound.cli.moments import said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.core.codes.facing import meanings_line


@click.command(epilog=example('asfound handover "fuel is off at the tank, 18 is only hand-tight"'))
@click.argument("words", nargs=-1)
@click.option("--day", metavar="DAY", help="The day, if not today: 2025-11-08.")
@json_option
def COMMAND(words: tuple[str, ...], day: str | None, as_json: bool) -> None:
    """Write a one-line note for the next working day. Without WORDS, list all notes."""
    with opened() as archive:
        if words:
            at = said_moment(archive, day)[0]
            hand_over(archive, " ".join(words), at.date() if at else None)
        notes = list_handovers(archive)
        if as_json:
            print_json([{"day": on, "note": note} for on, note in notes.items()])
            return
        if notes:
            console().print(meanings_line(archive.job), style="dim")
        for on, note in notes.items():
            console().print(f"{on}  {note}")
        if not notes:
            console().print('No day has a note yet. Write one with: asfound handover "fuel is off at the tank"')
