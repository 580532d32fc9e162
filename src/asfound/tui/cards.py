"""All that is written of a thing, as text beside or under its picture."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.actions.archive import Archive
from asfound.actions.ends import ends_of
from asfound.actions.snags import list_snags
from asfound.actions.tag_card import TagCard, read_cards
from asfound.tui.words import wrap_words

MARK = "▸ "


def label_of(archive: Archive, tag_id: int) -> str:
    """The number of a thing as it is typed: "17", or "12.2" where several things have it."""
    return read_cards(archive)[tag_id].label


def card_text(archive: Archive, tag_id: int, end: str, *, columns: int) -> str:
    """The whole card, wrapped; the end in hand has a mark."""
    card, found = read_cards(archive)[tag_id], ends_of(archive, tag_id)
    lines = [f"{card.label} {card.called}", *({f"now {one.state}" for one in found if one.state}), ""]
    for said in card.fields:
        if said.name != "name":
            in_hand = said.name == "place" and said.end == end
            text = f"{MARK if in_hand else ''}{said.full_label}: {said.words}"
            lines += wrap_words(text, columns, indent="  ")
    lines += [f"pictures of {one.end.end}: {len(one.pins) or 'none'}" for one in found]
    notes = (note for note in card.notes if note not in card.cautions)
    for words in (*_snags(archive, tag_id), *notes, *card.cautions):
        lines += ["", *wrap_words(words, columns)]
    return "\n".join(lines)


def card_line(archive: Archive, tag_id: int, end: str, *, rest: str = "") -> str:
    """The card in a line: a caution, with `rest`, the key that shows it; where the ends sit, the bag, what is open."""
    return " · ".join((*_line(read_cards(archive)[tag_id], end, rest), *_snags(archive, tag_id)[:1]))


def _line(card: TagCard, end: str, rest: str) -> Iterator[str]:
    if card.cautions and rest:
        yield f"caution: {rest} shows it"
    for one in card.fields:
        if one.name == "place":
            yield f"{MARK if one.end == end else ''}{one.end} {one.words}"
    yield from (f"bag {one.words}" for one in card.fields if one.name == "bag")
    yield from (f"{one.label} {one.words}" for one in card.fields if one.name == "value")


def _snags(archive: Archive, tag_id: int) -> list[str]:
    """What is open about a thing."""
    return [f"snag {one.label}: {one.what}" for one in list_snags(archive) if one.tag_id == tag_id and one.is_open]
