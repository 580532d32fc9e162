"""`asfound tags`: every tag with what is known of it; bring a table of them in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from asfound.actions import log
from asfound.actions.tag import list_ends, list_tags
from asfound.cli.imports import dry_run_option, tell_import
from asfound.cli.parts import asked, console, example, json_option, opened, print_json
from asfound.cli.places import padded
from asfound.core.log.tag_fields import OF_END, OF_TAG
from asfound.core.pins.numbering import sort_key
from asfound.errors import Misused
from asfound.model.log import Event
from asfound.store.pins import list_pins


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
        tags = sorted(list_tags(archive), key=lambda tag: (sort_key(tag.number), tag.order))
        ends = list_ends(archive)
        last = {event.tag_id: event for event in log.list_events(archive)}
        pins = list_pins(archive.store, archive.job.job_id)
        pinned = {(pin.tag_id, pin.end) for pin in pins}
        document: list[dict[str, Any]] = [
            {
                "tag": tag.number,
                "order": tag.order,
                "kind": tag.kind,
                "name": tag.name,
                "bag": tag.bag,
                "state": _state(last.get(tag.tag_id)),
                "ends": [
                    {"end": end.end, "place": end.place, "pinned": (tag.tag_id, end.end) in pinned}
                    for end in ends[tag.tag_id]
                ],
            }
            for tag in tags
        ]
        if as_json:
            print_json(document)
            return
        for row in document:
            marks = " ".join(f"{end['end']}{'*' if end['pinned'] else '-'}" for end in row["ends"])
            label = f"{row['tag']}.{row['order']}" if row["order"] > 1 else row["tag"]
            name = padded(row["name"] or "-", 36)
            line = f"{padded(label, 5, at_right=True)}  {marks:<6} {row['kind']:<14} {name} {row['state']}"
            console().print(line.rstrip())
        hint = "* pinned, - not pinned" if document else "No tags yet. Add one with: asfound tag 17 --kind hose"
        console().print(hint)


def _state(event: Event | None) -> str:
    if event is None:
        return ""
    return event.kind if not event.how else f"{event.kind}, {event.how}"
