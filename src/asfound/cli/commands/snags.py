"""`asfound snags`: what is still to be done, bought or decided; bring a table of snags in."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions import snags
from asfound.actions.snag_list import snags_as_listed
from asfound.actions.to_buy import list_to_buy
from asfound.cli.bag_lists import snag_document, snag_line
from asfound.cli.buy_lists import print_to_buy
from asfound.cli.imports import dry_run_option, tell_import
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.group(invoke_without_command=True, epilog=example("asfound snags --to-buy"))
@click.option("--all", "show_all", is_flag=True, help="Closed ones too.")
@click.option("--to-buy", is_flag=True, help="What is to be bought, and what for: the list of asfound buy.")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, show_all: bool, to_buy: bool, as_json: bool) -> None:
    """List the snags that are still open, oldest first."""
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        if to_buy:
            print_to_buy(archive, list_to_buy(archive, arrived=show_all), as_json=as_json)
            return
        found = snags_as_listed(archive, [snag for snag in snags.list_snags(archive) if show_all or snag.is_open])
        if as_json:
            print_json([snag_document(one) for one in found])
            return
        for one in found:
            console().print(snag_line(one))
        if not found:
            console().print("No open snags are written down.")


@COMMAND.command("import", epilog=example("asfound snags import snags.csv --dry-run"))
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@dry_run_option
@json_option
def import_(file: Path, dry_run: bool, as_json: bool) -> int:
    """Import snags from FILE, a CSV table.

    Columns: snag, found_on, tag, bag, place, what, buy, state (open or closed). Only snag and what are needed.
    """
    from asfound.actions.snags_import import import_snags

    with opened() as archive:
        return tell_import(import_snags(archive, file, is_dry_run=dry_run), dry_run=dry_run, as_json=as_json)
