"""A backup from the screens: to the stick of last time with one key; where to is asked the first time."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from asfound.actions.last_backup import last_backup
from asfound.archive.backups import is_backup
from asfound.tui.background import BUSY
from asfound.tui.base import ArchiveScreen
from asfound.tui.widgets.ask_line import folders_and_files

FOLDER = "asfound-backup"
"""Made on a stick that holds other things too."""
ZIP = ".zip"


def back_up(here: ArchiveScreen) -> None:
    """Back up to where it was done last, if that stick or disk is there; else ask where to."""
    last = last_backup(here.archive)
    if here.session.background.goes_on:
        here.say(BUSY)
    elif last is None:
        ask_where(here)
    elif _is_there(Path(last.place)):
        _begin(here, Path(last.place))
    else:
        missing = f"{last.place} is not there. Plug it in and press Enter, or name another place."
        ask_where(here, last.place, missing)


def ask_where(here: ArchiveScreen, words: str = "", refusal: str = "") -> None:
    """Ask for the folder or zip to back up to; it is kept for the next time."""
    if here.session.background.goes_on:
        here.say(BUSY)
        return
    here.ask(
        "Back up to",
        partial(_answered, here),
        words=words,
        complete=folders_and_files,
        enter_words="copies the whole archive to this stick or folder",
        refusal=refusal,
    )


def _answered(here: ArchiveScreen, words: str) -> None:
    place = Path(words).expanduser().absolute()
    last = last_backup(here.archive)
    if last is not None and str(place) == last.place and not _is_there(place):
        back_up(here)  # asks again: a stick that is not in must not become a folder on this disk
    elif not place.parent.is_dir():
        ask_where(here, words, f"{place.parent} is not there. Plug the stick in, or name another place.")
    elif place.is_dir() and not is_backup(place) and any(place.iterdir()):
        _begin(here, place / FOLDER)
    else:
        _begin(here, place)


def _begin(here: ArchiveScreen, place: Path) -> None:
    here.say(f"Backing up to {place}. You can go on working; x on the first screen stops it.")
    here.session.background.back_up(place)


def _is_there(place: Path) -> bool:
    return place.is_file() if place.suffix.lower() == ZIP else is_backup(place)
