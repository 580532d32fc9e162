"""All that is written of a thing, as text beside or under its picture."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.tags import EndLetter
from asfound.tui.records import CardEntry
from asfound.tui.service import Service
from asfound.tui.words import wrap_words

MARK = "▸ "
LETTERS: tuple[EndLetter, EndLetter] = ("A", "B")


def card_text(service: Service, tag_id: int, end: str, *, columns: int) -> str:
    """The whole card, wrapped; the end in hand has a mark."""
    card = service.card(tag_id)
    found = [one for letter in LETTERS if (one := service.find_end(tag_id, letter)) is not None]
    lines = [f"{card.label} {card.name}", *({f"now {one.state}" for one in found if one.state}), ""]
    for said in card.fields:
        in_hand = said.name == "place" and said.end == end
        text = f"{MARK if in_hand else ''}{said.full_label}: {said.words}"
        lines += wrap_words(text, columns, indent="  ")
    lines += [f"pictures of {one.end.end}: {len(one.pins) or 'none'}" for one in found]
    for more in (card.snags, card.notes, card.cautions):
        for words in more:
            lines += ["", *wrap_words(words, columns)]
    return "\n".join(lines)


def card_line(service: Service, tag_id: int, end: str, *, rest: str = "") -> str:
    """the card in a line: a caution, with `rest`, the key that shows it; where the ends sit, the bag, what is open."""
    return " · ".join(_line(service.card(tag_id), end, rest))


def _line(card: CardEntry, end: str, rest: str) -> Iterator[str]:
    if card.cautions and rest:
        yield f"caution: {rest} shows it"
    for one in card.fields:
        if one.name == "place":
            yield f"{MARK if one.end == end else ''}{one.end} {one.words}"
    yield from (f"bag {one.words}" for one in card.fields if one.name == "bag")
    if card.snags:
        yield card.snags[0]
