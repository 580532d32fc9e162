"""`asfound unpin`: take a pin off a picture."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.pin import remove_pin
from asfound.cli.parts import console, example, opened
from asfound.errors import NotFound
from asfound.store.pins import find_pins


@click.command(epilog=example("asfound unpin 9a P2_0005.jpg"))
@click.argument("tag")
@click.argument("picture")
def COMMAND(tag: str, picture: str) -> None:
    """Remove the pin of TAG's end from PICTURE."""
    with opened() as archive:
        ref, shown = resolve.get_tag(archive, tag), resolve.get_picture(archive, picture)
        mine = [p for p in find_pins(archive.store, ref.tag.tag_id, ref.end) if p.picture_id == shown.picture_id]
        if not mine:
            raise NotFound(f"{tag} is not pinned on {shown.file}. See where it is with: asfound pins {ref.tag.number}")
        with archive.step(f"{tag} unpinned from {shown.file}"):
            for pin in mine:
                remove_pin(archive, pin)
        console().print(f"{tag} is off {shown.file}.", markup=False)
