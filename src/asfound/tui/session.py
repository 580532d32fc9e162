"""What all screens share while the program runs: the archive, opened pictures, the work behind them, the places."""

from __future__ import annotations

import time

from asfound.actions import settings
from asfound.actions.archive import Archive, SharedArchive
from asfound.output.cells.colour import Colour, Glyphs
from asfound.tui.background import BackgroundWork
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry, load_entries
from asfound.tui.first_frame import FirstWords
from asfound.tui.keys_in_turn import KeysInTurn
from asfound.tui.opening import OpenPictures

HELD_S = 0.6
"""A key that comes again within this time is taken for one that is held down."""


class Session(KeysInTurn):
    """The app as its screens see it.

    Parameters
    ----------
    archive : Archive
        Of the thread that runs the screens; work in other threads opens it again.
    paced : bool
        Draw only as fast as the terminal answers; off where no terminal does.
    terminal : str
        Name under which the choice of colours is kept.
    first_words : FirstWords or None
        What the first screen says until it has looked for itself.
    """

    def __init__(
        self, archive: Archive, *, paced: bool = False, terminal: str = "", first_words: FirstWords | None = None
    ) -> None:
        super().__init__()
        self.shared = SharedArchive(archive)
        self.opened = OpenPictures(self.shared)
        self.entries: dict[str, ScreenEntry] = load_entries()
        self.background = BackgroundWork(self, self.shared)
        self.paced = paced
        self.first_words = first_words
        self.wanted_row: object = None
        """The key of the row to choose on the list that is gone to next."""
        self.wanted_words = ""
        self.cautions_shown: set[tuple[str, str]] = set()
        """Holds, and the days on which their cautions were shown since the program began."""
        self._pressed_at: dict[str, float] = {}
        self._terminal = terminal

    def is_held(self, key: str) -> bool:
        """Whether a key comes again so soon that it is taken for one that is held down: it repeats 20 times a second.

        A resting thumb must neither take back a day's work nor answer a question. Asked at every stroke of the key.
        """
        now, before = time.monotonic(), self._pressed_at.get(key, 0.0)
        self._pressed_at[key] = now
        return self.paced and now - before < HELD_S

    def set_up_canvas(self, canvas: Canvas) -> None:
        """Give a canvas this terminal's pacing, colours and characters."""
        canvas.painter.pacer.on = self.paced
        colours, glyphs = self.kept_choice("colours"), self.kept_choice("characters")
        canvas.draw_with(
            colour=Colour(colours) if colours in list(Colour) else None,
            glyphs=Glyphs(glyphs) if glyphs in list(Glyphs) else None,
        )

    def kept_choice(self, what: str) -> str | None:
        """A choice that a person made for this kind of terminal."""
        return settings.remembered(self.shared.here, f"{what} {self._terminal}") if self._terminal else None

    def keep_choice(self, what: str, value: str) -> None:
        """Keep a choice for this kind of terminal."""
        if self._terminal:
            settings.remember(self.shared.here, f"{what} {self._terminal}", value)
