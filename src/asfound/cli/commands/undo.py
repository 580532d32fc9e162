"""`asfound undo`: take back what was entered, step by step."""

from __future__ import annotations

import click

from asfound.actions import log
from asfound.cli.parts import console, example, opened


@click.command(epilog=example("asfound undo 2"))
@click.argument("steps", type=click.IntRange(1), default=1)
@click.option("--list", "only_list", is_flag=True, help="Show what could be taken back, latest first.")
def COMMAND(steps: int, only_list: bool) -> None:
    """Take back the last STEPS things that were entered; photos and clips are never touched."""
    with opened() as archive:
        if only_list:
            for words in log.steps_to_undo(archive):
                console().print(words, markup=False)
            return
        for words in log.undo(archive, steps):
            console().print(f"taken back: {words}", markup=False)
