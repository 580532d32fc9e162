"""`asfound backup`: copy the record to another disk or stick, while it is in use."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from asfound.actions import backup as actions
from asfound.actions.check import Rest
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import counted

NAMED = 20


@click.command(epilog=example("asfound backup /media/stick/sallow"))
@click.argument("target", type=click.Path(path_type=Path), metavar="DIR|FILE.zip")
@json_option
def COMMAND(target: Path, as_json: bool) -> int:
    """Back the archive up into a folder, or into one file ending with .zip.

    A folder gets only what it does not have yet, and one more state of the record; earlier states stay. A file holds
    one state: the next one replaces it. Check it with: asfound check DIR. Bring it back with: asfound restore DIR
    """
    with opened() as archive, shown_progress() as progress:
        report = actions.back_up(archive, target, progress=progress, pace=Rest())
    if as_json:
        print_json(report_document(report))
    else:
        console().print(f"{counted(report.copied, 'original')} copied, {report.known} were there.")
        console().print(f"The record is kept as {Path(report.state).stem} in {report.place}")
        if report.replaced:
            earlier = Path(report.replaced).stem
            console().print(f"The earlier state in it, {earlier}, was replaced; a folder keeps several.")
    tell_left_out(report)
    if report.is_on_same_disk:
        errors().print(
            "It is on the same disk as the archive, and one fault may cost you both: use a stick or another disk."
        )
    return 1 if report.left_out else 0


def report_document(report: actions.BackupReport) -> dict[str, Any]:
    """What `backup --json` and `restore --json` print."""
    return {
        "place": str(report.place),
        "state": Path(report.state).stem,
        "replaced": Path(report.replaced).stem if report.replaced else None,
        "copied": report.copied,
        "known": report.known,
        "left_out": [{"file": file, "why": why} for file, why in report.left_out],
    }


def tell_left_out(report: actions.BackupReport) -> None:
    """Name on stderr what could not be copied."""
    for file, why in report.left_out[:NAMED]:
        errors().print(f"left out: {file}: {why}")
    if len(report.left_out) > NAMED:
        errors().print(f"left out: and {len(report.left_out) - NAMED} more; --json names them all")
