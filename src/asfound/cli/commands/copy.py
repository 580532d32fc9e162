"""`asfound copy`: put a named copy of a picture into a folder, for a phone, a stick or a friend."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions.copies import copy_pictures, wanted
from asfound.cli.parts import console, errors, example, json_option, opened, print_json


@click.command(epilog=example("asfound copy 17b ~/Desktop --pin"))
@click.argument("what")
@click.argument("folder", type=click.Path(path_type=Path), metavar="FOLDER")
@click.option("--pin", "with_pin", is_flag=True, help="Draw a ring where the end is.")
@json_option
def COMMAND(what: str, folder: Path, with_pin: bool, as_json: bool) -> None:
    """Copy the picture of how WHAT was into FOLDER: 17b, 17 (both ends), or a picture's name.

    The copy is upright and at full size. It holds the time it was taken, but no location and no camera details.
    """
    with opened() as archive:
        some = wanted(archive, what)
        made = copy_pictures(archive, some, folder, with_pin=with_pin)
    if as_json:
        print_json(
            [
                {"file": str(path), "of": one.label, "picture": one.picture.picture_id, "guess": one.guess}
                for one, path in zip(some, made, strict=True)
            ]
        )
        return
    for one, path in zip(some, made, strict=True):
        console().print(str(path), soft_wrap=True)
        if one.guess is not None:
            errors().print(f"{one.label} on it is a guess, {one.guess:.0%} sure; nobody confirmed it.")
