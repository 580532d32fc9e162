"""`asfound where`: find the original for any photo."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfound.actions import resolve
from asfound.actions.spots import list_spots
from asfound.actions.views import PictureSource, source_of
from asfound.cli.drawing import can_draw, draw_whole
from asfound.cli.parts import console, example, json_option, opened, print_json, settle, shown_progress
from asfound.cli.places import end_label, minute, padded, place, width_of
from asfound.errors import NotFound

if TYPE_CHECKING:
    from asfound.actions.where import DrawnTag, WhereAnswer


@click.command(epilog=example("asfound where today.jpg"))
@click.argument("photo")
@click.option("--plain", is_flag=True, help="Do not draw the photo in the terminal.")
@json_option
def COMMAND(photo: str, plain: bool, as_json: bool) -> None:
    """Find the pictures that show the same place as PHOTO, and the tags in sight.

    Tag places are fractions of PHOTO, from its top left corner.
    """
    from asfound.actions.where import find_place

    with opened() as archive:
        settle(archive)
        with shown_progress() as progress:
            progress("looking", 0, 0)
            asked = resolve.find_picture(archive, photo) if not Path(photo).is_file() else Path(photo)
            if asked is None:
                raise NotFound(
                    f'"{photo}" is not a photo file, and no picture of this job has that name. See: asfound pictures'
                )
            answers = find_place(archive, asked)
        if as_json:
            print_json([_document(answer) for answer in answers])
            return
        tags = answers[0].tags if answers else ()
        if tags and can_draw() and not plain:
            source = PictureSource("", asked, None) if isinstance(asked, Path) else source_of(archive, asked)
            draw_whole(source, [(end_label(drawn.tag, drawn.end), *_at(drawn)) for drawn in tags])
        names = {spot.spot_id: spot.name for spot in list_spots(archive)}
    if not answers:
        console().print(f"Nothing here looks like {photo}. A wider photo, or one from another side, may do better.")
    elif not answers[0].sure:
        console().print("Not sure: it may be one of these. A wider photo, or one from another side, may do better.")
    width = width_of(answer.picture.file for answer in answers)
    for answer in answers:
        spot = f"spot {answer.spot_id} {names.get(answer.spot_id, '')}".rstrip() if answer.spot_id else "in no spot"
        sure = f"{answer.score:4.0%} sure"
        console().print(f"{padded(answer.picture.file, width)}  {minute(answer.picture.taken_at)}  {sure}  {spot}")
    for drawn in tags:
        label, where = end_label(drawn.tag, drawn.end), place(*_at(drawn))
        console().print(f"  {label:<5} {where:<26} {drawn.confidence:4.0%} sure  {drawn.tag.name or drawn.tag.kind}")
    if answers and not tags:
        console().print("  no tag is pinned on what it shows")


def _at(drawn: DrawnTag) -> tuple[float, float]:
    return drawn.x_frac, drawn.y_frac


def _document(answer: WhereAnswer) -> dict[str, Any]:
    return {
        "picture": answer.picture.picture_id,
        "file": answer.picture.file,
        "spot": answer.spot_id,
        "inliers": answer.inliers,
        "score": round(answer.score, 4),
        "tags": [
            {
                "tag": tag.tag.number,
                "end": tag.end,
                "x": tag.x_frac,
                "y": tag.y_frac,
                "confidence": round(tag.confidence, 4),
            }
            for tag in answer.tags
        ],
    }
