"""Photos and clips from the screens: asked which folder or card, added behind them."""

from __future__ import annotations

from asfound.tui.background import BUSY
from asfound.tui.base import ArchiveScreen
from asfound.tui.terminal import likely_folder
from asfound.tui.widgets.ask_line import folders_and_files


def ask_for_folder(here: ArchiveScreen) -> None:
    """Ask for the folder or card whose photos and clips are to be added."""
    if here.session.background.goes_on:
        here.say(BUSY)  # before a path is typed for nothing
    else:
        _ask(here, likely_folder())


def _ask(here: ArchiveScreen, begun: str, refusal: str = "") -> None:
    def answered(words: str) -> None:
        refusal = here.session.background.bring_in(words)
        if not refusal:
            here.say("Adding. You can go on working; x on the first screen stops it and keeps what is in.")
        elif refusal == BUSY:
            here.say(refusal)
        else:  # a long path with one letter wrong is put right, not typed anew
            _ask(here, words, refusal)

    here.ask(
        "Bring in",
        answered,
        words=begun,
        complete=folders_and_files,
        enter_words="adds the photos and clips of this folder",
        refusal=refusal,
    )
