"""`asfound log`: what happened, in order, to everything or to one thing; and a line of it as a person says it."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.actions.log_list import as_listed, list_log
from asfound.actions.typed_line import write_typed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.parts import console, errors, example, json_option, opened, print_json


@click.command("log", epilog=example('asfound log --line "took 17, 18 and 19 off yesterday, bolts in B4"'))
@click.argument("tag", required=False)
@click.option("--line", help="Write down what happened, as you would say it; what is not clear is asked back.")
@json_option
def COMMAND(tag: str | None, line: str | None, as_json: bool) -> None:
    """Show the log in order of time. With TAG, show the history of that thing.

    With --line, write into it: "17 removed", "17-22 off", "17a off, bag B4", "17 back on hand tight", "36 45 Nm",
    "snapped stud on 36", "capped 18 both ends", "gap 0.3 mm on 41", "engine oil drained 6.5 l into blue can",
    "coolant back in 9 l, bled", "38 sent to injector shop", "38 new part", "need clamp for 17", "snag 17 clamp rusted",
    "B9 7 back", "tape lost on 17b". Say who with "mk:" before it or "by MK" behind, and when with 31/5, 31.5., 14:20,
    yesterday evening, sat, 2 days ago. What can mean two things, or names a number nobody has, is asked back; then
    nothing is written.

    No line is ever changed. To strike out a wrong one: asfound strike LINE
    """
    with opened() as archive:
        if line is not None:
            if tag is not None:
                raise click.UsageError('Say the number in the line: --line "17 off"')
            _write(archive, line, as_json)
            return
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


def _write(archive: Archive, line: str, as_json: bool) -> None:
    written = write_typed(archive, line)
    listed = as_listed(archive, written.lines)
    if as_json:
        print_json([line_document(one) for one in listed])
    else:
        print_lines(listed, archive.job.zone)
    if written.odd:
        errors().print(written.odd)
