"""`asfound frame`: one more picture out of a clip."""

from __future__ import annotations

import click

from asfound.actions.resolve import get_clip
from asfound.actions.sort import finish_pending
from asfound.cli.json_documents import picture_document
from asfound.cli.parts import TakesNumbers, console, example, json_option, opened, print_json, shown_progress


@click.command(cls=TakesNumbers, epilog=example("asfound frame P1_0004.mov 2.4"))
@click.argument("clip")
@click.argument("seconds", type=float)
@json_option
def COMMAND(clip: str, seconds: float, as_json: bool) -> None:
    """Take the frame SECONDS into CLIP as a picture, which can then carry pins."""
    from asfound.actions.frame import take_frame

    with opened() as archive, shown_progress() as progress:
        picture = take_frame(archive, get_clip(archive, clip), seconds)
        finish_pending(archive, progress)
    if as_json:
        print_json(picture_document(picture))
        return
    console().print(f"Picture {picture.picture_id}: {picture.file}", markup=False)
