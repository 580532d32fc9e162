"""`asfound bags`: every bag with its count and where it is; bring a table of them in."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions.bag_list import list_bags_by_label
from asfound.cli.bag_lists import bag_document, bag_line
from asfound.cli.imports import dry_run_option, tell_import
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.group(invoke_without_command=True, epilog=example("asfound bags --to-count"))
@click.option("--to-count", is_flag=True, help="Only those not counted back yet, or that came back short.")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, to_count: bool, as_json: bool) -> None:
    """List bags: how many pieces went in and came back, what for, and where the bag is."""
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        found = list_bags_by_label(archive, to_count=to_count)
        if as_json:
            print_json([bag_document(bag) for bag in found])
            return
        for bag in found:
            console().print(bag_line(bag))
        if not found:
            said = (
                "Every bag is counted back."
                if to_count
                else "No bags yet. Write one down with: asfound bag B4 --for 17"
            )
            console().print(said)


@COMMAND.command("import", epilog=example("asfound bags import bags.csv --dry-run"))
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@dry_run_option
@json_option
def import_(file: Path, dry_run: bool, as_json: bool) -> int:
    """Import bags from FILE, a CSV table. Separate items in one cell with semicolons.

    Columns: bag, label, for_tags, place, contents, thread, length_mm, across_flats_mm, head_mark, count_out,
    count_back, note. Only bag is needed.
    """
    from asfound.actions.bags_import import import_bags

    with opened() as archive:
        return tell_import(import_bags(archive, file, is_dry_run=dry_run), dry_run=dry_run, as_json=as_json)
