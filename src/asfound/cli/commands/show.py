"""`asfound show`: open a picture in the system's own viewer."""

from __future__ import annotations

import os

import click

from asfound.actions import views
from asfound.actions.copies import wanted
from asfound.actions.viewing import open_in_viewer
from asfound.cli.parts import console, errors, example, opened


@click.command(epilog=example("asfound show 17b"))
@click.argument("what")
def COMMAND(what: str) -> int:
    """Open the picture of how WHAT was: 17b, 17 (both ends), or a picture's name.

    Where there is no viewer, as over a remote line, its path is printed; `copy` puts a named copy where you say.
    """
    is_open = True
    with opened() as archive:
        for one in wanted(archive, what):
            path = views.source_of(archive, one.picture).path
            is_open = open_in_viewer(path, os.environ) and is_open
            console().print(f"{one.label}: {one.picture.file}  {path}", soft_wrap=True)
            if one.guess is not None:
                errors().print(f"{one.label} on it is a guess, {one.guess:.0%} sure; nobody confirmed it.")
    if not is_open:
        errors().print(f"There is no viewer here; put a copy where you can open it: asfound copy {what} FOLDER")
    return 0 if is_open else 1
