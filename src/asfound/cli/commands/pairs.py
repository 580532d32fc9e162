"""`asfound pairs`: before and after, spot by spot."""

from __future__ import annotations

import click

from asfound.actions import spots as actions
from asfound.actions.known import known_pictures
from asfound.actions.resolve import get_picture
from asfound.cli.json_documents import pairs_document
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.cli.places import counted


@click.command(epilog=example("asfound pairs --spot 3"))
@click.option("--spot", help="Only the pairs of this spot.")
@click.option("--not", "refused", nargs=2, metavar="BEFORE AFTER", help="Say that two pictures are not a pair.")
@click.option("--are", "made", nargs=2, metavar="BEFORE AFTER", help="Say that two pictures of a spot are a pair.")
@json_option
def COMMAND(spot: str | None, refused: tuple[str, str] | None, made: tuple[str, str] | None, as_json: bool) -> None:
    """List the pairs: what a place looked like before and after something came off or went back.

    Later sorting keeps what you set with --are and --not.
    """
    with opened() as archive:
        if made:
            pair = actions.make_pair(archive, *(get_picture(archive, words) for words in made))
            spot = spot or str(pair.spot_id)
        if refused:
            before, after = (get_picture(archive, words) for words in refused)
            actions.refuse_pair(archive, before.picture_id, after.picture_id)
        settle(archive)
        found = actions.list_pairs(archive, actions.get_spot(archive, spot) if spot else None)
        by_id = known_pictures(archive)
        if as_json:
            print_json(pairs_document(found, by_id))
            return
        for pair in found:
            before, after = by_id[pair.before_id], by_id[pair.after_id]
            line = f"spot {pair.spot_id:>3}  {before.file} -> {after.file}  {pair.kind}  {pair.score:.2f}"
            console().print(line, markup=False)
        console().print(f"{counted(len(found), 'pair')}.")
