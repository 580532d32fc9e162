"""`asfound spots`: the places on the machine."""

from __future__ import annotations

import click

from asfound.actions.known import known_pictures, seen_afar
from asfound.actions.spots import list_spots
from asfound.cli.json_documents import spots_document
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.cli.places import counted, in_lines


@click.command(epilog=example("asfound spots"))
@json_option
def COMMAND(as_json: bool) -> None:
    """List spots with their pictures; finishes the sorting first."""
    with opened() as archive:
        settle(archive)
        by_id = known_pictures(archive)
        spots = list_spots(archive)
        if as_json:
            print_json(spots_document(spots, by_id, seen_afar(archive)))
            return
        for spot in spots:
            name, count = spot.name or "(no name)", counted(len(spot.picture_ids), "picture")
            console().print(f"{spot.spot_id:>4}  {name}  {count}")
            console().print(in_lines(", ".join(by_id[i].file for i in spot.picture_ids), indent=6))
        if not by_id:
            console().print("No pictures yet: asfound add FOLDER")
            return
        loose = len(by_id) - sum(len(spot.picture_ids) for spot in spots)
        console().print(f"{counted(len(spots), 'spot')}; {counted(loose, 'picture')} in none.")
