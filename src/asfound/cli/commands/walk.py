"""`asfound walk`: what to photograph before anything comes off, and what answers it."""

from __future__ import annotations

from typing import Any

import click

from asfound.actions import resolve, walk_round
from asfound.actions.archive import Archive
from asfound.actions.walk_round import WalkLine, list_walk
from asfound.cli.json_documents import short_picture
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.cli.places import counted, padded
from asfound.errors import Misused

MARKS = {"pictured": "✓", "not here": "-", "open": "□", "late": "!", "lost": "!"}


@click.command(epilog=example('asfound walk "timing marks" P1_0003.jpg'))
@click.argument("item", default="")
@click.argument("pictures", nargs=-1)
@click.option("--not-here", metavar="WHY", help="This machine has no such thing, or it cannot be photographed.")
@click.option("--again", is_flag=True, help="Remove the answers to ITEM.")
@click.option("--add", is_flag=True, help="Put ITEM on the list, for this job.")
@click.option("--drop", is_flag=True, help="Take an ITEM of your own off the list.")
@click.option("--open", "only_open", is_flag=True, help="List only what is still open.")
@json_option
def COMMAND(
    item: str,
    pictures: tuple[str, ...],
    not_here: str | None,
    again: bool,
    add: bool,
    drop: bool,
    only_open: bool,
    as_json: bool,
) -> None:
    """List what to photograph before anything comes off, or name the PICTURES that show ITEM.

    ITEM is a name on the list, or how it begins. What is open is a gap until lift out.
    """
    with opened() as archive:
        item_key = ""
        if item:
            item_key = _answer(archive, item, pictures, not_here, again=again, add=add, drop=drop)
        lines = [line for line in list_walk(archive) if not (only_open and line.standing.is_answered)]
        if item and not drop:
            lines = [line for line in lines if line.item.key == item_key]
        if as_json:
            print_json([_document(line) for line in lines])
            return
        for line in lines:
            console().print(f"{MARKS[line.standing.state]} {padded(line.item.name, 18)} {answer_words(line)}".rstrip())
        left = sum(line.standing.state == "open" for line in list_walk(archive))
        if left:
            console().print(
                f"{counted(left, 'picture')} of the walk round can still be taken until lift out. "
                "Name one with: asfound walk ITEM PICTURE"
            )


def _answer(
    archive: Archive, words: str, pictures: tuple[str, ...], not_here: str | None, *, again: bool, add: bool, drop: bool
) -> str:
    """Do what the options say; several of them at once are refused. The key of the item."""
    if sum((bool(pictures), not_here is not None, again, drop)) > 1:
        raise Misused("Say one thing of an item: pictures, --not-here, --again or --drop.")
    item = walk_round.add_item(archive, words) if add else walk_round.find_item(archive, words)
    if pictures:
        odd = walk_round.answer_by(archive, item, [resolve.get_picture(archive, one) for one in pictures])
        if odd:
            errors().print(odd)
    elif not_here is not None:
        walk_round.say_not_here(archive, item, not_here)
    elif again:
        walk_round.open_again(archive, item)
    elif drop:
        walk_round.drop_item(archive, item)
    elif not add:
        raise Misused(f'Name a picture of it, or say why there is none: asfound walk "{item.name}" --not-here "why"')
    return item.key


def answer_words(line: WalkLine) -> str:
    """What answers an item, and what to look for where nothing does."""
    files, state = ", ".join(line.standing.files), line.standing.state
    if state == "pictured":
        return files
    if state == "not here":
        return f"not here: {line.not_here}"
    if state == "late":
        return f"photographed only after lift out: {files}"
    return "not photographed before lift out" if state == "lost" else line.item.look_for


def _document(line: WalkLine) -> dict[str, Any]:
    return {
        "item": line.item.name,
        "own": line.item.is_own,
        "state": line.standing.state,
        "pictures": [short_picture(one) for one in line.pictures],
        "not_here": line.not_here,
        "look_for": line.item.look_for,
    }
