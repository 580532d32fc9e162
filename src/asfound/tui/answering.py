"""What a person says of a thing that went back, beside how it was: right, wrong, or that they can't tell."""

from __future__ import annotations

from abc import abstractmethod

from textual.binding import Binding

from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter
from asfound.tui.differences import Differences
from asfound.tui.records import LookEntry, SnagEntry
from asfound.tui.words import shorten_words, split_number

ANSWERS = {"r": "right", "w": "wrong", "c": "can't tell"}
ASKED = "r right, w wrong, c can't tell, then why"
ANSWER_KEYS = {
    "a": "say of a thing that it is right or wrong, or that you can't tell; wrong opens a snag",
    "e": "after right: end the snag of that thing which is still open",
}


class Answering(Differences):
    """Writes the person's word down; a snag stays open until they say that it is dealt with."""

    BINDINGS = [
        Binding("a", "answer", "right or wrong", show=False),
        Binding("e", "end_snag", "end the snag", show=False),
    ]

    called_right: int | None = None
    """The thing that was called right last, while its snags may be ended with it."""

    @property
    @abstractmethod
    def look(self) -> LookEntry | None:
        """The thing that is looked over."""

    def action_answer(self) -> None:
        pair, look = self.pair, self.look
        if pair is None:
            return
        if look is not None:
            self.ask(f"{look.words}: {ASKED}", lambda words: self._say_of(look.tag_id, look.end, words, pair))
            return
        numbers = dict.fromkeys(
            f"{pin.number}{pin.pin.end.lower()}"
            for picture_id in (pair.before_id, pair.after_id)
            for pin in self.service.pins(picture_id)
        )
        only = next(iter(numbers)) if len(numbers) == 1 else ""
        self.ask(
            f"{only}: {ASKED}" if only else f"Number, {ASKED}",
            lambda words: self._answered(f"{only} {words}" if only and not words[:1].isdigit() else words, pair),
            complete=lambda begun: [f"{one} " for one in numbers if one.startswith(begun)],
        )

    def _answered(self, words: str, pair: Pair) -> None:
        named, _, rest = words.partition(" ")
        number, end = split_number(named)
        tag_id = self.service.tag_numbered(number)
        if tag_id is None:
            self.say(f"No one thing is numbered {number}. Say the number, then {ASKED}.")
        else:
            self._say_of(tag_id, end, rest, pair)

    def _say_of(self, tag_id: int, end: EndLetter | None, words: str, pair: Pair) -> None:
        """Write down what was said: its first word is the answer, or begins with its letter; the rest says why."""
        first, _, note = words.strip().partition(" ")
        answer = ANSWERS.get(first[:1].casefold())
        if answer is None or not answer.startswith(first.casefold()):
            self.say(f'"{first}" is not an answer. Say {ASKED}.')
            return
        note = note.removeprefix("tell").strip() if first.casefold() == "can't" else note.strip()

        def write() -> str:
            return self.service.look_over(
                tag_id, answer, end=end, picture_id=pair.after_id, beside_id=pair.before_id, note=note
            )

        snag = self.attempt(write)
        if snag is not None:
            label = f"{self.service.card(tag_id).label}{(end or '').lower()}"
            told = f"called {answer}" if answer in ("right", "wrong") else answer
            opened = f" Snag {snag} is open for it." if snag else ""
            self.called_right = tag_id if answer == "right" else None
            still = self.open_snags()
            also = f" {snag_words(still[0])}" if still else ""
            self.changed(f"{label}: {told}, by your word.{opened}{also} u takes it back.")

    def open_snags(self) -> list[SnagEntry]:
        """What is still open of the thing that was just called right: whether it is dealt with, only a person says."""
        if self.called_right is None:
            return []
        return [one for one in self.service.snags() if one.tag_id == self.called_right and not one.closed]

    def action_end_snag(self) -> None:
        still = self.open_snags()
        if not still:
            self.say("e ends a snag after its thing was called right; p goes to all snags.")
            return
        more = f" {snag_words(still[1])}" if still[1:] else ""
        words = f"Snag {still[0].label} is closed.{more} u takes it back."
        self.act(lambda: self.service.close_snag(still[0].label, "called right when looked over"), words)


def snag_words(snag: SnagEntry) -> str:
    """That a snag is open, and the key that ends it."""
    return f"Snag {snag.label} is open ({shorten_words(snag.what, 40)}): e ends it."
