"""The trade's words made alike, so that "spanner" finds a wrench and "hoses" a hose.

Both spellings of a trade pair fold to the first one listed. Folding is for searching and comparing only; what a person
wrote is shown as it was written.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

SAME_THING: tuple[tuple[str, ...], ...] = (
    ("earth", "ground"),
    ("spanner", "wrench"),
    ("loom", "harness"),
    ("bonnet", "hood"),
    ("petrol", "gasoline"),
    ("gearbox", "transmission"),
    ("worm-drive clip", "hose clamp", "hose clip"),
    ("dynamo", "generator"),
    ("split pin", "cotter pin"),
    ("sump", "pan", "oil pan"),
    ("tacho", "rev counter", "tachometer"),
    ("loom plug", "connector", "plug-in connector"),
    ("bulkhead", "firewall"),
    ("wing", "fender"),
    ("windscreen", "windshield"),
    ("silencer", "muffler"),
    ("carburettor", "carburetor", "carb"),
    ("expansion bottle", "expansion tank", "header tank", "overflow bottle"),
    ("propeller shaft", "prop shaft"),
    ("parking brake", "handbrake", "hand brake"),
    ("raw water", "sea water", "seawater"),
    ("turbo", "turbocharger"),
    ("tyre", "tire"),
    ("aluminium", "aluminum"),
    ("colour", "color"),
    ("grey", "gray", "slate"),
    ("violet", "purple"),
)
"""Words for one thing, British first. Trade pairs as people write them; common practice, not a standard."""

COLOUR_CODES = {
    "bk": "black",
    "bn": "brown",
    "rd": "red",
    "og": "orange",
    "ye": "yellow",
    "gn": "green",
    "bu": "blue",
    "vt": "violet",
    "gy": "grey",
    "wh": "white",
    "pk": "pink",
    "gd": "gold",
    "tq": "turquoise",
    "sr": "silver",
}
"""IEC 60757:2021, table 1, in its order (read through GOST 28763-90, which has the text of the 1983 edition)."""

SMALL_WORDS = frozenset("a an and at for from in is of on the to what where which with".split())
"""Words that say nothing about a thing; left out of a search unless nothing else was typed."""

_WORD = re.compile(r"[^\W_]+(?:\.[0-9]+)*")


def fold(text: str) -> str:
    """Fold case, accents and width: "Dÿnamo" and "dynamo" are alike. The length may change."""
    # Almost everything typed is ASCII, and decomposing costs ten times as much as casefold.
    if text.isascii():
        return text.lower()
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()


@lru_cache(maxsize=16384)
def singular(word: str) -> str:
    """Fold the plain English plurals of a folded word: hoses, bushes, batteries; "brass" and "bus" stay."""
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("xes", "ches", "shes", "sses")):
        return word[:-2]
    return word[:-1]


def plain_words(text: str) -> tuple[str, ...]:
    """Words of a text, folded and in the singular, in their order; synonyms are left apart."""
    return tuple(map(singular, _WORD.findall(fold(text))))


def search_words(text: str) -> tuple[str, ...]:
    """Words under which a text is found: its plain words, and the first spelling of every trade word or phrase in it.

    Examples
    --------
    >>> search_words("Tachometer wire")
    ('tachometer', 'wire', 'tacho')
    """
    words = plain_words(text)
    if _STARTS.isdisjoint(words):
        return words
    # The parts of a phrase are kept under their own first spelling too: "loom" finds a harness plug.
    extra = [_SINGLE[word] for word in words if word in _SINGLE]
    extra += [preferred for preferred, _start, _stop in _trade_words(words)]
    return words + tuple(word for word in dict.fromkeys(extra) if word not in words)


def query_words(text: str) -> tuple[str, ...]:
    """Words to look for when a person typed a text: a trade phrase is one word here, in its first spelling.

    Examples
    --------
    >>> query_words("the ground straps"), query_words("rev counter wire")
    (('earth', 'strap'), ('tacho', 'wire'))
    """
    words = list(plain_words(text))
    for preferred, start, stop in reversed(_trade_words(tuple(words))):
        words[start:stop] = [preferred]
    telling = [word for word in words if word not in SMALL_WORDS]
    return tuple(dict.fromkeys(telling or words))


def colour_words(colour: str) -> tuple[str, ...]:
    """Words for a colour as noted: "RD/BK" is found under rd, bk, red and black; "GNYE" under green and yellow too."""
    words = plain_words(colour)
    codes = [word[at : at + 2] for word in words if len(word) % 2 == 0 for at in range(0, len(word), 2)]
    return search_words(colour) + tuple(COLOUR_CODES[code] for code in codes if code in COLOUR_CODES)


def _phrases() -> dict[tuple[str, ...], str]:
    # "Harness plug" and "loom plug" must meet, so the parts of a phrase are folded to their first spelling as well.
    single = {fold(other): group[0] for group in SAME_THING for other in group if " " not in other and "-" not in other}
    phrases = {}
    for group in SAME_THING:
        preferred = " ".join(plain_words(group[0]))
        for spelling in group:
            words = plain_words(spelling)
            phrases[words] = preferred
            phrases[tuple(single.get(word, word) if len(words) > 1 else word for word in words)] = preferred
    return phrases


_PHRASES = _phrases()
_LONGEST = max(map(len, _PHRASES))
_SINGLE = {words[0]: preferred for words, preferred in _PHRASES.items() if len(words) == 1}
_STARTS = {words[0] for words in _PHRASES} | set(_SINGLE)


def _trade_words(words: tuple[str, ...]) -> list[tuple[str, int, int]]:
    """Trade words and phrases in a text as (first spelling, start, stop), the longest taken first at each word."""
    if _STARTS.isdisjoint(words):
        return []
    alike = tuple(_SINGLE.get(word, word) for word in words)
    found = []
    at = 0
    while at < len(words):
        for length in range(min(_LONGEST, len(words) - at) if words[at] in _STARTS else 0, 0, -1):
            preferred = _PHRASES.get(words[at : at + length]) or _PHRASES.get(alike[at : at + length])
            if preferred is not None:
                found.append((preferred, at, at + length))
                at += length
                break
        else:
            at += 1
    return found
