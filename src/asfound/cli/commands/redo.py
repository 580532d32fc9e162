"""`asfound redo`: bring back what was taken back."""

from __future__ import annotations

import click

from asfound.actions import undo as actions
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example("asfound redo"))
@click.argument("steps", type=click.IntRange(1), default=1)
@click.option("--list", "only_list", is_flag=True, help="Show what could be brought back, in that order.")
@json_option
def COMMAND(steps: int, only_list: bool, as_json: bool) -> None:
    """Bring back the last STEPS things that undo took back."""
    with opened() as archive:
        if only_list:
            words = [step.words for step in actions.steps_to_redo(archive)]
        else:
            words = actions.redo(archive, steps)
    if as_json:
        print_json(words)
        return
    for word in words:
        console().print(word if only_list else f"brought back: {word}")
    if not words:
        console().print("There is nothing to bring back.")
