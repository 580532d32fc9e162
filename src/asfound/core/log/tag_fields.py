"""The fields of a tag: the rows that stand in `model.tags`, gathered, and the entry form that follows from them.

What stands in a field of the form is what a person would type there; `actions.tag_form` reads and writes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfound.core.words import fold
from asfound.model.field_rows import FieldRow, rows_of
from asfound.model.tags import SIDES, EndLetter, Tag, TagEnd

LETTERS: tuple[EndLetter, EndLetter] = ("A", "B")

OF_TAG = rows_of(Tag, is_of_end=False)
"""Name to row of what is said of the whole thing."""

OF_END = rows_of(TagEnd, is_of_end=True)
"""Name to row of what is said of each end."""


@dataclass(frozen=True, slots=True)
class TagField:
    """One field of the form.

    Attributes
    ----------
    name : str
        As in `OF_TAG` or `OF_END`, or "number", "fit_after", "fit_before".
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


def typed_text(row: FieldRow, of: Tag | TagEnd) -> str:
    """What stands in a field, as a person would type it; empty where nothing was said."""
    value = getattr(of, row.name)
    if isinstance(of, TagEnd):
        if row.words == "colour":
            return f"{of.colour}{'?' if of.colour and of.colour_unsure else ''}"
        if row.words == "cap":
            return {True: of.capped_with or "yes", False: "no", None: ""}[of.capped]
        if row.words == "side":
            return SIDES[of.side] if of.side else ""
        if row.words == "tape":
            return "lost" if value else ""
    return "" if (row.words, value) == ("kind", "other") else str(value)


def _form() -> Iterable[TagField]:
    """What is most often known first, then both ends side by side."""
    yield NUMBER
    whole = [TagField(row.name, row.title, row.hint, None, row.choices) for row in OF_TAG.values() if row.title]
    yield from whole[:2]
    for row in OF_END.values():
        if row.title:
            yield from (TagField(row.name, row.title, row.hint, end, row.choices) for end in LETTERS)
    for one in whole[2:]:
        yield one
        if one.name == "ends":
            yield TagField("fit_after", "Fit after", "numbers that are fitted before it, with a comma between")
            yield TagField("fit_before", "Fit before", "numbers that are fitted after it")


NUMBER = TagField(
    "number", "Number", "as on the tape; or all in one line: 17 hose upper radiator A pump B radiator top"
)
TAG_FIELDS: tuple[TagField, ...] = tuple(_form())
"""Every field of the form in the order in which one goes through them."""

BY_KEY = {field.key: field for field in TAG_FIELDS}

WIDE = frozenset({"number", *(row.name for row in (*OF_TAG.values(), *OF_END.values()) if row.is_wide)})
"""Names of the fields that need the whole width of the form."""


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
