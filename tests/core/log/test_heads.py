"""Heads of a person's own sheet: what each is read as, and what becomes of the cells under it."""

from __future__ import annotations

import pytest

from asfound.core.log.heads import LEAVE_OUT, NOTE, ReadHead, as_columns, read_heads

OURS = ("tag", "name", "end_a_place", "end_b_place", "note", "size")


def read(*heads: str, said: dict[str, str] | None = None) -> list[ReadHead]:
    shown = {head.casefold(): head for head in heads}
    return read_heads(shown, {"torque": "45 Nm"}, said or {}, OURS.__contains__)


def columns(*heads: str, said: dict[str, str] | None = None) -> list[tuple[str, str]]:
    return [(one.column, one.how) for one in read(*heads, said=said)]


@pytest.mark.parametrize(
    ("heads", "found"),
    [
        (("No", "What", "From", "To"), ["tag", "name", "end_a_place", "end_b_place"]),
        (("Nr.", "Description", "End A", "End B", "Remarks"), ["tag", "name", "end_a_place", "end_b_place", NOTE]),
        (("Tape no", "Item", "Size (mm)", "Wire colour"), ["tag", "name", "size", "a_base"]),
        (("Label_No", "Bag Nr", "Date removed", "Type"), ["tag", "bag", "off_on", "kind"]),
    ],
)
def test_usual_heads_are_guessed(heads: tuple[str, ...], found: list[str]):
    """Common practice, no source: heads as people write them."""
    assert [column for column, _how in columns(*heads)] == found
    assert {how for _column, how in columns(*heads)} == {"meant"}


def test_own_columns_count_first_then_what_was_said_and_each_column_is_guessed_once():
    assert columns("No", "tag", "What", "Thing") == [
        (NOTE, "kept"), ("tag", "known"), ("name", "meant"), (NOTE, "kept"),
    ]  # fmt: skip
    said = {"what": LEAVE_OUT, "torque": "size"}
    assert columns("No", "What", "Torque", said=said) == [("tag", "meant"), (LEAVE_OUT, "said"), ("size", "said")]


def test_what_no_column_is_for_goes_into_the_note_under_its_head():
    heads = read("No", "Torque", "Remarks", "Photo", said={"photo": NOTE})
    assert [one.words for one in heads[1:]] == [
        'kept in the note as "Torque: 45 Nm"', "read as note", 'kept in the note as "Photo: ..."',
    ]  # fmt: skip

    row = as_columns({"no": "17", "torque": "45 Nm", "remarks": "greasy", "photo": ""}, heads)

    assert row == {"tag": "17", NOTE: "Torque: 45 Nm; greasy"}


def test_left_out_is_left_out_and_empty_cells_say_nothing():
    heads = read("No", "Torque", said={"torque": LEAVE_OUT})
    assert [one.words for one in heads] == ["read as tag", "left out"]
    assert as_columns({"no": "17", "torque": "45 Nm"}, heads) == {"tag": "17"}
    assert as_columns({"no": "", "torque": ""}, read("No", "Torque")) == {"tag": "", NOTE: ""}
