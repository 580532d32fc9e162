"""`asfound back`: write down that something that was sent out came back, and with what."""

from __future__ import annotations

import click

from asfound.actions.away import back_oddity, write_back
from asfound.actions.log import write_line
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import errors, example, json_option, opened, print_json
from asfound.cli.value_lists import read_about
from asfound.errors import Misused
from asfound.model.tags import Tag


@click.command(epilog=example('asfound back "cylinder head" --with "skimmed 0.2 mm, new guides"'))
@click.argument("thing")
@click.option("--with", "with_what", default="", help="What was done to it, and its size now.")
@click.option("--new-part", is_flag=True, help="It is a new part: the old one does not come back.")
@click.option("--by", "by_whom", default="", help="Who brought it, or who did the work.")
@at_option
@json_option
def COMMAND(thing: str, with_what: str, new_part: bool, by_whom: str, at: str | None, as_json: bool) -> None:
    """Write down that THING came back and with what. THING is a tag, or words for what has no number.

    What a shop measured goes beside its limits: asfound reached.
    """
    with opened() as archive, archive.step(f"{thing} came back"):
        about = read_about(archive, thing)
        if new_part and not isinstance(about, Tag):
            raise Misused(f'"{thing}" has no number; say what is new with --with.')
        moment, is_day_only = said_moment(archive, at)
        odd = back_oddity(archive, about)
        lines = [write_back(archive, about, with_what=with_what, by_whom=by_whom, at=moment, is_day_only=is_day_only)]
        if new_part and isinstance(about, Tag):
            lines.append(write_line(archive, about, "new part", note=with_what, at=moment, is_day_only=is_day_only))
        listed = as_listed(archive, lines)
        if as_json:
            print_json([line_document(one) for one in listed])
        else:
            print_lines(listed, archive.job.zone)
        if odd:
            errors().print(odd)
