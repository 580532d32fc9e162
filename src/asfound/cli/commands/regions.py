"""`asfound regions`: hand the pins to other programs as image regions (IPTC and MWG, in XMP)."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions.regions import write_regions
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import counted


@click.command(epilog=example("asfound regions ~/for-a-friend --copies"))
@click.argument("folder", type=click.Path(path_type=Path), metavar="FOLDER")
@click.option("--copies", is_flag=True, help="Copies of the pictures with the regions in them: the surer way.")
@click.option("--replace", is_flag=True, help="Write over files of the same name.")
@json_option
def COMMAND(folder: Path, copies: bool, replace: bool, as_json: bool) -> int:
    """Write the pins into FOLDER as image regions that photo programs show: one XMP file for each picture.

    Regions count on the picture as it is displayed. Some programs place them wrongly on photos that the camera stored
    turned; copies are stored upright. Guesses are left out. Nothing tells of location or camera.
    """
    with opened() as archive, shown_progress() as progress:
        made = write_regions(archive, folder, copies=copies, replace=replace, progress=progress)
    if as_json:
        print_json({"files": [str(path) for path in made.files], "pins": made.pins, "left": made.left})
    else:
        what = "copy" if copies else "file"
        console().print(
            f"{counted(len(made.files), what)} with {counted(made.pins, 'pin')} in {folder}.", soft_wrap=True
        )
        for file, why in made.left.items():
            errors().print(f"not written: {file}: {why}", soft_wrap=True)
    return 1 if made.left else 0
