"""Values out of the manual, for people and for scripts, and the things that they are of as a person types them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.actions.away import AwayEntry
from asfound.actions.tag_card import read_cards
from asfound.cli.cards import value_document
from asfound.cli.json_documents import moment
from asfound.cli.parts import console
from asfound.core.refit.values import ValueStanding
from asfound.model.tags import Tag


def print_values(archive: Archive, found: Iterable[ValueStanding]) -> None:
    """A line each: the thing, which value, what the manual says, and what was reached."""
    cards = read_cards(archive)
    for one in found:
        card = cards.get(one.value.tag_id or 0)
        named = f"{card.label} {card.called}" if card else one.value.thing
        console().print(f"{named}, {one.value.what}: {one.words}")


def values_document(archive: Archive, found: Iterable[ValueStanding]) -> list[dict[str, Any]]:
    """`value --json`."""
    cards = read_cards(archive)

    def of(one: ValueStanding) -> dict[str, Any]:
        card = cards.get(one.value.tag_id or 0)
        return {"tag": card.tag.number if card else None, "order": card.tag.order if card else None}

    return [{**of(one), **value_document(one)} for one in found]


def away_document(one: AwayEntry) -> dict[str, Any]:
    """One thing that is away, within `sent --json` and `fit --json`."""
    return {
        "what": one.name,
        "to": one.line.by_whom,
        "sent": moment(one.line.at),
        "promised": one.line.promised,
        "late": one.is_late,
        "note": one.line.note,
    }


def read_about(archive: Archive, thing: str) -> Tag | str:
    """A tag by its number, or the words for a thing that has none: a word without digits, or several, and no tag's."""
    is_word = thing[:1].isalpha() and (" " in thing or not any(letter.isdecimal() for letter in thing))
    if is_word and not resolve.find_tags(archive, thing):
        return thing
    return resolve.get_tag(archive, thing).tag if thing else ""
