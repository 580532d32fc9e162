"""`asfound undo`: take back what was entered, step by step."""

from __future__ import annotations

import click

from asfound.actions import log
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example("asfound undo 2"))
@click.argument("steps", type=click.IntRange(1), default=1)
@click.option("--list", "only_list", is_flag=True, help="Show what could be taken back, latest first.")
@json_option
def COMMAND(steps: int, only_list: bool, as_json: bool) -> None:
    """Take back the last STEPS things that were entered; photos and clips are never touched."""
    with opened() as archive:
        words = log.steps_to_undo(archive) if only_list else log.undo(archive, steps)
    if as_json:
        print_json(words)
        return
    for word in words:
        console().print(word if only_list else f"taken back: {word}")
    if not words:
        console().print("Nothing was entered yet that could be taken back.")
