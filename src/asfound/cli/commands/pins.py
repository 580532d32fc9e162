"""`asfound pins`: where a tag's ends are pinned and proposed."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.pin import list_of_tag
from asfound.actions.sort import finish_pending
from asfound.cli.json_documents import pins_document
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress
from asfound.store.pictures import list_pictures


@click.command(epilog=example("asfound pins 17b"))
@click.argument("tag")
@json_option
def COMMAND(tag: str, as_json: bool) -> None:
    """List a tag's pins, then what is proposed, surest first."""
    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
        ref = resolve.get_tag(archive, tag)
        by_id = {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
        found = pins_document(list_of_tag(archive, ref.tag, ref.end), by_id)
        if as_json:
            print_json(found)
            return
        for pin in found:
            sure = "pinned" if pin["confirmed"] else f"proposed, {pin['confidence']:.0%} sure"
            line = f"{pin['end']}  {pin['file']}  at {pin['x']:.3f} {pin['y']:.3f}  {pin['source']}, {sure}"
            console().print(line, markup=False)
        if not found:
            console().print(
                f"{ref.tag.number} is pinned nowhere. Pin it with: asfound pin {ref.tag.number}a PICTURE X Y"
            )
