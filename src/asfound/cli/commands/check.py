"""`asfound check`: whether every original, and the record itself, is still what it was."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from asfound.actions.archive import default_folder
from asfound.actions.check import CheckReport, Damage, Rest, check_archive
from asfound.cli.parts import console, errors, example, json_option, print_json, shown_progress
from asfound.cli.places import counted
from asfound.system import lower_priority

NAMED = 40
LOWER_BY = 5


@click.command(epilog=example("asfound check --full"))
@click.argument("backup", required=False, type=click.Path(path_type=Path, exists=True))
@click.option("--full", "is_full", is_flag=True, help="Read every byte again; may be stopped, and goes on from there.")
@json_option
def COMMAND(backup: Path | None, is_full: bool, as_json: bool) -> int:
    """Check that nothing is lost or damaged, in the archive or in a BACKUP. Nothing is changed.

    Without --full: sizes, files that are missing, and the database page by page. What is damaged is named with the
    pictures and tags it costs, and the exit status is 1. Repair it with: asfound repair
    """
    chosen = click.get_current_context().find_root().obj
    folder = (backup or chosen.folder or default_folder()).expanduser().absolute()
    lower_priority(LOWER_BY)  # A check can wait; whoever works beside it cannot.
    with shown_progress() as progress:
        report = check_archive(folder, is_full=is_full, progress=progress, pace=Rest())
    if as_json:
        print_json(check_document(report))
    else:
        _tell(report, is_full=is_full)
    return 0 if report.is_sound else 1


def check_document(report: CheckReport) -> dict[str, Any]:
    """`check --json`."""
    return {
        "sound": report.is_sound,
        "checked": report.checked,
        "earlier": report.earlier,
        "damaged": [
            {
                "file": one.file,
                "what": one.what,
                "tags": list(one.tags),
                "ends": list(one.ends),
                "pictures": [{"picture": picture_id, "file": file} for picture_id, file in one.pictures],
                "lost": one.is_lost,
            }
            for one in report.damaged
        ],
        "strays": report.strays,
    }


def _tell(report: CheckReport, *, is_full: bool) -> None:
    earlier = f", {report.earlier} of them by an earlier check that was stopped" if report.earlier else ""
    console().print(f"{counted(report.checked, 'file')} checked{earlier}.")
    for stray in report.strays[:NAMED]:
        console().print(f"not needed: {stray}")
    _left_out(len(report.strays))
    for one in report.damaged[:NAMED]:
        errors().print(f"damaged: {one.file}: {one.what}{_costs(one)}")
    if len(report.damaged) > NAMED:
        errors().print(f"and {len(report.damaged) - NAMED} more; --json names them all")
    if report.is_sound:
        more = "" if is_full else " Every byte is read by: asfound check --full"
        console().print(f"Nothing is damaged or missing.{more}")


def _left_out(count: int) -> None:
    if count > NAMED:
        console().print(f"and {count - NAMED} more; --json names them all")


def _costs(one: Damage) -> str:
    """The pictures and tags it costs, in words."""
    told = []
    if one.pictures:
        names = [file for _, file in one.pictures]
        told.append(", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else ""))
    if one.tags:
        told.append(f"tags {', '.join(one.ends or one.tags)}")
    return f" ({'; '.join(told)})" if told else ""
