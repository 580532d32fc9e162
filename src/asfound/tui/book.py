"""The book from the screens: asked where to, printed behind them, and opened in the system's viewer."""

from __future__ import annotations

import os
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from asfound.tui.background import BUSY
from asfound.tui.viewer import open_in_viewer, path_for_shell
from asfound.tui.widgets.ask_line import folders_and_files
from asfound.tui.words import moment_with_year

if TYPE_CHECKING:
    from asfound.tui.app import ArchiveApp


def ask_where(app: ArchiveApp) -> None:
    """Ask for the file to print to; the one of last time, or one beside the archive, is offered."""
    if app.background.goes_on:
        app.tell(BUSY)
    elif app.here is not None:
        app.here.ask(
            "Print the book to",
            partial(_print_to, app),
            words=str(app.service.book_path()),
            complete=folders_and_files,
            enter_words="prints all of it as this PDF",
        )


def open_book(app: ArchiveApp) -> None:
    """Open the book as it was printed last; where there is none, ask where to print it."""
    path = app.service.book_path()
    if not path.is_file():
        ask_where(app)
        return
    app.copy_to_clipboard(str(path))
    done = "Opened in the viewer, as" if open_in_viewer(path, os.environ) else "No viewer here;"
    printed = moment_with_year(datetime.fromtimestamp(path.stat().st_mtime))
    shown = path_for_shell(path, app.size.width - 2)
    app.tell(f"{done} printed {printed}. Its path is copied; it is also:\n{shown}")


def _print_to(app: ArchiveApp, words: str) -> None:
    path = Path(words).expanduser()
    if path.is_dir():
        path /= app.service.book_path().name
    elif not path.suffix:
        path = path.with_suffix(".pdf")
    if not path.exists():
        app.background.print_book(path)
    elif app.here is not None:
        question = f"{path.name} is there already; write over it? y or n"
        app.here.ask(question, partial(_print_over, app, path), enter_words="takes the answer")


def _print_over(app: ArchiveApp, path: Path, answer: str) -> None:
    if answer.casefold() in ("y", "yes"):
        app.background.print_book(path, replace=True)
    else:
        app.tell(f"Nothing was printed; {path.name} is as it was.")
