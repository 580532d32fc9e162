"""What the commands share: options, opening the archive, printing for people and for scripts."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
from rich.progress import Progress as ProgressBar

from asfound.actions.archive import Archive, open_archive
from asfound.actions.progress import Progress

json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")


def example(line: str) -> str:
    """The last line of a command's help."""
    return f"Example: {line}"


@contextmanager
def opened(*, create: bool = False) -> Iterator[Archive]:
    """The archive that the main command's options name."""
    chosen = click.get_current_context().find_root().obj
    with open_archive(chosen.folder, create=create, job_id=chosen.job_id) as archive:
        yield archive


def console() -> Console:
    """Where people's output goes."""
    # Into a pipe or file nothing is folded: a line stays a line.
    return Console(highlight=False, soft_wrap=not sys.stdout.isatty())


def errors() -> Console:
    """Where warnings, refusals and progress go, so that a pipe gets data only."""
    return Console(stderr=True, highlight=False)


def print_json(document: Any) -> None:
    """Print one JSON document. Names that are not UTF-8 are written with escapes, never dropped."""
    sys.stdout.write(json.dumps(document, ensure_ascii=True, indent=1))
    sys.stdout.write("\n")


def clean(text: str) -> str:
    """Text that may hold anything, made fit for a terminal line."""
    return "".join(c if c.isprintable() else "?" for c in text)


@contextmanager
def shown_progress() -> Iterator[Progress]:
    """A progress line on stderr with rate and time left; silent when stderr is no terminal."""
    with ProgressBar(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
        console=errors(),
        transient=True,
        disable=not sys.stderr.isatty(),
    ) as bar:
        task = bar.add_task("", total=None, rate="")

        def show(what: str, done: int, total: int) -> None:
            if bar.tasks[task].description != what:
                bar.reset(task, total=total or None, description=what, rate="")
            speed = bar.tasks[task].speed
            bar.update(task, completed=done, total=total or None, rate=f"{speed:.1f}/s" if speed else "")

        yield show
