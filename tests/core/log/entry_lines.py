"""Writes the line that says what was read of one, so that reading it again can be checked."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from asfound.core.log.entry import BACK_IN_PLACE, parse_entry
from asfound.core.log.entry_fields import EndEntry, Entry, Known
from asfound.core.log.entry_words import quote
from asfound.model.tags import SIDES


def render_entry(entry: Entry, known: Known | None = None) -> str:
    """The line that says an entry; `parse_entry` with the same `known` reads the same entry out of it.

    In plain words when that can be read back, else with its texts in double quotes.
    """
    plain = " ".join(_parts(entry, str, is_plain=True))
    return plain if parse_entry(plain, known) == entry else " ".join(_parts(entry, quote, is_plain=False))


def _parts(entry: Entry, say: Callable[[str], str], *, is_plain: bool) -> Iterator[str]:
    for name in ("number", "kind", "name"):
        if value := getattr(entry, name):
            yield say(value) if is_plain else f"{name} {say(value)}"
    for name in ("size", "flow", "bag"):
        if value := getattr(entry, name):
            is_itself = is_plain and (name == "flow" or value == BACK_IN_PLACE)
            yield say(value) if is_itself else f"{name} {say(value)}"
    for letter, end in (("A", entry.a), ("B", entry.b)):
        if end != EndEntry():
            yield letter
            yield from _end_parts(end, say)
    if entry.note:
        yield f"note {say(entry.note)}"


def _end_parts(end: EndEntry, say: Callable[[str], str]) -> Iterator[str]:
    if end.place:
        yield say(end.place)
    for name, value in (("sat", end.how_it_sat), ("colour", end.colour), ("terminal", end.terminal)):
        if value:
            yield f"{name} {say(value)}"
    if end.capped is not None:
        yield "capped" if end.capped else "uncapped"
    if end.tape_lost:
        yield "tape lost"
    if end.side:
        yield SIDES[end.side]
