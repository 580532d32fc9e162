"""`asfound gaps`: what the record lacks, while it can still be mended; answer what stays as it is."""

from __future__ import annotations

import click

from asfound.actions.gaps import answer_gaps, find_gaps, list_answers
from asfound.actions.sort import finish_pending
from asfound.cli.json_documents import gaps_document
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress
from asfound.model.log import Gap, GapKind


@click.group(invoke_without_command=True, epilog=example("asfound gaps"))
@click.option("--answered", is_flag=True, help="What was answered, and with which words.")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, answered: bool, as_json: bool) -> None:
    """List what the record lacks; what only the machine as it stands can still tell comes first."""
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        if answered:
            said = list_answers(archive)
            if as_json:
                print_json([{"gap": one.kind, "about": one.about, "answer": one.word} for one in said])
            for one in () if as_json else said:
                console().print(f"{one.about:>8}  {one.kind}: {one.word}")
            return
        with shown_progress() as progress:
            finish_pending(archive, progress)
        found = find_gaps(archive)
        if as_json:
            print_json(gaps_document(found))
            return
        _show([gap for gap in found if gap.at_machine], "Look at the machine as it stands now")
        _show([gap for gap in found if gap.mendable and not gap.at_machine], "Can be mended at the table")
        _show([gap for gap in found if not gap.mendable], "Too late to mend; keep it in mind")
        console().print(f"{len(found)} gaps." if found else "Nothing that this record could tell is missing.")


@COMMAND.command("answer", epilog=example('asfound gaps answer 34 "never used"'))
@click.argument("about")
@click.argument("words", nargs=-1, required=True)
@click.option("--gap", "kind", default="", metavar="KIND", help="Which gap, where a thing has several.")
@json_option
def answer(about: str, words: tuple[str, ...], kind: str, as_json: bool) -> None:
    """Say of ABOUT (34, 23b, B8) what is so; the gap does not come back, until undo.

    "no second end" makes a thing one-ended, "new tape" gives an end its tape back. Any other words say why it stays so:
    "never used" of a missing number, "hidden behind the tank" of an end without a picture.
    """
    with opened() as archive:
        closed = answer_gaps(archive, about, " ".join(words), kind=kind)
        if as_json:
            print_json(gaps_document(closed))
            return
        for gap in closed:
            console().print(f"closed: {gap.kind}{f', {about}' if about else ''}")
        console().print("Take that back with: asfound undo")


def _show(gaps: list[Gap], heading: str) -> None:
    if not gaps:
        return
    console().print(heading, style="bold")
    missing = [gap.number for gap in gaps if gap.kind is GapKind.NUMBER_MISSING]
    for gap in gaps:
        if gap.kind is not GapKind.NUMBER_MISSING or len(missing) == 1:
            console().print(f"  {gap.kind}: {gap.why}")
        elif gap.number == missing[0]:
            # One line for all: a sheet of printed numbers leaves dozens unused.
            said = f"  {gap.kind}: {', '.join(str(number) for number in missing)}"
            console().print(f'{said}. Look for their tapes, or say: asfound gaps answer {missing[0]} "never used"')
