"""`:` on every screen: a line of the log, with what it is read as below it while it is typed."""

from __future__ import annotations

from collections.abc import Callable

from asfound.actions.archive import Archive
from asfound.actions.typed_line import EXAMPLE, Reading, ReadLine, read_about, read_typed, reading_words, write_reading
from asfound.tui.base import ArchiveScreen

MOST_CHOICES = 9


class HappenedLine:
    """Asks for a line on a screen, of the thing with a label unless the line names what it is about."""

    def __init__(self, screen: ArchiveScreen, archive: Callable[[], Archive], label: str = "") -> None:
        self.screen = screen
        self.archive = archive
        self.label = label

    def ask(self, words: str = "", refusal: str = "") -> None:
        """Open the line; Enter writes what is certain, and asks about the rest."""
        example = EXAMPLE.partition(" ")[2] if self.label else EXAMPLE
        self.screen.ask(
            f"What happened to {self.label}" if self.label else "What happened",
            self._answered,
            words=words,
            enter_words=f"writes it in the log, such as {example}",
            refusal=refusal,
            preview=self._preview,
        )

    def _read(self, words: str) -> ReadLine:
        return read_about(self.archive(), self.label, words) if self.label else read_typed(self.archive(), words)

    def _preview(self, words: str) -> str:
        """What Enter writes, while it is typed; empty until that is certain."""
        answer = self._read(words) if words.strip() else ReadLine()
        return f"reads: {reading_words(answer.sure)}" if answer.sure is not None else ""

    def _answered(self, words: str) -> None:
        answer = self._read(words)
        if answer.sure is not None:
            self._write(answer.sure, words)
        elif answer.readings:
            self._choose(answer, words)
        else:
            self.screen.say(answer.why)
            self.ask(words, answer.why)

    def _choose(self, answer: ReadLine, words: str) -> None:
        """Ask which reading is meant, by its number."""
        ways = answer.readings[:MOST_CHOICES]
        listed = "\n".join(f"{place}  {reading_words(way)}" for place, way in enumerate(ways, 1))

        def chosen(said: str) -> None:
            if said.strip().isdecimal() and 1 <= int(said) <= len(ways):
                self._write(ways[int(said) - 1], words)
            else:
                self.ask(words, "Nothing was written.")

        number = "1" if len(ways) == 1 else f"1 to {len(ways)}"
        self.screen.ask(
            "Which is meant",
            chosen,
            enter_words=f"writes the one you type: {number}",
            refusal=f"{answer.why}\n{listed}",
        )

    def _write(self, reading: Reading, words: str) -> None:
        told = self.screen.attempt(lambda: write_reading(self.archive(), reading).told)
        if told is not None:
            self.screen.changed(f"{told}. u takes it back.")
        else:
            self.ask(words, self.screen.said_words)
