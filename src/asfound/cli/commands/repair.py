"""`asfound repair`: put right what check found, from backups, cards and what can still be read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from asfound.actions.archive import default_folder
from asfound.actions.repair import RepairReport, repair
from asfound.cli.parts import console, errors, example, json_option, print_json, shown_progress
from asfound.cli.places import counted

NAMED = 40


@click.command(epilog=example("asfound repair --from /media/stick/sallow --from ~/phone"))
@click.option(
    "--from",
    "sources",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="A backup, a card, or any folder or zip that may still have what is lost; may be given several times.",
)
@json_option
def COMMAND(sources: tuple[Path, ...], as_json: bool) -> int:
    """Repair what is damaged, and name what is lost for good.

    Originals are copied back from the places you name, by their bytes. What can be read of a damaged database is moved
    into a new one; the damaged one is kept. Previews and features are made again.
    """
    chosen = click.get_current_context().find_root().obj
    folder = (chosen.folder or default_folder()).expanduser().absolute()
    with shown_progress() as progress:
        report = repair(folder, [source.expanduser().absolute() for source in sources], progress=progress)
    if as_json:
        print_json(_document(report))
    else:
        _tell(report)
    _tell_lost(report)
    return 0 if report.is_whole else 1


def _document(report: RepairReport) -> dict[str, Any]:
    salvaged = report.salvaged
    return {
        "whole": report.is_whole,
        "database": report.database or None,
        "healed": report.healed,
        "gone": [{"file": file, "why": why} for file, why in report.gone],
        "made_again": report.made_again,
        "from_backup": [] if salvaged is None else salvaged.from_backup,
        "lost": [] if salvaged is None else salvaged.lost,
        "doubtful": [] if salvaged is None else salvaged.doubtful,
        "loose": [] if salvaged is None else salvaged.loose,
    }


def _tell(report: RepairReport) -> None:
    out = console()
    if report.database:
        out.print(f"The database: {report.database}.")
    if report.salvaged is not None and report.salvaged.from_backup:
        out.print(f"From the backup came {counted(len(report.salvaged.from_backup), 'row')}:")
        for words in report.salvaged.from_backup[:NAMED]:
            out.print(f"  {words}")
    if report.healed:
        out.print(f"{counted(len(report.healed), 'original')} whole again: {', '.join(report.healed[:NAMED])}")
    if report.made_again:
        out.print(f"{counted(report.made_again, 'file')} of previews and features will be made again")
    if report.is_whole and not (report.database or report.healed or report.made_again):
        out.print("Nothing was damaged or missing.")


def _tell_lost(report: RepairReport) -> None:
    """Name on stderr what cannot be recovered, and what must be looked at."""
    lines = [f"lost: {file}: {why}" for file, why in report.gone]
    if report.salvaged is not None:
        lines += [f"lost: {words}" for words in report.salvaged.lost]
        lines += [f"check: {words}: it was on a damaged page" for words in report.salvaged.doubtful]
        if report.salvaged.loose:
            count = counted(len(report.salvaged.loose), "line")
            lines.append(f"{count} whose tag or picture was lost: kept as words-without-a-place-….txt in the archive")
    for line in lines[:NAMED]:
        errors().print(line)
    if len(lines) > NAMED:
        errors().print(f"and {len(lines) - NAMED} more; --json names them all")
