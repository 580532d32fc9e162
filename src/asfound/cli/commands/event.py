"""`asfound event`: write down what else happened to a thing: capped, cut, broken, measured, sent out, and so on."""

from __future__ import annotations

import click

from asfound.actions import log, resolve
from asfound.actions.log_list import as_listed
from asfound.actions.values import Reached, reach
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import example, json_option, opened, print_json
from asfound.model.log import HAPPENINGS

_KINDS = tuple(kind for kind in HAPPENINGS if kind not in ("off", "refitted", "drained"))


@click.command(epilog=example('asfound event 41 measured "gap 0.08 mm at 12, 0.05 at 6"'))
@click.argument("tag")
@click.argument("what", type=click.Choice(_KINDS, case_sensitive=False), metavar="WHAT")
@click.argument("note", default="")
@click.option("--bag", default="", help="The bag, for what is bagged.")
@click.option("--by", "by_whom", default="", help="Who did it, or has it.")
@at_option
@json_option
def COMMAND(tag: str, what: str, note: str, bag: str, by_whom: str, at: str | None, as_json: bool) -> None:
    """Write down that WHAT happened to TAG, or to one end of it (17b), with a NOTE in your own words.

    WHAT is one of: capped, uncapped, bagged, cut, broken, measured, "sent out", "came back", "new part", repaired,
    torque, note. After capped the note says what with, after torque the value that was reached.
    """
    with opened() as archive, archive.step(f"{tag} {what}"):
        ref = resolve.get_tag(archive, tag)
        moment, is_day_only = said_moment(archive, at)
        if what == "torque":
            reached = Reached(note, by_whom=by_whom)
            line = reach(archive, ref.tag, reached, at=moment, is_day_only=is_day_only)
        else:
            line = log.write_line(
                *(archive, ref.tag, what),
                end=ref.end,
                note=note,
                bag=bag,
                by_whom=by_whom,
                at=moment,
                is_day_only=is_day_only,
            )
        (listed,) = as_listed(archive, [line])
        if as_json:
            print_json(line_document(listed))
        else:
            print_lines([listed], archive.job.zone)
