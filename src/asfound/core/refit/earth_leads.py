"""Which tags are a battery's earth lead: they come off first and go on last.

A proposal from the words: the person says which are, most of all on a machine with positive earth.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from asfound.core.words import fold, search_words
from asfound.model.tags import Tag, TagEnd

_LEADS = frozenset({"cable", "wire", "ground strap", "other"})
_HEAVY = frozenset({"cable", "ground strap"})
_BATTERY = frozenset({"battery", "batt", "bat", "accumulator"})
_MINUS = frozenset({"negative", "neg", "minus"})
_PLUS = frozenset({"positive", "pos", "plus"})
_EARTH = frozenset({"earth", "earthing"})
"""Words as people write them; common practice, no source."""

_MINUS_SIGNS = re.compile(r"(?<!\w)[-−–]\s?ve\b|\([-−–]\)|\b(?:batt?(?:ery)?|post|pole|terminal|lead)\s?[-−–](?![\w-])")
_PLUS_SIGNS = re.compile(r"(?<!\w)\+\s?ve\b|\(\+\)|\b(?:batt?(?:ery)?|post|pole|terminal|lead)\s?\+")
_MINUS_TERMINALS = frozenset({"31", "b-"})
_PLUS_TERMINALS = frozenset({"30", "b+"})
"""Battery negative or earth, and battery plus, by DIN 72552 (read in secondary text)."""


def find_earth_leads(tags: Iterable[Tag], ends: Iterable[TagEnd]) -> list[int]:
    """Tags that by their words, places and terminals are a battery's earth lead, in the order given.

    A lead that sits on a battery and is called earth, negative, neg, minus or -ve, or is marked 31 or B-; and a heavy
    cable that is called negative, wherever it sits.
    """
    mine: dict[int, list[TagEnd]] = defaultdict(list)
    for end in ends:
        mine[end.tag_id].append(end)
    return [tag.tag_id for tag in tags if tag.kind in _LEADS and _is_earth_lead(tag, mine[tag.tag_id])]


def _is_earth_lead(tag: Tag, ends: Iterable[TagEnd]) -> bool:
    name = f"{tag.name} {'earth' if tag.kind == 'ground strap' else ''}"
    places, terminals = [end.place for end in ends], {_terminal(end.terminal) for end in ends}
    is_earth = _is(_EARTH, name) or any(_is(_EARTH, one) and _is(_BATTERY, one) for one in places)
    if (_is_plus(name) or not terminals.isdisjoint(_PLUS_TERMINALS)) and not is_earth:
        return False
    if not any(_is(_BATTERY, one) for one in (name, *places)):
        return tag.kind in _HEAVY and _is_minus(name)
    at_battery = any(_is(_BATTERY, one) and _is_minus(one) for one in places)
    return is_earth or _is_minus(name) or at_battery or not terminals.isdisjoint(_MINUS_TERMINALS)


def _is_minus(text: str) -> bool:
    return _is(_MINUS, text) or _MINUS_SIGNS.search(fold(text)) is not None


def _is_plus(text: str) -> bool:
    return _is(_PLUS, text) or _PLUS_SIGNS.search(fold(text)) is not None


def _is(words: frozenset[str], text: str) -> bool:
    return not words.isdisjoint(search_words(text))


def _terminal(mark: str) -> str:
    return fold(mark).replace("−", "-").replace("–", "-").replace(" ", "")
