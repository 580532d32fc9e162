"""`asfound tags`: every tag with what is known of it; bring a table of them in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from asfound.actions.tag_list import ListedTag, list_tags_by_number
from asfound.cli.imports import dry_run_option, tell_import
from asfound.cli.parts import asked, console, example, json_option, opened, print_json
from asfound.cli.places import padded
from asfound.core.log.tag_fields import OF_END, OF_TAG
from asfound.errors import Misused


@click.group(invoke_without_command=True, epilog=example("asfound tags"))
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, as_json: bool) -> None:
    """List tags in order of their numbers, with ends, pins and whether they are off."""
    if ctx.invoked_subcommand is None:
        _list(as_json=as_json)


def _columns() -> str:
    """The headings that a list can have."""
    of_tag = [row.column for row in OF_TAG.values() if row.column]
    of_end = [row.column.format("a") for row in OF_END.values() if row.column]
    others = "refit_after, refit_before, tagged_on, off_on, state_YYYY_MM_DD"
    return f"tag, {', '.join(of_tag)}, {', '.join(of_end)}, a_stripe and the same for b, {others}"


@COMMAND.command(
    "import",
    help=f"""Import tags from FILE, a CSV table. Separate items in one cell with semicolons.

    Columns: {_columns()}. Only tag is needed.

    A sheet with heads of its own ("No;What;From;To") is shown first: what each head is read as, and what no column is
    for goes into the note with its head. Commas, semicolons or tabs part the cells.
    """,
    epilog=example("asfound tags import tags.csv --dry-run"),
)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="HEAD=COLUMN",
    help='What a head of your own sheet is: "No=tag", "Torque=note"; "Photo=-" leaves it out.',
)
@click.option("--as-shown", is_flag=True, help="Heads of your own are what the dry run shows.")
@dry_run_option
@json_option
def import_(file: Path, columns: tuple[str, ...], as_shown: bool, dry_run: bool, as_json: bool) -> int:
    from asfound.actions.tags_import import import_tags

    said = dict(map(_mapped, columns))
    with opened() as archive:
        report = asked(
            lambda is_sure: import_tags(archive, file, is_dry_run=dry_run, said=said, as_shown=is_sure),
            is_sure=as_shown,
        )
        return tell_import(report, dry_run=dry_run, as_json=as_json)


def _mapped(typed: str) -> tuple[str, str]:
    head, mark, column = typed.rpartition("=")
    if not mark or not head.strip() or not column.strip():
        raise Misused(f'"{typed}" maps nothing; write a head and its column: --column "No=tag"')
    return head.strip(), column.strip()


def _list(*, as_json: bool) -> None:
    with opened() as archive:
        listed = list_tags_by_number(archive)
        if as_json:
            print_json([_document(one) for one in listed])
            return
        for one in listed:
            marks = " ".join(f"{end.end}{'*' if end.end in one.pinned else '-'}" for end in one.ends)
            name = padded(one.tag.name or "-", 36)
            line = f"{padded(one.label, 5, at_right=True)}  {marks:<6} {one.tag.kind:<14} {name} {one.said}"
            console().print(line.rstrip())
        console().print("* pinned, - not pinned" if listed else "No tags yet. Add one with: asfound tag 17 --kind hose")


def _document(one: ListedTag) -> dict[str, Any]:
    return {
        "tag": one.tag.number,
        "order": one.tag.order,
        "kind": one.tag.kind,
        "name": one.tag.name,
        "bag": one.tag.bag,
        "state": one.said,
        "ends": [{"end": end.end, "place": end.place, "pinned": end.end in one.pinned} for end in one.ends],
    }
