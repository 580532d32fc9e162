"""`asfound undo`: take back what was entered, step by step."""

from __future__ import annotations

from typing import Any

import click

from asfound.actions import undo as actions
from asfound.cli.json_documents import moment
from asfound.cli.parts import asked, console, example, json_option, opened, print_json
from asfound.model.steps import Step

ALL = 10_000


@click.command(epilog=example("asfound undo 2"))
@click.argument("steps", type=click.IntRange(1), default=1)
@click.option("--list", "only_list", is_flag=True, help="Show what could be taken back, latest first.")
@click.option("--all", "all_of_them", is_flag=True, help="Show all that was entered, also what was taken back.")
@click.option(
    "--yes",
    "is_sure",
    is_flag=True,
    help="Take back without asking, also what is older, from another program, or a table.",
)
@json_option
def COMMAND(steps: int, only_list: bool, all_of_them: bool, is_sure: bool, as_json: bool) -> None:
    """Take back the last STEPS things you entered. Photos and clips are never touched.

    What you entered in this terminal in the last hours is taken back at once. For what is older, what another program
    wrote, or an imported table, it asks first. To bring it back: asfound redo
    """
    with opened() as archive:
        if only_list or all_of_them:
            listed = actions.all_steps(archive, ALL) if all_of_them else actions.steps_to_undo(archive)
            _list(listed, with_times=all_of_them, as_json=as_json)
            return
        words = asked(lambda sure: actions.undo(archive, steps, is_sure=sure), is_sure=is_sure or None)
    if as_json:
        print_json(words)
        return
    for word in words:
        console().print(f"taken back: {word}")
    console().print("Bring it back with: asfound redo")


def _list(listed: list[Step], *, with_times: bool, as_json: bool) -> None:
    if as_json:
        print_json([_document(step) for step in listed] if with_times else [step.words for step in listed])
        return
    for step in listed:
        back = f"  (taken back {step.undone_at:%Y-%m-%d %H:%M})" if step.undone_at else ""
        console().print(f"{step.at:%Y-%m-%d %H:%M}  {step.words}{back}" if with_times else step.words)
    if not listed:
        console().print("There is nothing to take back.")


def _document(step: Step) -> dict[str, Any]:
    return {
        "at": moment(step.at),
        "words": step.words,
        "by": step.writer.who or None,
        "rows": step.changes,
        "taken_back": moment(step.undone_at),
    }
