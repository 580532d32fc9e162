"""Rank the tags that answer to a number or to words, each with the reason why.

Build the index once for a job and ask it as often as a key is pressed. Over 5,000 tags a question takes a few
milliseconds; the first question in words goes through all texts, which takes up to a second there and a few
hundredths for the few hundred tags of a real job. A number needs no such wait.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import log
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from asfound.core.find.query import Query, parse_query
from asfound.core.find.slots import SLOT_WEIGHTS
from asfound.core.find.terms import Term, terms_of
from asfound.core.pins.numbering import sort_key, upside_down
from asfound.core.words import colour_words, query_words, search_words
from asfound.model.tags import EndLetter

FIELD_WEIGHTS = {
    {"sat": "how it sat"}.get(slot, slot): weight for slot, weight in SLOT_WEIGHTS.items() if slot != "number"
}
"""How much a word tells in each field, by the words for the field in a reason; a number is known before."""

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]

PREFIX_SHARE = 0.5
"""A word that is still being typed counts half of the whole word."""

SPELLING_SHARE = 0.6
"""What is written in other words than those asked for counts less."""

WHOLE_NAME_GAIN = 6.0
"""A name of nothing but what was asked for counts as much as one word more."""

SHORTEST_PREFIX = 2
SAME_NUMBER, OTHER_NUMBER, LIKE_NUMBER, TURNED_NUMBER = 4000.0, 3000.0, 2000.0, 1000.0


@dataclass(frozen=True, slots=True)
class TagText:
    """Everything written about one tag that it can be found by.

    Attributes
    ----------
    places, how_it_sat, colours : tuple of str
        One for each end, A first.
    aliases : tuple of str
        Other numbers that the thing also goes by.
    terminals : tuple of str
        One for each end, A first.
    about : str
        What is written elsewhere of it: in the log, its bags, its snags.
    """

    tag_id: int
    number: str
    order: int = 1
    kind: str = ""
    name: str = ""
    places: tuple[str, ...] = ()
    how_it_sat: tuple[str, ...] = ()
    colours: tuple[str, ...] = ()
    note: str = ""
    bag: str = ""
    size: str = ""
    aliases: tuple[str, ...] = ()
    terminals: tuple[str, ...] = ()
    about: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """One answer.

    Attributes
    ----------
    end : {"A", "B"} or None
        The end that was asked for, or the only end whose place, colour or fit holds a word that was asked for.
    reasons : tuple of str
        Why it is here, such as "number 17" or "name: heat exchanger", in the order of the words.
    """

    tag_id: int
    end: EndLetter | None
    score: float
    reasons: tuple[str, ...]


class _Slot(NamedTuple):
    """One field of a tag; `end` is None for a field of the whole tag, and where both ends hold the word."""

    field: str
    end: EndLetter | None


class _Hits(NamedTuple):
    """What one word found: arrays over all tags of weight (0 where it is not held), slot, and the word as held."""

    weights: FloatArray
    slots: IntArray
    words: IntArray


_END_FIELDS = ("place", "colour", "how it sat", "terminal")
# Heaviest first, so that the first field of a tag to hold a word is the one that counts.
_SLOTS = [
    _Slot(field, end)
    for field in sorted(FIELD_WEIGHTS, key=lambda field: -FIELD_WEIGHTS[field])
    for end in ((None, "A", "B") if field in _END_FIELDS else (None,))
]
_IN_NAME = np.array([slot.field == "name" for slot in _SLOTS])
_SLOT_WEIGHTS = np.array([FIELD_WEIGHTS[slot.field] for slot in _SLOTS])


class TagIndex:
    """The words and numbers of a job's tags, ready to be asked; words are gone through when first asked for."""

    def __init__(self, tags: Iterable[TagText]) -> None:
        # Kept in natural order, so that a position is also the rank among equal answers.
        self._tags = sorted(tags, key=lambda tag: (sort_key(tag.number), tag.order, tag.tag_id))
        self._numbers: dict[str, list[int]] = {}
        for position, tag in enumerate(self._tags):
            for number in dict.fromkeys((tag.number, *tag.aliases)):
                self._numbers.setdefault(number, []).append(position)
        self._alike: dict[object, list[str]] = {}
        for number in self._numbers:
            self._alike.setdefault(sort_key(number)[0], []).append(number)

    def find(self, typed: str, *, limit: int = 100) -> list[Found]:
        """Answer what was typed, best first; empty when nothing answers.

        A tag of the number typed always comes first. After the numbers come the tags that hold every word, then those
        that hold some, rare words counting more. Equal answers stand in natural order of number, so the same question
        always gets the same list.

        Parameters
        ----------
        typed : str
        limit : int
            The most answers given; tags of the number typed are never cut off.

        Raises
        ------
        Misused
            If nothing was typed.
        """
        return self.rank(parse_query(typed, self._numbers.keys()), limit=limit)

    def rank(self, query: Query, *, limit: int = 100) -> list[Found]:
        """Rank the tags for a query that is already parsed; see `find`."""
        hits = [self._hits_of_term(term) for term in terms_of(query.words)]
        numbered = dict(self._numbered(query))
        by_number = np.zeros(len(self._tags))
        by_number[list(numbered)] = [score for score, _reason in numbered.values()]
        by_words = sum((hit.weights for hit in hits), np.zeros(len(self._tags)))
        by_words += WHOLE_NAME_GAIN * self._share_of_name(hits)
        lacking = len(hits) - sum((hit.weights > 0 for hit in hits), np.zeros(len(self._tags), dtype=np.intp))
        best_first = np.lexsort((-by_words, lacking > 0, -by_number))
        answering = best_first[(by_number + by_words)[best_first] > 0]
        shown = map(int, answering[: max(limit, len(numbered))])
        return [self._answer(position, query, hits, numbered.get(position)) for position in shown]

    @cached_property
    def _postings(self) -> dict[str, tuple[IntArray, IntArray]]:
        """For each word, the positions of the tags that hold it, ascending, and the slot of each."""
        postings: dict[str, tuple[list[int], list[int]]] = {}
        # Places, kinds, bags and colours repeat from tag to tag.
        read, read_colour = lru_cache(maxsize=None)(search_words), lru_cache(maxsize=None)(colour_words)
        for position, tag in enumerate(self._tags):
            for slot, text in _fields(tag):
                for word in read_colour(text) if _SLOTS[slot].field == "colour" else read(text):
                    positions, slots = postings.setdefault(word, ([], []))
                    if not positions or positions[-1] != position:
                        positions.append(position)
                        slots.append(slot)
                    elif _SLOTS[slot].field == _SLOTS[slots[-1]].field and slot != slots[-1]:
                        slots[-1] = _SLOTS.index(_Slot(_SLOTS[slot].field, None))
        return {word: (np.array(positions), np.array(slots)) for word, (positions, slots) in postings.items()}

    @cached_property
    def _vocabulary(self) -> list[str]:
        return sorted(self._postings)

    def _hits_of_term(self, term: Term) -> _Hits:
        """Tags that hold all words of one of a term's spellings, by their heaviest spelling."""
        best, *others = [
            self._hits_of_spelling(spelling, whole=number > 0) for number, spelling in enumerate(term.spellings)
        ]
        any_spelling = np.logical_or.reduce([hit.weights > 0 for hit in (best, *others)])
        for other in others:
            # A rare other spelling of a common thing tells no more than the thing does.
            rarity = self._rarity(int(any_spelling.sum())) / self._rarity(int((other.weights > 0).sum()))
            weights = other.weights * SPELLING_SHARE * rarity
            better = weights > best.weights
            best.weights[better] = weights[better]
            best.slots[better] = other.slots[better]
            best.words[better] = other.words[better]
        return best

    def _rarity(self, held_by: int) -> float:
        return 1.0 + log((1 + len(self._tags)) / (1 + held_by))

    def _hits_of_spelling(self, words: tuple[str, ...], *, whole: bool = False) -> _Hits:
        """Tags that hold all of some words; the last one, which mostly says what it is, gives the reason."""
        hits = [self._hits(word, whole=whole) for word in words]
        both = np.logical_and.reduce([hit.weights > 0 for hit in hits])
        weights = np.where(both, np.sum([hit.weights for hit in hits], axis=0), 0.0)
        return _Hits(weights, hits[-1].slots, hits[-1].words)

    def _share_of_name(self, hits: Iterable[_Hits]) -> FloatArray:
        """How much of each tag's name was asked for."""
        held = sum(((hit.weights > 0) & _IN_NAME[hit.slots] for hit in hits), np.zeros(len(self._tags)))
        return np.minimum(1.0, held / self._name_lengths)

    @cached_property
    def _name_lengths(self) -> FloatArray:
        return np.array([max(1, len(query_words(tag.name))) for tag in self._tags], dtype=np.float64)

    def _hits(self, word: str, *, whole: bool = False) -> _Hits:
        """Tags that hold a word, each with its best field; rarer words weigh more.

        A word that begins with it will do, unless it must be whole.
        """
        count = len(self._tags)
        hits = _Hits(np.zeros(count), np.zeros(count, dtype=np.intp), np.zeros(count, dtype=np.intp))
        for at in range(bisect_left(self._vocabulary, word), len(self._vocabulary)):
            held = self._vocabulary[at]
            if held != word and (whole or len(word) < SHORTEST_PREFIX or not held.startswith(word)):
                break
            positions, slots = self._postings[held]
            rarity = self._rarity(len(positions))
            weights = _SLOT_WEIGHTS[slots] * rarity * (1.0 if held == word else PREFIX_SHARE)
            better = weights > hits.weights[positions]
            hits.weights[positions[better]] = weights[better]
            hits.slots[positions[better]] = slots[better]
            hits.words[positions[better]] = at
        return hits

    def _numbered(self, query: Query) -> Iterator[tuple[int, tuple[float, str]]]:
        """Tags that the number speaks of, worst reason first, so that a dict keeps the best."""
        if query.number is None:
            return
        turned = upside_down(query.number)
        if turned is not None and query.number not in self._numbers:
            for position in self._numbers.get(turned, ()):
                yield position, (TURNED_NUMBER, f"{turned} reads {query.number} upside down")
        for number in self._alike.get(sort_key(query.number)[0], ()):
            for position in self._numbers[number]:
                yield position, (LIKE_NUMBER, f"number {number}, typed {query.number}")
        for position in self._numbers.get(query.number, ()):
            tag = self._tags[position]
            if tag.number != query.number:
                yield position, (OTHER_NUMBER, f"also numbered {query.number}")
            else:
                asked = query.order is None or query.order == tag.order
                yield position, (SAME_NUMBER if asked else SAME_NUMBER - 1, f"number {query.number}")

    def _answer(self, position: int, query: Query, hits: list[_Hits], numbered: tuple[float, str] | None) -> Found:
        held = [hit for hit in hits if hit.weights[position] > 0]
        slots = [_SLOTS[hit.slots[position]] for hit in held]
        ends = {slot.end for slot in slots if slot.end is not None}
        end = query.end if numbered else ends.pop() if len(ends) == 1 else None
        score, reason = numbered or (0.0, "")
        words = (self._vocabulary[hit.words[position]] for hit in held)
        reasons = (reason, *(f"{slot.field}: {word}" for slot, word in zip(slots, words, strict=True)))
        score += sum(float(hit.weights[position]) for hit in held)
        return Found(self._tags[position].tag_id, end, round(score, 6), tuple(filter(None, reasons)))


def find_tags(typed: str, tags: Iterable[TagText]) -> list[Found]:
    """Answer one question about some tags; keep a `TagIndex` to ask more than once."""
    return TagIndex(tags).find(typed)


def _fields(tag: TagText) -> Iterator[tuple[int, str]]:
    """Texts of a tag with their slots, heaviest field first; empty ones are left out."""
    whole = {"name": tag.name, "kind": tag.kind, "bag": tag.bag, "size": tag.size, "note": tag.note}
    whole["about"] = tag.about
    ended = {"place": tag.places, "colour": tag.colours, "how it sat": tag.how_it_sat}
    ended["terminal"] = tag.terminals
    for number, (field, end) in enumerate(_SLOTS):
        if field in whole:
            text = whole[field]
        else:
            at = ("A", "B").index(end) if end else len(ended[field])
            text = ended[field][at] if at < len(ended[field]) else ""
        if text:
            yield number, text
