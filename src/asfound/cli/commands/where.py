"""`asfound where`: find the original for any photo."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfound.actions import resolve
from asfound.actions.sort import finish_pending
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, shown_progress

if TYPE_CHECKING:
    from asfound.actions.where import WhereAnswer


@click.command(epilog=example("asfound where today.jpg"))
@click.argument("photo")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, photo: str, as_json: bool) -> int:
    """Find the originals of PHOTO, a file or a picture of the archive, and the tags to be seen in it.

    The places of the tags are given in PHOTO itself, as fractions from its top left corner.
    """
    from asfound.actions.where import find_place

    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
            progress("looking", 0, 0)
            asked = resolve.find_picture(archive, photo) if not Path(photo).is_file() else Path(photo)
            answers = find_place(archive, asked if asked is not None else resolve.get_picture(archive, photo))
    if as_json:
        print_json([_document(answer) for answer in answers])
        return 0
    for answer in answers:
        spot = f"spot {answer.spot_id}" if answer.spot_id else "no spot"
        line = f"{answer.picture.file}  ({spot})  {answer.inliers} points agree, {answer.score:.0%} sure"
        console().print(line, markup=False)
    for drawn in answers[0].tags if answers else ():
        place = f"at {drawn.x_frac:.3f} {drawn.y_frac:.3f}  {drawn.confidence:.0%} sure"
        console().print(f"  {drawn.tag.number}{drawn.end}  {place}  {drawn.tag.name}".rstrip(), markup=False)
    if not answers:
        errors().print(f"Looks like nothing here: {photo}", markup=False)
        return 1
    return 0


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
