"""`asfound spot`: put right what the machine sorted. What is said here is never undone by a later sort."""

from __future__ import annotations

import click

from asfound.actions import spots as actions
from asfound.actions.resolve import get_picture
from asfound.actions.sort import finish_pending
from asfound.cli.parts import console, example, opened
from asfound.cli.places import counted


@click.group(epilog=example('asfound spot name 3 "starter, lower port side"'))
def COMMAND() -> None:
    """Name, accept, move, join and split spots."""


@COMMAND.command("name", epilog=example('asfound spot name 3 "starter, lower port side"'))
@click.argument("spot")
@click.argument("name")
def name_(spot: str, name: str) -> None:
    """Name a spot, in words. An empty name removes the name."""
    with opened() as archive:
        found = actions.get_spot(archive, spot)
        actions.name_spot(archive, found, name)
        said = f"is now: {name.strip()}" if name.strip() else "has no name now"
        console().print(f"Spot {found.spot_id} {said}")


@COMMAND.command("accept", epilog=example("asfound spot accept 3"))
@click.argument("spot")
def accept(spot: str) -> None:
    """Accept a spot as it is."""
    with opened() as archive:
        found = actions.get_spot(archive, spot)
        actions.accept_spot(archive, found)
        console().print(f"Spot {found.spot_id} with its {counted(len(found.picture_ids), 'picture')} is accepted.")


@COMMAND.command("move", epilog=example("asfound spot move P1_0012.jpg 3"))
@click.argument("pictures", nargs=-1, required=True)
@click.argument("spot")
def move(pictures: tuple[str, ...], spot: str) -> None:
    """Move PICTURES into SPOT. "none" takes them out of any spot."""
    with opened() as archive:
        target = None if spot.casefold() == actions.NO_SPOT else actions.get_spot(archive, spot)
        ids = [get_picture(archive, words).picture_id for words in pictures]
        actions.move_pictures(archive, ids, target)
        finish_pending(archive)
        console().print(
            f"{counted(len(ids), 'picture')} moved to {'no spot' if target is None else f'spot {target.spot_id}'}."
        )


@COMMAND.command("join", epilog=example("asfound spot join 3 8"))
@click.argument("spot")
@click.argument("other")
def join(spot: str, other: str) -> None:
    """Join two spots into one. SPOT keeps its number and name."""
    with opened() as archive:
        keep = actions.get_spot(archive, spot)
        actions.join_spots(archive, keep, actions.get_spot(archive, other))
        finish_pending(archive)
        console().print(f"Spot {other} is part of spot {keep.spot_id} now.", markup=False)


@COMMAND.command("split", epilog=example("asfound spot split 3 P1_0012.jpg P1_0013.jpg"))
@click.argument("spot")
@click.argument("pictures", nargs=-1, required=True)
def split(spot: str, pictures: tuple[str, ...]) -> None:
    """Move PICTURES out of SPOT into a new spot."""
    with opened() as archive:
        ids = [get_picture(archive, words).picture_id for words in pictures]
        made = actions.split_spot(archive, actions.get_spot(archive, spot), ids)
        finish_pending(archive)
        console().print(f"Spot {made.spot_id} made with {counted(len(ids), 'picture')}.")
