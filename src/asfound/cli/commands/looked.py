"""`asfound looked`: what a person said of a refitted thing, with the picture of now beside the one of how it was."""

from __future__ import annotations

import click

from asfound.actions import look_over, resolve
from asfound.actions.found_end import seen_end
from asfound.actions.tag import list_ends
from asfound.cli.json_documents import moment
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.core.log.looks import look_words

ANSWERS = {"right": "right", "wrong": "wrong", "cant-tell": "can't tell"}


@click.command(epilog=example('asfound looked 17 --as wrong --in P1_0090.jpg --note "clamp the other way round"'))
@click.argument("tag")
@click.option("--as", "answer", type=click.Choice(list(ANSWERS)), required=True, help="Your verdict.")
@click.option("--in", "picture", metavar="PICTURE", help="The picture of now.")
@click.option("--beside", metavar="PICTURE", help="The picture of how it was. Default: the as-found picture.")
@click.option("--by", "by_whom", default="", help="Who looked.")
@click.option("--note", default="", help="What is wrong, or why it cannot be told.")
@at_option
@json_option
def COMMAND(
    tag: str,
    answer: str,
    picture: str | None,
    beside: str | None,
    by_whom: str,
    note: str,
    at: str | None,
    as_json: bool,
) -> None:
    """Record your verdict on TAG (17, or 17b for end B) after comparing it with how it was.

    "wrong" opens a snag. The log keeps it as your word; follow the service manual.
    """
    with opened() as archive:
        mine = resolve.get_tag(archive, tag)
        now = resolve.get_picture(archive, picture) if picture else None
        then = resolve.get_picture(archive, beside) if beside else None
        if now is not None and then is None:
            ends = [one for one in list_ends(archive)[mine.tag.tag_id] if one.end == mine.end_or_default()]
            found = seen_end(archive, mine.tag, ends[0]).as_found if ends else None
            then = found.picture if found else None
        when, is_day_only = said_moment(archive, at)
        done = look_over.look_over(
            archive,
            mine.tag,
            ANSWERS[answer],
            end=mine.end,
            picture=now,
            beside=then,
            note=note,
            by_whom=by_whom,
            at=when,
            is_day_only=is_day_only,
        )
        if as_json:
            print_json(
                {
                    "tag": mine.tag.number,
                    "order": mine.tag.order,
                    "end": mine.end,
                    "event": done.line.kind,
                    "as": done.line.how,
                    "in": done.line.picture_id,
                    "beside": done.line.beside_id,
                    "at": moment(done.line.at),
                    "note": note,
                    "by": by_whom,
                    "snag": done.snag.label if done.snag else None,
                }
            )
            return
        named = f"{mine.tag.number}{(mine.end or '').lower()} {mine.tag.name or mine.tag.kind}"
        beside_words = f", beside {done.line.beside}" if done.line.beside else ""
        console().print(f"{named}: {look_words(done.line)}{beside_words}. Kept in the log as your word.")
        if done.snag is not None:
            console().print(
                f"Snag {done.snag.label} is open for it. Close it with: asfound snag close {done.snag.label}"
            )
        if answer != "right" and now is None:
            errors().print(f"Add the picture of now with: asfound looked {tag} --as {answer} --in PICTURE")
