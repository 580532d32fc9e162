"""The fields of a tag as they are filled in one after the other, each a short text.

What stands in a field is what a person would type there; `actions.tag_form` reads and writes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfound.core.words import fold
from asfound.model.tags import FLOWS, KINDS, EndLetter

LETTERS: tuple[EndLetter, EndLetter] = ("A", "B")


@dataclass(frozen=True, slots=True)
class TagField:
    """One field.

    Attributes
    ----------
    name : str
        As in `actions.tag.TagWords` or `EndWords`, or "number", "bag", "tape", "capped".
    title : str
        In one or two words.
    hint : str
        What can stand there.
    end : "A", "B" or None
        None for the whole thing.
    choices : tuple of str
        What can stand there and nothing else; empty where any words can.
    """

    name: str
    title: str
    hint: str
    end: EndLetter | None = None
    choices: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """What tells it from all others: "kind", "place A"."""
        return f"{self.name} {self.end}" if self.end else self.name


_WHOLE = (
    TagField("kind", "Kind", "what it is; the beginning is enough", choices=KINDS),
    TagField("name", "Name", "in your own words"),
)
_ENDS = (
    TagField("place", "Place", 'where it sits; "not found" and "open end" are answers'),
    TagField("colour", "Colour", "main colour first: RD/BK; ? after it when seen in poor light"),
    TagField("how_it_sat", "Sat", "latch, arrow, clamp screw, order on the stud, threads showing"),
    TagField("clock", "Turned", "as a clock hour: 2, or 2:30"),
    TagField("terminal", "Terminal", "the mark as it stands there; it is never corrected"),
    TagField("capped", "Capped", 'what with, "yes", or "no" for an open end'),
    TagField("side", "Side", "leaves with the engine, or stays behind", choices=("engine side", "stays behind")),
    TagField("tape", "Tape", "lost, or on", choices=("lost", "on")),
    TagField("note", "Note", "anything else about this end"),
)
_REST = (
    TagField("size", "Size", "bore, section, ways, belt size or thread"),
    TagField("flow", "Flow", "of what is in it, or its motion", choices=FLOWS),
    TagField("route", "Route", "over, under, behind, through which clip; tags it crosses"),
    TagField("bag", "Bag", 'labels, with a comma between; or "back in place"'),
    TagField("hazard", "Hazard", "fuel, pressure, hot, battery, spring, lifting, ..."),
    TagField("condition", "Condition", "reuse, clean, replace, as pattern only, unknown"),
    TagField("goes_with", "Goes with", "where the part is: engine, shelf, shop, on order, thrown away"),
    TagField("look_alike", "Looks like", "the same word on two tags: they could be taken for each other"),
    TagField("ends", "Ends", "1 or 2; a bracket has one unless said otherwise", choices=("1", "2")),
    TagField("fit_after", "Fit after", "numbers that are fitted before it, with a comma between"),
    TagField("fit_before", "Fit before", "numbers that are fitted after it"),
    TagField("how_it_sat", "Sat, whole", "how the whole thing sat"),
    TagField("note", "Note", "anything else"),
)

NUMBER = TagField(
    "number", "Number", "as on the tape; or all in one line: 17 hose upper radiator A pump B radiator top"
)
TAG_FIELDS: tuple[TagField, ...] = (
    NUMBER,
    *_WHOLE,
    *(TagField(one.name, one.title, one.hint, end, one.choices) for one in _ENDS for end in LETTERS),
    *_REST,
)
"""Every field in the order in which one goes through them: what is most often known first, both ends side by side."""

BY_KEY = {field.key: field for field in TAG_FIELDS}


def take_choice(field: TagField, typed: str) -> str:
    """The choice that was begun ("co" for "coolant hose"); what was typed where none begins so."""
    begun = fold(typed.strip())
    whole = next((one for one in field.choices if fold(one) == begun), None)
    return whole or next((one for one in field.choices if begun and fold(one).startswith(begun)), typed.strip())


def offer_words(field: TagField, typed: str, used: Iterable[str], *, most: int = 8) -> tuple[str, ...]:
    """Words that could go on from what was typed: those that begin so first, then those of which a later word does.

    Parameters
    ----------
    used : iterable of str
        What stands in this field elsewhere in the job, the likeliest first; a field with choices offers those instead.
    """
    begun = fold(typed.strip())
    words = list(dict.fromkeys(field.choices or used))
    first = [word for word in words if fold(word).startswith(begun)]
    later = [word for word in words if word not in first and any(fold(w).startswith(begun) for w in word.split())]
    return tuple(word for word in (first + later if begun else words) if fold(word) != begun)[:most]


def split_labels(text: str) -> Sequence[str]:
    """Labels or numbers with commas or semicolons between, each once."""
    parts = (part.strip() for part in text.replace(";", ",").split(","))
    return tuple(dict.fromkeys(part for part in parts if part))
