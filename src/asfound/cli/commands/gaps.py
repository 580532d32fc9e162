"""`asfound gaps`: what the record lacks, while it can still be fixed; answer what stays as it is."""

from __future__ import annotations

import shlex
from collections.abc import Callable

import click

from asfound.actions.gaps import answer_gaps, find_gaps, gap_names, list_answers
from asfound.cli.json_documents import gaps_document
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.cli.places import counted, padded
from asfound.core.log.gap_advice import in_parts, told
from asfound.model.log import Gap

FOLD_FROM = 4
"""So many gaps of one kind are one line: a sheet of printed numbers leaves dozens unused."""


@click.group(invoke_without_command=True, epilog=example("asfound gaps"))
@click.option("--all", "one_by_one", is_flag=True, help="One line for each gap.")
@click.option("--answered", is_flag=True, help="The gaps you closed, with your reasons.")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, one_by_one: bool, answered: bool, as_json: bool) -> None:
    """List what the record lacks. What you can still check on the machine comes first.

    Many gaps of one kind share one line.
    """
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        if answered:
            said = list_answers(archive)
            if as_json:
                print_json([{"gap": one.kind, "about": one.about, "answer": one.word} for one in said])
            for one in () if as_json else said:
                console().print(f"{padded(one.about, 8, at_right=True)}  {one.kind}: {one.word}")
            return
        settle(archive)
        found = find_gaps(archive)
        if as_json:
            print_json(gaps_document(found))
            return
        names = gap_names(archive)
        for heading, gaps in in_parts(found).items():
            _show(heading, gaps, names, fold_from=len(gaps) + 1 if one_by_one else FOLD_FROM)
        if not found:
            console().print("No gaps found, as far as this record can tell.")
            return
        example_name = shlex.quote(names(found[-1]))
        answer_it = f'asfound gaps answer {example_name} "why it stays"'
        console().print(f"{counted(len(found), 'gap')}. To close one you cannot fix, give a reason: {answer_it}")


@COMMAND.command("answer", epilog=example('asfound gaps answer 34 "never used"'))
@click.argument("about")
@click.argument("words", nargs=-1, required=True)
@click.option("--gap", "kind", default="", metavar="KIND", help="Which gap, where a thing has several.")
@json_option
def answer(about: str, words: tuple[str, ...], kind: str, as_json: bool) -> None:
    """Close the gap of ABOUT (34, 23b, B8, P1_0032.jpg; or several: 11b,12b) with a reason. It stays closed until undo.

    "no second end" makes a thing one-ended; "new tape" gives an end its tape back. Any other words are the reason it
    stays open: "never used" for a missing number, "hidden behind the tank" for an end without a picture.
    """
    with opened() as archive:
        # The words for a fluid or a thing without a number may have a comma of their own.
        abouts = [about] if " " in about.strip() else [one for one in about.split(",") if one]
        with archive.step(f"gap of {about} answered: {' '.join(words)}"):
            closed = [gap for one in abouts for gap in answer_gaps(archive, one, " ".join(words), kind=kind)]
        if as_json:
            print_json(gaps_document(closed))
            return
        names = gap_names(archive)
        for gap in closed:
            console().print(f"closed: {gap.kind}, {names(gap)}")
        console().print("Take that back with: asfound undo")


def _show(heading: str, gaps: list[Gap], names: Callable[[Gap], str], *, fold_from: int) -> None:
    """Gaps under their heading, those of one kind in one line from so many on."""
    if not gaps:
        return
    console().print(heading, style="bold")
    for line, is_folded in told(gaps, names, fold_from=fold_from):
        console().print(f"  {line}{' One by one: asfound gaps --all' if is_folded else ''}")
