"""The account of a table that was brought in, row by row."""

from __future__ import annotations

from typing import Any

import click
from rich.cells import cell_len

from asfound.actions.table_import import ImportReport
from asfound.cli.parts import clean, console, errors, print_json
from asfound.cli.places import counted, padded

dry_run_option = click.option("--dry-run", is_flag=True, help="Show what would change, and change nothing.")


def tell_import(report: ImportReport, *, dry_run: bool, as_json: bool) -> int:
    """Print what became of every row; what could not be taken goes to stderr. The exit status: 1 if there was any."""
    for words in report.words:
        errors().print(words)
    if as_json:
        print_json(_document(report, dry_run=dry_run))
    else:
        _print_heads(report)
        _print(report, dry_run=dry_run)
    for row in report.rows:
        for why in row.left_out:
            errors().print(f"line {row.line}, {row.what}{' refused' if row.became == 'refused' else ''}: {why}")
    if report.unread_columns:
        errors().print(f"Columns not used: {', '.join(report.unread_columns)}")
    return 1 if any(row.left_out for row in report.rows) else 0


def _print_heads(report: ImportReport) -> None:
    """What the heads of a person's own sheet were read as."""
    own = [one for one in report.heads if one.how != "known"]
    width = max((cell_len(clean(one.shown)) for one in own), default=0)
    for one in own:
        console().print(f"{padded(one.shown, width)}  {one.words}", markup=False)


def _print(report: ImportReport, *, dry_run: bool) -> None:
    out = console()
    for row in report.rows:
        if row.became in ("added", "changed"):
            out.print(f"{row.what}  {row.became}", style="bold" if dry_run else "")
            # What is new is there to be read; what becomes another must be seen before it does.
            for change in row.changes if dry_run or row.became == "changed" else ():
                out.print(f"    {change}")
    counts = [f"{report.count(word)} {word}" for word in ("added", "changed", "same", "refused") if report.count(word)]
    out.print(f"{counted(len(report.rows), 'row')}: {', '.join(counts) or 'nothing in them'}.")
    if dry_run:
        out.print("Nothing was changed: this was a dry run.")
    elif report.count("added") or report.count("changed"):
        out.print("Take all of it back with: asfound undo")


def _document(report: ImportReport, *, dry_run: bool) -> dict[str, Any]:
    return {
        "dry_run": dry_run,
        "rows": [
            {
                "line": row.line,
                "what": row.what,
                "became": row.became,
                "changes": list(row.changes),
                "left_out": list(row.left_out),
            }
            for row in report.rows
        ],
        "heads": [{"head": one.shown, "column": one.column, "how": one.how} for one in report.heads],
        "words": list(report.words),
        "unread_columns": list(report.unread_columns),
    }
