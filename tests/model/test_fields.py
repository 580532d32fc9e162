"""The rows that say what there is to know of a field: names follow from the attribute, and no two are taken for one."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, fields

import pytest

from asfound.model.field_rows import FieldRow, row, rows_of
from asfound.model.tags import FLOWS, KINDS, SIDES, Tag, TagEnd


@dataclass(frozen=True)
class Thing:
    """A noun with rows of every kind, and one attribute that is no field of a person."""

    thing_id: int
    how_far: str = field(default="", metadata=row(FieldRow("How far", "in metres", search="size")))
    named: str = field(
        default="", metadata=row(FieldRow("Named", option="called", column="name", label="name", card="its name"))
    )
    silent: str = field(default="", metadata=row(FieldRow(option=None, column=None, label=None)))


def test_only_attributes_with_a_row_are_fields_in_their_order():
    assert list(rows_of(Thing, is_of_end=False)) == ["how_far", "named", "silent"]


def test_what_is_not_said_follows_from_the_attribute():
    made = rows_of(Thing, is_of_end=False)["how_far"]

    assert (made.name, made.option, made.column, made.label, made.card) == (
        "how_far", "how-far", "how_far", "how far", "how far",
    )  # fmt: skip
    assert (made.title, made.hint, made.search, made.is_of_end) == ("How far", "in metres", "size", False)


def test_field_of_an_end_leaves_room_for_its_letter():
    made = rows_of(Thing, is_of_end=True)["how_far"]

    assert (made.column, made.card) == ("how_far_{}", "how far at {}")
    assert made.is_of_end


def test_what_is_said_stays_and_none_means_none():
    made = rows_of(Thing, is_of_end=False)

    assert (made["named"].option, made["named"].column, made["named"].card) == ("called", "name", "its name")
    assert (made["silent"].option, made["silent"].column, made["silent"].label) == (None, None, None)


BOTH = [*rows_of(Tag, is_of_end=False).values(), *rows_of(TagEnd, is_of_end=True).values()]


@pytest.mark.parametrize("kind", ["option", "column"])
def test_no_two_fields_share_an_option_or_a_column(kind: str):
    ends = [
        one.format(letter) if "{}" in one else one
        for made in BOTH
        if (one := getattr(made, kind)) is not None
        for letter in ("ab" if "{}" in one else "a")
    ]
    taken = Counter((one, made.is_of_end and kind == "option") for made in BOTH if (one := getattr(made, kind)))

    assert max(taken.values()) == 1
    assert kind == "option" or max(Counter(ends).values()) == 1


@pytest.mark.parametrize("made", BOTH, ids=lambda made: f"{'end' if made.is_of_end else 'tag'} {made.name}")
def test_field_can_be_shown_and_filled_in(made: FieldRow):
    assert made.title or made.label is None, "what stands on a card is named in the form too"
    assert made.hint or made.title == ""
    assert made.hint == made.hint.strip()
    assert not made.hint.removesuffix("...").endswith(".")
    assert made.title[:1] == made.title[:1].upper()
    if made.is_of_end and made.column is not None:
        assert made.column.count("{}") == 1


def test_choices_are_those_that_the_model_knows():
    of_tag, of_end = rows_of(Tag, is_of_end=False), rows_of(TagEnd, is_of_end=True)

    assert of_tag["kind"].choices == KINDS
    assert of_tag["flow"].choices == FLOWS
    assert of_end["side"].choices == tuple(SIDES.values())


@pytest.mark.parametrize("noun", [Tag, TagEnd])
def test_nothing_said_is_what_each_field_begins_with(noun: type):
    """An empty word, or nothing: so that a field nobody filled in never looks like an answer."""
    said = {one.name: one.default for one in fields(noun) if "row" in one.metadata}

    allowed = {"kind": "other", "ends": 2, "capped": None, "tape_lost": False}
    assert {name: value for name, value in said.items() if value != ""} == {
        name: value for name, value in allowed.items() if name in said
    }
