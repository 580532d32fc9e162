"""A tag in one typed line: number, kind, name, then what was seen at end A and end B.

    17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK

Nothing is refused. What was read is shown back field by field, and what was not understood stays as a note. Before
the first end's letter a colour, or a word on capping, is said of both ends; after it of that end.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Literal

from asfound.core.log import entry_words as words
from asfound.core.log.entry_fields import EndEntry, Entry, Known
from asfound.core.log.entry_words import EntryToken, split_tokens
from asfound.core.words import plain_words
from asfound.model.tags import EndLetter, Side

BACK_IN_PLACE = "back in place"

_NOTE = ("note",)
_OPENING = frozenset("sat colour color size flow bag terminal term capped plugged uncapped tape note".split())
_WITHOUT_SIZE = frozenset({"bracket", "mount", "other"})
"""Kinds whose one size in figures is most often that of a part of them."""
_CAPPED = {"capped": True, "plugged": True, "uncapped": False}


def parse_entry(line: str, known: Known | None = None) -> Entry:
    """Read a line; never raises.

    Words that open a field: A, B (or "a" with "b" after it), "sat", "colour", "size", "flow", "bag", "terminal",
    "capped", "uncapped", "tape lost", "engine side", "stays behind", "note". A text in double quotes is never taken
    for one of them.
    """
    return _LineReader(split_tokens(line), known or Known()).read()


class _LineReader:
    """Reads the tokens from left to right; each marker says into which field the words after it go."""

    def __init__(self, tokens: list[EntryToken], known: Known) -> None:
        self.tokens = tokens
        self.known = known
        self.markers = words.find_end_markers(tokens)
        self.places = {plain_words(place): place for place in known.places if plain_words(place)}
        self.end: EndLetter | None = None
        self.target = "name"
        self.said: defaultdict[tuple[str, str], list[EntryToken]] = defaultdict(list)
        self.capped: dict[str, bool] = {}
        self.tape_lost: set[str] = set()
        self.sides: dict[str, Side | Literal[""]] = {}
        self.is_named = False

    def read(self) -> Entry:
        at = self._read_head()
        while at < len(self.tokens):
            at += self._read_marker(at) or self._read_coded(at) or self._read_word(at)
        if not self._text("kind"):
            self._find_kind_in_name()
        if not (self.said.keys() - {("", "name")} or self.capped or self.tape_lost or self.sides or self.is_named):
            # Without a number, a kind or an end it is no tag's line.
            return Entry(note=self._text("name"))
        head = {name: self._text(name) for name in ("number", "kind", "name", "size", "flow", "bag", "note")}
        return Entry(a=self._end("A"), b=self._end("B"), **head)

    def _read_head(self) -> int:
        """The number and the kind, where they stand first."""
        first = self.tokens[0] if self.tokens else None
        at = 0
        if first and 0 not in self.markers and (first.text in self.known.numbers or words.is_label(first)):
            if not first.is_quoted and not words.match_size(self.tokens, 0):
                self._say("number", EntryToken(first.text.rstrip(":,;") or first.text))
                at = 1
        return at + self._read_kind(at)

    def _read_kind(self, at: int) -> int:
        count, kind = words.match_kind(self._until_end(at), at, self.known.kinds)
        if count:
            self._say("kind", EntryToken(kind, True))
        return count

    def _find_kind_in_name(self) -> None:
        """The last kind among the words of the name, which keep it: "upper radiator hose"."""
        name, found, at = self.said.get(("", "name"), []), "", 0
        while at < len(name):
            count, kind = words.match_kind(name, at, self.known.kinds)
            found = kind or found
            at += count or 1
        if found:
            self._say("kind", EntryToken(found, True))

    def _read_marker(self, at: int) -> int:
        """Words that open a field, with the words they need; the number of words used, 0 when none."""
        token, after = self.tokens[at], self.tokens[at + 1 : at + 2]
        flow_words, flow = words.match_flow(self.tokens, at)
        if flow_words:
            self._say("flow", EntryToken(flow, True))
            return flow_words
        if at in self.markers:
            letter, count = self.markers[at]
            self.end, self.target = letter, "place"
            return count + self._read_place(at + count)
        if token.word in _NOTE and after:
            self.said[("", "note")] += self.tokens[at + 1 :]
            return len(self.tokens) - at
        if token.word == "sat" and after and (self.end or after[0].is_quoted):
            self.end, self.target = self.end or "A", "how_it_sat"
            return 1
        return self._read_one(token.word, at + 1, after[0]) if after and at + 1 not in self.markers else 0

    def _read_one(self, word: str, at: int, token: EntryToken) -> int:
        """Markers that are followed by one text."""
        if word in ("number", "kind", "name", "size", "flow", "bag") and token.is_quoted:
            self._say(word, token)
            self.is_named = self.is_named or word == "name"
            return 2
        if word == "bag" and words.is_label(token):
            self._say("bag", token)
            return 2
        if word == "size" and (count := words.match_size(self._until_end(at), at)):
            self._say("size", *self.tokens[at : at + count])
            return 1 + count
        if word in ("colour", "color"):
            count = 1 if token.is_quoted else words.match_told_colour(self._until_end(at), at)
            self._say_of_end("colour", *self.tokens[at : at + count])
            return 1 + count
        if word in ("terminal", "term") and self.end and (token.is_quoted or words.is_terminal(token)):
            self._say_of_end("terminal", token)
            return 2
        return 0

    def _read_coded(self, at: int) -> int:
        """Words that say by themselves which field they are."""
        following = [token.word for token in self.tokens[at : at + 3]]
        if following == BACK_IN_PLACE.split():
            self._say("bag", EntryToken(BACK_IN_PLACE, True))
            return 3
        if following[:2] == ["tape", "lost"] and self.end:
            self.tape_lost.add(self.end)
            return 2
        side_words, side = words.match_side(self.tokens, at, self._opens_field)
        if side and self.end:
            self.sides[self.end] = side
            return side_words
        if following[0] in _CAPPED or following[:2] == ["not", "capped"]:
            self.capped |= dict.fromkeys(self._ends(), _CAPPED.get(following[0], False))
            return 1 if following[0] in _CAPPED else 2
        if count := words.match_colour(self.tokens, at):
            self._say_of_end("colour", self.tokens[at])
            return count
        if self.end is None and (count := words.match_size(self.tokens, at)):
            is_told = ("", "size") not in self.said and self._is_its_size(at, count)
            # An amount of something else stays where it stands, among the words around it.
            self._say("size" if is_told else self.target, *self.tokens[at : at + count])
            return count
        return self._read_unmarked_place(at) if not self.markers else 0

    def _is_its_size(self, at: int, count: int) -> bool:
        """Whether a size is certainly the thing's own: right behind what it is, or with nothing behind it."""
        tokens = self._until_end(at)
        end = at + count
        is_ended = end >= len(tokens) or tokens[end - 1].text[-1:] in ",;:" or self._opens_field(end)
        is_behind_kind = at > 0 and words.match_kind(tokens[:at], at - 1, self.known.kinds)[0] == 1
        is_led = is_behind_kind and self._text("kind") not in _WITHOUT_SIZE
        return (is_ended or is_led) and words.is_size_of_thing(tokens, at, count)

    def _opens_field(self, at: int) -> bool:
        """Whether something else than more words of a text begins here."""
        return (
            at in self.markers
            or self.tokens[at].word in _OPENING
            or words.starts_how(self.tokens, at)
            or words.match_colour(self.tokens, at) > 0
        )

    def _read_word(self, at: int) -> int:
        token = self.tokens[at]
        if self.target == "place" and self._is_placed() and words.starts_how(self.tokens, at):
            self.target = "how_it_sat"
        self.said[(self.end or "", self.target)].append(token)
        if self.target == "place" and not token.is_quoted and token.text.endswith(";"):
            self.target = "how_it_sat"
        return 1

    def _read_place(self, at: int) -> int:
        """A known place after an end's letter; what follows it is how the end sat."""
        count, place = words.match_phrase(self._until_end(at), at, self.places)
        if count and self.end:
            self.said[(self.end, "place")].append(EntryToken(place, True))
            self.target = "how_it_sat"
        return count

    def _read_unmarked_place(self, at: int) -> int:
        letter: EndLetter | None = "A" if self.end is None else "B" if self.end == "A" else None
        count, place = words.match_phrase(self.tokens, at, self.places)
        if letter is None or len(plain_words(place)) < 2:
            return 0
        self.end, self.target = letter, "how_it_sat"
        self.said[(letter, "place")].append(EntryToken(place, True))
        return count

    def _until_end(self, at: int) -> list[EntryToken]:
        """The tokens up to the next end's letter at or after this one: no phrase reaches across it."""
        return self.tokens[: min((marker for marker in self.markers if marker >= at), default=None)]

    def _is_placed(self) -> bool:
        return bool(self.said.get((self.end or "", "place")))

    def _ends(self) -> tuple[EndLetter, ...]:
        return (self.end,) if self.end else ("A", "B")

    def _say(self, name: str, *tokens: EntryToken) -> None:
        self.said[("", name)] += tokens

    def _say_of_end(self, name: str, *tokens: EntryToken) -> None:
        for end in self._ends():
            self.said[(end, name)] += tokens

    def _text(self, name: str, end: str = "") -> str:
        tokens = self.said.get((end, name), [])
        text = " ".join(token.text for token in tokens)
        return text if not tokens or tokens[-1].is_quoted else text.rstrip(",; ")

    def _end(self, letter: EndLetter) -> EndEntry:
        texts = {name: self._text(name, letter) for name in ("place", "how_it_sat", "colour", "terminal")}
        side = self.sides.get(letter, "")
        return EndEntry(**texts, capped=self.capped.get(letter), tape_lost=letter in self.tape_lost, side=side)
