"""Start the screens. Textual is loaded here and not before, after its switches are set."""

from __future__ import annotations

import asyncio
import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING

from asfound.actions.archive import Archive
from asfound.errors import AsfoundError
from asfound.system import silence_libraries
from asfound.tui.first_frame import ENTER_PAGE, FirstFrame, FirstWords
from asfound.tui.terminal import prepare_environment, terminal_key

if TYPE_CHECKING:
    from textual.driver import Driver

HANDED_ON_S = 0.001
"""So long a thread at work keeps the interpreter before the screens get it; usual is 5 ms, and a key needs several."""

NO_SIZE_REPORTS = "\x1b[?2048l"
"""Tells the terminal to send no report of its size with each change; the system's signal for it is enough."""


def launch(archive: Archive, frame: FirstFrame, words: FirstWords | None = None) -> tuple[FirstWords | None, bool]:
    """Run the screens until the person leaves.

    Parameters
    ----------
    archive : Archive
    frame : FirstFrame
        What stands on the terminal already.
    words : FirstWords or None
        What it says, shown until the first screen has looked for itself.

    Returns
    -------
    words : FirstWords or None
        What the first screen would say now; None when the archive does not answer any more.
    is_at_work : bool
        Whether a thread may still be at a picture; it was told to stop, and nobody has to wait for it.
    """
    prepare_environment(os.environ)
    from asfound.tui.app import ArchiveApp
    from asfound.tui.toolkit_insides import write_to_terminal

    class TerminalApp(ArchiveApp):
        def on_ready(self) -> None:
            _settle_memory()
            sys.setswitchinterval(HANDED_ON_S)
            write_to_terminal(self, NO_SIZE_REPORTS)

    app = TerminalApp(archive, paced=True, terminal=terminal_key(os.environ), first_words=words)
    if frame.stands:
        app.driver_class = _without_new_page(app.driver_class, frame)
    # A loop of our own: the usual one would wait here for work in threads, which may take long over one picture.
    put_back = silence_libraries()
    try:
        app.run(loop=asyncio.new_event_loop())
    finally:
        put_back()
    with suppress(AsfoundError):
        from asfound.actions.summary import summarize
        from asfound.tui.first_words import first_words
        from asfound.tui.looks import BRIGHT_YARD

        said = first_words(summarize(archive), app.entries, bright=app.theme == BRIGHT_YARD.name)
        return said, app.background.goes_on
    return None, app.background.goes_on


def _without_new_page(driver: type[Driver], frame: FirstFrame) -> type[Driver]:
    """The driver, but it goes on with the page that stands there, for a new one would be blank until it is drawn."""

    class SamePage(driver):  # type: ignore[valid-type, misc]
        def write(self, data: str) -> None:
            if ENTER_PAGE in data:
                frame.hand_over()
                data = data.replace(ENTER_PAGE, "")
            super().write(data)

    return SamePage


def _settle_memory() -> None:
    """Keep the collector from walking over everything that stays until the end: it halves the slowest frames."""
    import gc

    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
