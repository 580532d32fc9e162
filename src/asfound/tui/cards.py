"""All that is written of a thing, as text beside or under its picture."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from asfound.model.tags import EndLetter
from asfound.tui.records import CardEntry
from asfound.tui.service import Service

MARK = "▸ "


def card_text(service: Service, tag_id: int, end: str, *, columns: int) -> str:
    """The whole card, wrapped; the end in hand has a mark."""
    card = service.card(tag_id)
    lines = [f"{card.label} {card.name}", ""]
    for name, words in card.fields:
        in_hand = name == f"end {end}"
        text = f"{MARK if in_hand else ''}{name}: {words}"
        lines += textwrap.wrap(text, columns, subsequent_indent="  ") or [""]
    lines += _seen(service, tag_id)
    for more in (card.snags, card.notes, card.cautions):
        for words in more:
            lines += ["", *textwrap.wrap(words, columns)]
    return "\n".join(lines)


def card_line(service: Service, tag_id: int, end: str) -> str:
    """The card in one line: where the ends sit, the bag, what is open; v shows the rest."""
    return " · ".join(_line(service.card(tag_id), end))


def _line(card: CardEntry, end: str) -> Iterator[str]:
    for name, words in card.fields:
        if name in ("end A", "end B"):
            letter = name[-1]
            yield f"{MARK if letter == end else ''}{letter} {words}"
    yield from (f"bag {words}" for name, words in card.fields if name == "bag")
    if card.snags:
        yield card.snags[0]
    if card.cautions:
        yield "caution: v"


def _seen(service: Service, tag_id: int) -> Iterator[str]:
    letters: tuple[EndLetter, EndLetter] = ("A", "B")
    for letter in letters:
        found = service.find_end(tag_id, letter)
        if found is not None:
            pictures = len(found.pins)
            yield f"pictures of {letter}: {pictures or 'none'}"
