"""What a person says of a thing that went back, beside how it was: right, wrong, or that they can't tell."""

from __future__ import annotations

from asfound.actions.known import known_tags
from asfound.actions.look_over import LookedOver, ToLookOver, look_over
from asfound.actions.pinned import pins_on
from asfound.actions.resolve import find_only_tag
from asfound.actions.snags import close_snag, list_snags
from asfound.model.log import Snag
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter
from asfound.store.pictures import get_picture
from asfound.tui.base import ArchiveScreen
from asfound.tui.cards import label_of
from asfound.tui.keys import Key
from asfound.tui.words import shorten_words, split_number

ANSWERS = {"r": "right", "w": "wrong", "c": "can't tell"}
ASKED = "r right, w wrong, c can't tell, then why"
ANSWER = Key(
    "a",
    "answer",
    "record it as right, wrong or can't tell; wrong opens a snag",
    "right or wrong|answer",
)
END_SNAG = Key("e", "end_snag", "after right: close that thing's open snag", "close the snag|close")


class LookAnswers:
    """Asks, for one screen, and writes the person's word down; a snag stays open until they say it is dealt with."""

    def __init__(self, screen: ArchiveScreen) -> None:
        self._screen = screen
        self.called_right: int | None = None
        """The thing that was called right last, while its snags may be ended with it."""

    def look_label(self, look: ToLookOver) -> str:
        """The end as it is marked: "17A", "12.2" of a thing with one end."""
        return f"{label_of(self._screen.archive, look.tag.tag_id)}{look.end.end if look.tag.ends == 2 else ''}"

    def look_words(self, look: ToLookOver) -> str:
        """The end with its name."""
        end = f" {look.end.end}" if look.tag.ends == 2 else ""
        return f"{label_of(self._screen.archive, look.tag.tag_id)}{end} {look.tag.name or look.tag.kind}"

    def ask(self, pair: Pair, look: ToLookOver | None) -> None:
        """Ask what a person says of the thing that is looked over, or of any that is pinned in the pair."""
        if look is not None:
            self._screen.ask(
                f"{self.look_words(look)}: {ASKED}",
                lambda words: self._say_of(look.tag.tag_id, look.end.end, words, pair),
            )
            return
        numbers = dict.fromkeys(
            f"{pin.number}{pin.pin.end.lower()}"
            for picture_id in (pair.before_id, pair.after_id)
            for pin in pins_on(self._screen.archive, picture_id)
        )
        only = next(iter(numbers)) if len(numbers) == 1 else ""
        self._screen.ask(
            f"{only}: {ASKED}" if only else f"Number, {ASKED}",
            lambda words: self._answered(f"{only} {words}" if only and not words[:1].isdigit() else words, pair),
            complete=lambda begun: [f"{one} " for one in numbers if one.startswith(begun)],
        )

    def _answered(self, words: str, pair: Pair) -> None:
        named, _, rest = words.partition(" ")
        number, end = split_number(named)
        mine = find_only_tag(self._screen.archive, number)
        if mine is None:
            self._screen.say(f"No single thing has number {number}. Type the number, then {ASKED}.")
        else:
            self._say_of(mine.tag_id, end, rest, pair)

    def _say_of(self, tag_id: int, end: EndLetter | None, words: str, pair: Pair) -> None:
        """Write down what was said: its first word is the answer, or begins with its letter; the rest says why."""
        first, _, note = words.strip().partition(" ")
        answer = ANSWERS.get(first[:1].casefold())
        if answer is None or not answer.startswith(first.casefold()):
            self._screen.say(f'"{first}" is not an answer. Say {ASKED}.')
            return
        note = note.removeprefix("tell").strip() if first.casefold() == "can't" else note.strip()

        def write() -> LookedOver:
            now, then = (get_picture(self._screen.archive.store, one) for one in (pair.after_id, pair.before_id))
            mine = known_tags(self._screen.archive)[tag_id]
            return look_over(self._screen.archive, mine, answer, end=end, picture=now, beside=then, note=note)

        done = self._screen.attempt(write)
        if done is not None:
            label = f"{label_of(self._screen.archive, tag_id)}{(end or '').lower()}"
            told = f"recorded as {answer}" if answer in ("right", "wrong") else answer
            opened = f" Snag {done.snag.label} is open for it." if done.snag else ""
            self.called_right = tag_id if answer == "right" else None
            still = self.open_snags()
            also = f" {snag_words(still[0])}" if still else ""
            self._screen.changed(f"{label}: {told} by you.{opened}{also} u takes it back.")

    def open_snags(self) -> list[Snag]:
        """What is still open of the thing that was just called right: whether it is dealt with, only a person says."""
        if self.called_right is None:
            return []
        return [one for one in list_snags(self._screen.archive) if one.tag_id == self.called_right and one.is_open]

    def end_snag(self) -> None:
        still = self.open_snags()
        if not still:
            self._screen.say("e closes a snag once its thing is recorded as right; p goes to all snags.")
            return
        more = f" {snag_words(still[1])}" if still[1:] else ""
        words = f"Snag {still[0].label} is closed.{more} u takes it back."
        self._screen.act(
            lambda: close_snag(self._screen.archive, still[0], "recorded as right when looked over"), words
        )


def snag_words(snag: Snag) -> str:
    """A line that a snag is open, with the key that closes it."""
    return f"Snag {snag.label} is open ({shorten_words(snag.what, 40)}): e closes it."
