"""`asfound pin`: put a tag's end on a picture."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures
from asfound.actions.pin import Box, carried, check_inside, pin_tag
from asfound.actions.resolve import TagRef
from asfound.actions.sort import finish_pending
from asfound.actions.tag import TagWords, add_tag, near_number
from asfound.cli.imports import tell_import
from asfound.cli.json_documents import carried_document
from asfound.cli.parts import TakesNumbers, console, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import end_label, padded, width_of
from asfound.core.pins.numbering import parse_tag_words
from asfound.errors import NotFound


@click.command(cls=TakesNumbers, epilog=example("asfound pin 17a P1_0012.jpg 0.42 0.61"))
@click.argument("tag", required=False)
@click.argument("picture", required=False)
@click.argument("x", type=float, required=False)
@click.argument("y", type=float, required=False)
@click.argument("w", type=float, required=False)
@click.argument("h", type=float, required=False)
@click.option(
    "--from",
    "table",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Set the pins of a CSV table instead: tag, end, picture, x, y, w, h.",
)
@json_option
def COMMAND(
    tag: str | None,
    picture: str | None,
    x: float | None,
    y: float | None,
    w: float | None,
    h: float | None,
    table: Path | None,
    as_json: bool,
) -> int:
    """Pin TAG's end (17a, 17b) on PICTURE at X Y, the point or the centre of a box W by H.

    X, Y, W, H are fractions of the picture as displayed, 0 to 1, from its top left corner. The pin is carried to the
    spot's other pictures as proposals. A number that has no tag yet gets one.
    """
    if table is not None and tag is not None:
        raise click.UsageError("Name a table or one pin, not both")
    if table is not None:
        return _from_table(table, as_json=as_json)
    if tag is None or picture is None or x is None or y is None:
        raise click.UsageError("Say which tag, which picture, and where: asfound pin 17a P1_0012.jpg 0.42 0.61")
    with opened() as archive, shown_progress() as progress:
        finish_pending(archive, progress)
        shown = resolve.get_picture(archive, picture)
        box = Box(x, y, w, h)
        check_inside(shown, box)
        with archive.step(f"{tag} pinned on {shown.file}"):
            ref, is_new = _tag(archive, tag)
            pin = pin_tag(archive, ref.tag, ref.end_or_default(), shown, box)
        proposals = carried(archive, ref.tag, ref.end_or_default())
        by_id = known_pictures(archive)
        if as_json:
            print_json(
                {
                    "pin": pin.pin_id,
                    "tag": ref.tag.number,
                    "end": pin.end,
                    "new_tag": is_new,
                    "carried": carried_document(proposals, by_id),
                }
            )
            return 0
        label = end_label(ref.tag, pin.end)
        if is_new:
            read = f"{tag.strip()} was read as its end {pin.end}" if ref.end else f"this is its end {pin.end}"
            console().print(f"{ref.tag.number} is a new tag; {read}. If that was a slip: asfound undo")
        console().print(f"{label} is pinned on {shown.file}.")
        width = width_of(by_id[proposal.picture_id].file for proposal in proposals)
        for proposal in proposals:
            gone = ", seems to be off there" if proposal.gone else ""
            file = by_id[proposal.picture_id].file
            console().print(f"  proposed on {padded(file, width)}  {proposal.confidence:4.0%} sure{gone}")
        if proposals:
            console().print(f"Answer them with: asfound confirm {label} PICTURE, or reject")
    return 0


def _from_table(table: Path, *, as_json: bool) -> int:
    """Pin every row of a table, then carry all of them at once."""
    from asfound.actions.pins_import import import_pins

    with opened() as archive, shown_progress() as progress:
        finish_pending(archive, progress)
        report = import_pins(archive, table)
        finish_pending(archive, progress)
        return tell_import(report, dry_run=False, as_json=as_json)


def _tag(archive: Archive, words: str) -> tuple[TagRef, bool]:
    """The tag meant, and whether it was written down only now: only what can be no slip makes a new one."""
    if resolve.find_tags(archive, words):
        return resolve.get_tag(archive, words), False
    said = parse_tag_words(words, frozenset())
    make = f"Make a tag of it first: asfound tag {said.number}"
    if not any(letter.isdecimal() for letter in said.number):
        raise NotFound(f"There is no tag {said.number}, and it has no digit in it. Type a number such as 17a. {make}")
    tag = add_tag(archive, said.number, TagWords())
    if near := near_number(archive, tag):
        raise NotFound(f"There is no tag {said.number}; {near} has ends a and b only. {make}")
    return TagRef(tag, said.end), True
