"""The book from the screens: asked where to, printed behind them, and opened in the system's viewer."""

from __future__ import annotations

import os
from datetime import datetime
from functools import partial
from pathlib import Path

from asfound.actions.book_path import usual_path
from asfound.actions.viewing import open_in_viewer, path_for_shell
from asfound.tui.background import BUSY
from asfound.tui.base import ArchiveScreen
from asfound.tui.widgets.ask_line import folders_and_files
from asfound.tui.words import moment_with_year


def ask_where(here: ArchiveScreen) -> None:
    """Ask for the file to print to; the one of last time, or one beside the archive, is offered."""
    if here.session.background.goes_on:
        here.say(BUSY)
        return
    here.ask(
        "Print the book to",
        partial(_print_to, here),
        words=str(usual_path(here.archive)),
        complete=folders_and_files,
        enter_words="prints all of it as this PDF",
    )


def open_book(here: ArchiveScreen) -> None:
    """Open the book as it was printed last; where there is none, ask where to print it."""
    path = usual_path(here.archive)
    if not path.is_file():
        ask_where(here)
        return
    here.app.copy_to_clipboard(str(path))
    done = "Opened in the viewer, as" if open_in_viewer(path, os.environ) else "No viewer here;"
    printed = moment_with_year(datetime.fromtimestamp(path.stat().st_mtime))
    shown = path_for_shell(path, here.app.size.width - 2)
    here.say(f"{done} printed {printed}. Its path is copied; it is also:\n{shown}")


def _print_to(here: ArchiveScreen, words: str) -> None:
    path = Path(words).expanduser()
    if path.is_dir():
        path /= usual_path(here.archive).name
    elif not path.suffix:
        path = path.with_suffix(".pdf")
    if not path.exists():
        here.session.background.print_book(path)
        return
    question = f"{path.name} is there already; write over it? y or n"
    here.ask(question, partial(_print_over, here, path), enter_words="takes the answer")


def _print_over(here: ArchiveScreen, path: Path, answer: str) -> None:
    if answer.casefold() in ("y", "yes"):
        here.session.background.print_book(path, replace=True)
    else:
        here.say(f"Nothing was printed; {path.name} is as it was.")
