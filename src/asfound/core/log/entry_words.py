"""Words of a quick line entry, and what each of them can be: an end's letter, a colour, a size, a direction, a place.

Words in double quotes are only ever text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfound.core.codes.clock_positions import find_clock
from asfound.core.codes.colour_readings import parse_colour
from asfound.core.codes.colours import COLOURS
from asfound.core.codes.terminals import explain_terminal
from asfound.core.codes.threads import find_threads
from asfound.core.words import SMALL_WORDS, plain_words, query_words
from asfound.model.tags import SIDES, EndLetter, Side

LONGEST_PHRASE = 8
LONGEST_COLOUR = 6

_HOW_STARTS = frozenset(
    "clamp clamps screw screws latch key arrow lug lugs point points pointing facing clocked clocking thread threads "
    "marked".split()
)
"""Words with which people begin to say how something sat; common practice, no source."""

_NOT_ITS_SIZE = frozenset(
    "gap gaps slack play float endfloat clearance backlash travel stroke deflection height offset distance shim "
    "shims packing plate washer washers spacer spacers spanner wrench socket key hex allen bolt bolts nut nuts "
    "screw screws stud studs head heads lug lugs thread threads clip clips clamp clamps pin pins wall walls long "
    "wide deep thick high short shorter longer proud shy apart away off out up down left right from past above "
    "below between behind before after under over beside inside outside of with by about approx ca plus minus + - "
    "x × = and or at cut moved turned bent raised lowered torque depth length width thickness tail overlap hole "
    "holes dent crack tear split strip stripped pushed out".split()
)
"""Words beside an amount that make it one of something else; common practice, no source."""
_UNITS = frozenset("mm mm2 mm² cm inch way ways".split())
_BEFORE_NUMBERS = frozenset("x × bag terminal term size".split())
_ASKED = frozenset("GR BL BR PU".split())
_LETTERS: dict[str, EndLetter] = {"A": "A", "B": "B"}
_SIZE = re.compile(r"\d+(?:[.,]\d+)?(?:mm2?|mm²|cm|-?ways?)", re.IGNORECASE)
_NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
_ARROW = re.compile(r"([AB])(?:->|→|>)([AB])")
_TOKEN = re.compile(r'"(?P<quoted>(?:[^"\\]|\\.)*)"(?!\S)|\S+', re.DOTALL)


@dataclass(frozen=True, slots=True)
class EntryToken:
    """One word, or a text in double quotes."""

    text: str
    is_quoted: bool = False

    @property
    def word(self) -> str:
        """Folded, without a colon or comma at its end; empty when quoted, so that it is never a marker."""
        return "" if self.is_quoted else self.text.casefold().rstrip(":,;")


def split_tokens(line: str) -> list[EntryToken]:
    """Words of a line; a quotation mark that is never closed is part of its word."""
    return [
        EntryToken(match[0])
        if match["quoted"] is None
        else EntryToken(re.sub(r"\\(.)", r"\1", match["quoted"], flags=re.S), True)
        for match in _TOKEN.finditer(line)
    ]


def quote(text: str) -> str:
    """A text in double quotes, as `split_tokens` reads it back."""
    escaped = re.sub(r'(["\\])', r"\\\1", text)
    return f'"{escaped}"'


def find_end_markers(tokens: Sequence[EntryToken]) -> dict[int, tuple[EndLetter, int]]:
    """Where ends are named, with how many words do it: "A", "B:", "end a"; "a" and "b" only as a pair, in that order.

    A letter in a direction ("A to B") is none, nor an A after a number ("10 A").
    """
    markers: dict[int, tuple[EndLetter, int]] = {}
    pair = _lower_case_pair(tokens)
    skip_to = 0
    for at, token in enumerate(tokens):
        if at < skip_to:
            continue
        flow_words = match_flow(tokens, at)[0]
        letter = _LETTERS.get(token.word.upper())
        if flow_words:
            skip_to = at + flow_words
        elif letter and at > 0 and tokens[at - 1].word == "end":
            markers[at - 1] = (letter, 2)
        elif letter and (token.text[0].isupper() or at in pair) and not _is_amps(tokens, at):
            markers[at] = (letter, 1)
    return markers


def match_flow(tokens: Sequence[EntryToken], at: int) -> tuple[int, str]:
    """Words used, and the direction they name: "A to B", "B->A", "flow both ways"; 0 words when none."""
    start = at + (tokens[at].word == "flow")
    words = [token.text if not token.is_quoted else "" for token in tokens[start : start + 3]]
    if words and (arrow := _ARROW.fullmatch(words[0])) and arrow[1] != arrow[2]:
        return start + 1 - at, f"{arrow[1]} to {arrow[2]}"
    if len(words) == 3 and words[1].casefold() in ("to", "->", "→", ">") and {words[0], words[2]} == {"A", "B"}:
        return start + 3 - at, f"{words[0]} to {words[2]}"
    if start > at and [word.casefold() for word in words[:2]] == ["both", "ways"]:
        return 3, "both ways"
    return 0, ""


def match_colour(tokens: Sequence[EntryToken], at: int) -> int:
    """Words that are a colour by themselves: a code, or several with strokes; what must be asked counts too.

    A bare colour word ("black") is none, for it may as well be part of a name.
    """
    token = tokens[at]
    text = token.text.rstrip(",;")
    if token.is_quoted or len(text) < 2:
        return 0
    parts = re.split(r"[/-]", text)
    reading = parse_colour(text)
    if reading.colour:
        return int(len(parts) > 1 or text.upper() in COLOURS or text.upper() == "YEGN")
    if len(parts) > 1:
        return int(bool(reading.choices) and any(part.upper() in COLOURS for part in parts))
    return int(text in _ASKED or (bool(reading.choices) and len(text) >= 4 and text.isupper()))


def match_told_colour(tokens: Sequence[EntryToken], at: int) -> int:
    """How many of the words that follow "colour" are one: the most that can be read, else the first."""
    for count in range(min(LONGEST_COLOUR, len(tokens) - at), 0, -1):
        words = tokens[at : at + count]
        if not any(token.is_quoted for token in words):
            reading = parse_colour(" ".join(token.text for token in words))
            if reading.colour or reading.choices:
                return count
    return min(1, len(tokens) - at)


def match_size(tokens: Sequence[EntryToken], at: int) -> int:
    """Words that are a size: "13mm", "10 mm", "12 way", "M10 x 35", "3/8-24"."""
    word, after = tokens[at].word, tokens[at + 1].word if at + 1 < len(tokens) else ""
    if _SIZE.fullmatch(word):
        return 1
    if _NUMBER.fullmatch(word) and after in _UNITS:
        return 2
    if not word or word[0] not in "m0123456789" or not find_threads(word) or _NUMBER.fullmatch(word):
        return 0
    count = 1
    while at + count + 1 < len(tokens) and tokens[at + count].word in ("x", "×") and _is_number(tokens[at + count + 1]):
        count += 2
    return count


def is_size_of_thing(tokens: Sequence[EntryToken], at: int, count: int) -> bool:
    """Whether a size is certainly the thing's own, and not of a gap, a spanner, a bolt or a distance."""
    before = tokens[at - 1].word if at else ""
    follows = tokens[at + count].word if at + count < len(tokens) else ""
    is_ended = tokens[at + count - 1].text[-1:] in ",;:"
    is_thread = tokens[at].word[:1] == "m"
    is_led = before in _NOT_ITS_SIZE or before.isdecimal()
    return (is_thread or not is_led) and (is_ended or follows not in _NOT_ITS_SIZE)


def match_phrase(tokens: Sequence[EntryToken], at: int, phrases: Mapping[tuple[str, ...], str]) -> tuple[int, str]:
    """Words used and the known spelling of the longest phrase that begins here; 0 words when none does."""
    for count in range(min(LONGEST_PHRASE, len(tokens) - at), 0, -1):
        words = tokens[at : at + count]
        if not any(token.is_quoted for token in words) and plain_words(words[0].text):
            known = phrases.get(plain_words(" ".join(token.text for token in words)))
            if known is not None and plain_words(words[-1].text):
                return count, known
    return 0, ""


def match_kind(tokens: Sequence[EntryToken], at: int, kinds: Iterable[str]) -> tuple[int, str]:
    """Words used and the kind they name, in any spelling of the trade: "earth strap" is a ground strap."""
    spellings = {query_words(kind): kind for kind in kinds}
    for count in range(min(3, len(tokens) - at), 0, -1):
        words = tokens[at : at + count]
        if not any(token.is_quoted for token in words):
            kind = spellings.get(query_words(" ".join(token.text for token in words)))
            if kind is not None and all(_is_telling(token) for token in words):
                return count, kind
    return 0, ""


def starts_how(tokens: Sequence[EntryToken], at: int) -> bool:
    """Whether words on how something sat begin here: "clamp", "9 threads", "2 oclock", "at 10"."""
    word = tokens[at].word
    if word in _HOW_STARTS:
        return True
    if _NUMBER.fullmatch(word) and at + 1 < len(tokens) and tokens[at + 1].word in _HOW_STARTS:
        return True
    following = " ".join(token.text for token in tokens[at : at + 4] if not token.is_quoted)
    return bool(word) and any(found.start == 0 for found in find_clock(following))


def match_side(tokens: Sequence[EntryToken], at: int, is_open: Callable[[int], bool]) -> tuple[int, Side | None]:
    """Words used and the side of the lift that they name, "engine side" or "stays behind"; 0 words when none.

    They may as well be part of a place ("engine side cover"), so nothing but another field may follow them.

    Parameters
    ----------
    is_open : callable
        Whether a word that opens a field stands at a place.
    """
    words = tokens[at : at + 2]
    if len(words) < 2 or any(token.is_quoted for token in words):
        return 0, None
    said = f"{words[0].text.casefold()} {words[1].word}"
    side = next((side for side, shown in SIDES.items() if shown == said), None)
    is_last = at + 2 >= len(tokens) or words[1].text[-1] in ",;" or is_open(at + 2)
    return (2, side) if side and is_last else (0, None)


def is_terminal(token: EntryToken) -> bool:
    """Whether a word is a mark of DIN 72552."""
    return not token.is_quoted and explain_terminal(token.text).is_known


def is_label(token: EntryToken) -> bool:
    """Whether a word can be a number or a bag's label: it has a digit."""
    return not token.is_quoted and any(letter.isdecimal() for letter in token.text)


def _lower_case_pair(tokens: Sequence[EntryToken]) -> tuple[int, ...]:
    """A lone "a" may be an article; with a lone "b" after it, both are ends."""
    lone = [(at, token.text.rstrip(":")) for at, token in enumerate(tokens) if not token.is_quoted]
    last_b = max((at for at, text in lone if text == "b"), default=-1)
    first_a = next((at for at, text in lone if text == "a" and at < last_b), None)
    if first_a is not None:
        return first_a, last_b
    return (last_b,) if last_b > 0 and any(text == "A" for _, text in lone) else ()


def _is_amps(tokens: Sequence[EntryToken], at: int) -> bool:
    """Whether an A after a number is its unit: so it is unless a B follows, before any other A."""
    if at < 2 or tokens[at].text != "A" or not _is_number(tokens[at - 1]) or tokens[at - 2].word in _BEFORE_NUMBERS:
        return False
    return next((token.text for token in tokens[at + 1 :] if token.text in ("A", "B")), "A") == "A"


def _is_telling(token: EntryToken) -> bool:
    return bool(plain_words(token.text)) and token.word not in SMALL_WORDS


def _is_number(token: EntryToken) -> bool:
    return not token.is_quoted and _NUMBER.fullmatch(token.word) is not None
