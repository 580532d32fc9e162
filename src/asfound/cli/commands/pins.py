"""`asfound pins`: where a tag's ends are pinned and proposed."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.known import known_pictures
from asfound.actions.pin import list_of_tag
from asfound.cli.json_documents import pins_document
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.cli.places import end_label, padded, place, width_of
from asfound.model.tags import Pin


@click.command(epilog=example("asfound pins 9a"))
@click.argument("tag")
@json_option
def COMMAND(tag: str, as_json: bool) -> None:
    """List a tag's pins, then its proposed pins, surest first."""
    with opened() as archive:
        settle(archive)
        ref = resolve.get_tag(archive, tag)
        by_id = known_pictures(archive)
        found = list_of_tag(archive, ref.tag, ref.end)
        if as_json:
            print_json(pins_document(found, by_id))
            return
        width = width_of(by_id[pin.picture_id].file for pin in found)
        for pin in found:
            sure = f"{pin.source}, pinned" if isinstance(pin, Pin) else f"{pin.source}, {pin.confidence:.0%} sure"
            if not isinstance(pin, Pin) and pin.gone:
                sure += ", something else shows there"
            if not isinstance(pin, Pin) and pin.hidden:
                sure += ", hidden"
            label, where = end_label(ref.tag, pin.end), place(pin.x_frac, pin.y_frac)
            console().print(f"{padded(label, 5)}  {padded(by_id[pin.picture_id].file, width)}  {where:<26}  {sure}")
        if not found:
            label = end_label(ref.tag, ref.end_or_default())
            console().print(f"{ref.tag.number} is pinned nowhere. Pin it with: asfound pin {label} PICTURE X Y")
