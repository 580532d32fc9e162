"""`asfound find`: from a number or words to the picture of how it was."""

from __future__ import annotations

from typing import Any

import click

from asfound.actions import views
from asfound.actions.archive import Archive
from asfound.actions.find import FoundEnd, SeenEnd, find_tags
from asfound.actions.sort import finish_pending
from asfound.cli.drawing import can_draw, draw_crop
from asfound.cli.json_documents import moment, short_picture
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, shown_progress

THINGS_SHOWN = 4
"""More are to be had with --json; a person looks at the first."""


@click.command(epilog=example('asfound find 17b, or: asfound find "black hose heat exchanger"'))
@click.argument("what", nargs=-1, required=True)
@click.option("--plain", is_flag=True, help="Do not draw the picture in the terminal.")
@json_option
def COMMAND(what: tuple[str, ...], plain: bool, as_json: bool) -> int:
    """Find WHAT, a number (17, 17b) or words, and show how it was before it came off."""
    words = " ".join(what)
    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
        found = find_tags(archive, words)
        if as_json:
            print_json([_document(archive, one) for one in found])
            return 0
        things = list(dict.fromkeys(one.tag.tag_id for one in found))[:THINGS_SHOWN]
        for one in found:
            if one.tag.tag_id not in things:
                break
            _show(archive, one, draw=can_draw() and not plain)
    if not found:
        errors().print(f'Nothing answers to "{words}". List what is known with: asfound tags', markup=False)
        return 1
    return 0 if any(one.as_found for one in found) else 1


def _document(archive: Archive, one: FoundEnd) -> dict[str, Any]:
    return {
        "tag": one.tag.number,
        "end": one.end.end,
        "name": one.tag.name,
        "order": one.tag.order,
        "kind": one.tag.kind,
        "place": one.end.place,
        "bag": one.tag.bag,
        "as_found": None if one.as_found is None else _seen_document(archive, one.as_found),
        "others": [_seen_document(archive, seen) for seen in one.others],
        "why": list(one.reasons),
    }


def _seen_document(archive: Archive, seen: SeenEnd) -> dict[str, Any]:
    return {
        **short_picture(seen.picture),
        "x": seen.pin.x_frac,
        "y": seen.pin.y_frac,
        "taken": moment(seen.picture.taken_at),
        "stage": seen.ranked.stage,
        "path": str(views.source_of(archive, seen.picture).path),
    }


def _show(archive: Archive, one: FoundEnd, *, draw: bool) -> None:
    out = console()
    head = f"{one.tag.number} {one.end.end}  {one.tag.name or one.tag.kind}"
    head += f"  at {one.end.place}" if one.end.place else ""
    out.print(head + (f"  bag {one.tag.bag}" if one.tag.bag else ""), markup=False, style="bold")
    if one.end.how_it_sat:
        out.print(f"  sat: {one.end.how_it_sat}", markup=False)
    if one.as_found is None:
        out.print("  no picture from before it came off", markup=False)
    else:
        if draw:
            draw_crop(archive, one.as_found, f"{one.tag.number}{one.end.end}")
        out.print(f"  as found: {_line(archive, one.as_found)}", markup=False, soft_wrap=True)
    for seen in one.others[:4]:
        out.print(
            f"  {'also' if seen.ranked.is_as_found else seen.ranked.stage}: {_line(archive, seen)}",
            markup=False,
            soft_wrap=True,
        )


def _line(archive: Archive, seen: SeenEnd) -> str:
    where = f"at {seen.pin.x_frac:.2f} {seen.pin.y_frac:.2f}"
    taken = moment(seen.picture.taken_at) or "time unknown"
    return f"{seen.picture.file}  {taken}  {where}  {views.source_of(archive, seen.picture).path}"
