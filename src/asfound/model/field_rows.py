"""What there is to know of a field that a person fills in: one row, beside the attribute that holds it.

Whatever asks for a field, shows it or looks in it goes by the row: the options of `asfound tag`, a list that is brought
in, the entry form, cards, the book and the search. `core.log.tag_fields` gathers the rows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Literal

Slot = Literal["name", "kind", "place", "colour", "terminal", "size", "sat", "note", "about"]
"""Where the words of a field go in the search; `core.find.slots` says how much each tells."""

Words = Literal["text", "kind", "direction", "hour", "side", "colour", "cap", "tape", "count", "bag"]
"""How what was typed is read: as it stands, or as one of the things that have a reader of their own."""


@dataclass(frozen=True, slots=True)
class FieldRow:
    """One row. A name that is not given follows from that of the attribute; None says that there is none.

    Attributes
    ----------
    title, hint : str
        In the entry form, in one or two words, and what can stand there; a field without a title is not in the form.
        The hint is what the option says of itself too.
    words : Words
    choices : tuple of str
        What can stand there and nothing else; empty where any words can.
    option : str or None
        Of `asfound tag`: "size" is --size, or --size-a and --size-b for what is of an end.
    column : str or None
        Heading in a list that is brought in; for what is of an end with {} for its small letter.
    label : str or None
        On cards and in the book.
    card : str
        The label with {} for the letter of an end.
    search : Slot or None
        None for what is not looked for.
    is_early : bool
        Whether it stands before the ends on a card.
    is_wide : bool
        Whether it needs the whole width of the form.
    """

    title: str = ""
    hint: str = ""
    words: Words = "text"
    choices: tuple[str, ...] = ()
    option: str | None = ""
    column: str | None = ""
    label: str | None = ""
    card: str = ""
    search: Slot | None = None
    is_early: bool = False
    is_wide: bool = False
    name: str = ""
    is_of_end: bool = False


def row(of: FieldRow) -> dict[str, FieldRow]:
    """The metadata of a dataclass field with this row."""
    return {"row": of}


def rows_of(kind: type, *, is_of_end: bool) -> Mapping[str, FieldRow]:
    """The rows of a dataclass by the names of its fields, in their order, with all names given."""
    found = {}
    for field in fields(kind):
        of: FieldRow | None = field.metadata.get("row")
        if of is not None:
            label = of.title.casefold() if of.label == "" else of.label
            found[field.name] = replace(
                of,
                name=field.name,
                is_of_end=is_of_end,
                option=field.name.replace("_", "-") if of.option == "" else of.option,
                column=(f"{field.name}_{{}}" if is_of_end else field.name) if of.column == "" else of.column,
                label=label,
                card=of.card or (f"{label} at {{}}" if is_of_end else label or ""),
            )
    return found
