"""Steps taken back and brought back from the screens."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from asfound.actions.sort import finish_pending, is_pending_but_for_new
from asfound.actions.undo import redo, undo
from asfound.errors import AsfoundError, AskFirst
from asfound.tui.base import ArchiveScreen


def take_back(here: ArchiveScreen) -> None:
    """Take the last step back, show what came back and say what it was; what has to be asked first is asked."""
    show = here.coming_back()
    try:
        words = undo(here.archive)[0]
    except AskFirst as asked:
        here.ask(f"{asked.question} Type yes to take it back:", partial(_answered, here, show), enter_words="answers")
    except AsfoundError as error:
        here.say(str(error))
    else:
        _tell(here, words, show)


def _answered(here: ArchiveScreen, show: Callable[[], object], said: str) -> None:
    if said.casefold() not in ("y", "yes"):
        here.say("Nothing was taken back.")
        return
    words = here.attempt(lambda: undo(here.archive, is_sure=True)[0])
    if words is not None:
        _tell(here, words, show)


def _tell(here: ArchiveScreen, words: str, show: Callable[[], object]) -> None:
    here.changed(f"Taken back: {words}. U brings it back.")
    show()
    _settle(here)


def bring_back(here: ArchiveScreen) -> None:
    """Bring back what was taken back last and say what it was."""
    words = here.attempt(lambda: redo(here.archive)[0])
    if words is not None:
        here.changed(f"Brought back: {words}")
        _settle(here)


def _settle(here: ArchiveScreen) -> None:
    """Work out again, behind the screen, who belongs where and what pins carry, after a word was taken back."""

    def work() -> None:
        if is_pending_but_for_new(here.archive):
            finish_pending(here.archive)
            here.post_message(here.Settled())

    here.in_background(work, "settle")
