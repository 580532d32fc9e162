"""One thing with all that is known of it, for people and for scripts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from asfound.actions.tag_card import CardField, TagCard, colour_of, terminal_of
from asfound.cli.json_documents import document_entry, moment
from asfound.cli.parts import console
from asfound.core.log.tag_fields import OF_END, OF_TAG
from asfound.core.refit.values import ValueStanding, measured_words
from asfound.model.tags import TagEnd


def print_card(card: TagCard, became: str = "") -> None:
    """Number and name on the first line, then a field a line; what to know beside them last."""
    out = console()
    head = card.tag.name or ("" if card.tag.kind == "other" else card.tag.kind)
    out.print("  ".join(filter(None, (card.label, head, became))), style="bold")
    print_fields(one for one in card.fields if one.name != "name")
    for note in card.notes:
        out.print(f"  {note}", style="dim")


def print_fields(fields: Iterable[CardField]) -> None:
    """A field a line, what it is in front."""
    shown = [(one.full_label, one.words) for one in fields]
    width = max((len(label) for label, _words in shown), default=0)
    for label, words in shown:
        console().print(f"  {label:<{width}}  {words}")


def card_document(card: TagCard) -> dict[str, Any]:
    """`tag --json`: every field, empty ones too."""
    tag = card.tag
    return {
        "tag": tag.number,
        "order": tag.order,
        "also": list(card.also),
        **{name: getattr(tag, name) for name, row in OF_TAG.items() if row.label},
        "bags": list(card.bags),
        "fit_after": list(card.fit_after),
        "fit_before": list(card.fit_before),
        "belt": None
        if card.belt is None
        else {name: getattr(card.belt, name) for name in ("comes_off", "path", "arrow", "turns", "slack")},
        "values": [value_document(one) for one in card.values],
        "set": [{"position": one.position, "faced": one.faced, "note": one.note} for one in card.members],
        "documents": [document_entry(one) for one in card.documents],
        "measured": [measured_words(line) for line in card.measured],
        "ends": [end_document(end) for end in card.ends],
        "entered": moment(tag.created_at),
        "know": list(card.notes),
    }


def value_document(one: ValueStanding) -> dict[str, Any]:
    """One value of the manual, and what was reached of it."""
    line = one.reached
    return {
        "what": one.value.what,
        "thing": one.value.thing,
        "wanted": one.value.wanted,
        "limits": one.value.limits,
        "page": one.value.page,
        "reached": one.reached_words,
        "by": "" if line is None else line.by_whom,
        "at": None if line is None else moment(line.at),
        "state": one.state,
        "final": one.is_final,
    }


def end_document(end: TagEnd) -> dict[str, Any]:
    """One end within `tag --json`."""
    colour, terminal = colour_of(end), terminal_of(end)
    return {
        "end": end.end,
        **{name: getattr(end, name) for name in OF_END},
        "colour": {
            "shown": end.colour,
            "main": end.main,
            "stripe": end.stripe,
            "iec": colour.iec if colour else "",
            "words": colour.words if colour else "",
            "unsure": end.colour_unsure,
        },
        "terminal": {"mark": terminal.mark, "meaning": terminal.meaning},
    }
