"""`asfound restore`: bring a backup back as an archive."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions import backup as actions
from asfound.actions.archive import default_folder
from asfound.cli.commands.backup import report_document, tell_left_out
from asfound.cli.parts import console, example, json_option, print_json, shown_progress
from asfound.cli.places import counted


@click.command(epilog=example("asfound restore /media/stick/sallow --to ~/sallow"))
@click.argument("backup", type=click.Path(path_type=Path, exists=True))
@click.option("--to", "target", type=click.Path(path_type=Path), help="The new archive's folder; else the usual one.")
@click.option("--state", default="", metavar="WHEN", help="An earlier state, such as 2025-10-18; else the latest.")
@json_option
def COMMAND(backup: Path, target: Path | None, state: str, as_json: bool) -> int:
    """Bring BACKUP back as an archive. One that is there already is never written over.

    If it is stopped, run it again to carry on.
    """
    chosen = click.get_current_context().find_root().obj
    folder = target or chosen.folder or default_folder()
    with shown_progress() as progress:
        report = actions.restore(backup, folder, state=state, progress=progress)
    if as_json:
        print_json(report_document(report))
    else:
        console().print(f"The record of {report.state} and {counted(report.copied + report.known, 'original')} brought")
        console().print(f"back into {report.place}")
    tell_left_out(report)
    return 1 if report.left_out else 0
