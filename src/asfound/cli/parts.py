"""What the commands share: options, opening the archive, printing for people and for scripts."""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

import click
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
from rich.progress import Progress as ProgressBar

from asfound.actions import sort
from asfound.actions.archive import Archive, open_archive
from asfound.actions.progress import Progress
from asfound.cli.terminal import Printer, clean, console, errors, is_terminal
from asfound.errors import AskFirst

__all__ = [
    "asked",
    "clean",
    "console",
    "errors",
    "example",
    "json_option",
    "opened",
    "print_json",
    "settle",
    "shown_progress",
]

T = TypeVar("T")
SECONDS_BETWEEN_LINES = 10.0
WORDS_BEFORE_BAR = 34
_NEGATIVE = re.compile(r"-\.?\d")

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


def asked(work: Callable[[bool], T], *, is_sure: bool | None = None) -> T:
    """Do what may have to be asked about first: a person at a terminal is asked, anyone else is told how to say it.

    Parameters
    ----------
    work : callable
        Called with whether it is meant; raises `AskFirst` where that has to be said.
    is_sure : bool or None
        Whether it was said already.
    """
    try:
        return work(bool(is_sure))
    except AskFirst as question:
        if not (is_terminal(sys.stdin) and is_terminal(sys.stderr)):
            raise
        errors().print(question.question)
        if not click.confirm("Go on?", default=False, err=True):
            raise
        return work(True)


def print_json(document: Any) -> None:
    """Print one JSON document. Names that are not UTF-8 are written with escapes, never dropped."""
    sys.stdout.write(json.dumps(document, ensure_ascii=True, indent=1))
    sys.stdout.write("\n")


def settle(archive: Archive) -> None:
    """Before a command that only looks: do what is done in a moment; what stays open is said, not waited for."""
    with shown_progress() as progress:
        still_open = sort.settle(archive, progress)
    if still_open:
        errors().print(still_open)


class TakesNumbers(click.Command):
    """A command whose arguments may be negative numbers: `-5` is then a number, not an option nobody knows."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        ctx.ignore_unknown_options = any(_NEGATIVE.match(word) for word in args)
        return super().parse_args(ctx, args)


@contextmanager
def shown_progress() -> Iterator[Progress]:
    """Progress on stderr: for a person a bar with rate and time left, for a file or pipe a line now and then."""
    if not is_terminal(sys.stderr):
        yield _Lines()
        return
    bar = ProgressBar(
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=16),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
        console=Printer(stderr=True),
        transient=True,
    )
    task = bar.add_task("", total=None, rate="")
    last = (0, 0)

    def show(what: str, done: int, total: int) -> None:
        nonlocal last
        if total != last[1] or done < last[0]:
            # Other work than before: its rate says nothing of what comes now.
            bar.reset(task, total=total or None, rate="")
        last = (done, total)
        speed = bar.tasks[task].speed
        rate = f"{speed:.1f}/s" if speed else ""
        bar.update(task, description=_shortened(clean(what)), completed=done, total=total or None, rate=rate)
        # Not before there is something to tell: a command that is done at once should not flicker.
        bar.start()

    try:
        yield show
    finally:
        bar.stop()


def _shortened(words: str) -> str:
    """Words for the bar, which must fit on one line with it; file names can be long."""
    return words if len(words) <= WORDS_BEFORE_BAR else f"{words[: WORDS_BEFORE_BAR - 13]}…{words[-12:]}"


class _Lines:
    """Progress for a stream that cannot be drawn on; quick work says nothing."""

    def __init__(self) -> None:
        self._said_at = time.monotonic()

    def __call__(self, what: str, done: int, total: int) -> None:
        now = time.monotonic()
        if now - self._said_at < SECONDS_BETWEEN_LINES:
            return
        self._said_at = now
        count = f": {done} of {total}" if total else ""
        errors().print(f"{what}{count}")
