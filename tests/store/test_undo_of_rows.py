"""Undo below the actions: any rows put in, changed and taken out of any table that holds a person's words."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.store import events, pins, snags, tags
from asfound.store.bags import save_bag
from asfound.store.database import Store
from asfound.store.migrations import PERSON_TABLES
from tests.store.filled import NOW, Rows, filled_store, person_rows
from tests.strategies import any_floats, any_words

ALLOWED = {
    ("tag_end", "end"): ("A", "B"),
    ("tag_end", "side"): ("", "engine", "stays"),
    ("pin", "end"): ("A", "B"),
    ("pin", "source"): ("hand", "carried", "read"),
    ("pair_word", "word"): ("pair", "not a pair"),
    ("refit_move", "side"): ("before", "after"),
}
"""What the format allows where it allows few words only; other values would be refused and tell nothing."""


@dataclass(frozen=True)
class Column:
    """A column as SQLite's own catalogue describes it."""

    name: str
    type: str
    is_key: bool
    is_required: bool
    is_reference: bool


def _columns(store: Store, table: str) -> list[Column]:
    references = {row["from"] for row in store.rows(f"PRAGMA foreign_key_list({table})")}
    return [
        Column(row["name"], row["type"], bool(row["pk"]), bool(row["notnull"]), row["name"] in references)
        for row in store.rows(f"PRAGMA table_info({table})")
    ]


def _value(table: str, column: Column) -> st.SearchStrategy[Any]:
    if allowed := ALLOWED.get((table, column.name)):
        return st.sampled_from(allowed)
    if column.is_reference or (column.is_key and column.type == "INTEGER"):
        value: st.SearchStrategy[Any] = st.integers(1, 3)
    elif column.type == "INTEGER":
        value = st.integers(-(2**63), 2**63 - 1)
    else:
        value = any_words if column.type == "TEXT" else any_floats
    return value if column.is_required or column.is_key else st.none() | value


Statement = tuple[str, tuple[Any, ...]]


def _statements(table: str, columns: list[Column]) -> st.SearchStrategy[Statement]:
    """One row put in, put in place of another, changed in one column, or taken out."""
    names, marks = ", ".join(f'"{column.name}"' for column in columns), ", ".join("?" * len(columns))
    row = st.tuples(*(_value(table, column) for column in columns))
    puts = [st.just(f"{put} INTO {table}({names}) VALUES ({marks})") for put in ("INSERT", "INSERT OR REPLACE")]
    half = st.integers(0, 1)
    changes = [
        st.tuples(
            st.just(f'UPDATE {table} SET "{column.name}" = ? WHERE rowid % 2 = ?'),
            st.tuples(_value(table, column), half),
        )
        for column in columns
    ]
    takes = st.tuples(st.just(f"DELETE FROM {table} WHERE rowid % 2 = ?"), st.tuples(half))
    return st.one_of(*(st.tuples(put, row) for put in puts), st.one_of(changes), takes)


@pytest.mark.parametrize("table", PERSON_TABLES)
def test_every_row_that_was_put_in_changed_or_taken_out_comes_back(
    table: str, tmp_path_factory: pytest.TempPathFactory
):
    with filled_store(tmp_path_factory.mktemp("columns")) as store:
        statement = _statements(table, _columns(store, table))

    @settings(max_examples=15, deadline=None)
    @given(steps=st.lists(st.lists(statement, min_size=1, max_size=4) | st.just([]), min_size=1, max_size=6))
    def check(steps: list[list[Statement]]) -> None:
        with filled_store(tmp_path_factory.mktemp("rows")) as store:
            store.run(
                "PRAGMA synchronous = OFF"
            )  # a power cut is not what this is about, and waiting for disks is slow
            _walk(store, steps)

    check()


def _walk(store: Store, steps: list[list[Statement]]) -> None:
    """Take each step; an empty one takes the latest back. At the end all are taken back."""
    states = []
    for number, step in enumerate(steps):
        before = person_rows(store)
        if not step:
            if states:
                _take_back_and_forth(store, *states.pop())
            continue
        try:
            with store.step(str(number), NOW):
                for sql, values in step:
                    store.run(sql, *values)
        except sqlite3.IntegrityError:
            assert person_rows(store) == before, "a step that fails leaves nothing behind"
            continue
        if store.count_steps() > len(states):
            states.append((str(number), before))
        else:
            assert person_rows(store) == before, "what changed something can be taken back"
    for words, before in reversed(states):
        _take_back_and_forth(store, words, before)
    assert [row[0] for row in store.rows("PRAGMA integrity_check")] == ["ok"]
    assert store.rows("PRAGMA foreign_key_check") == []


def _take_back_and_forth(store: Store, words: str, before: Rows) -> None:
    """A step is taken back, comes again as it was, and is taken back for good."""
    after = person_rows(store)
    assert store.undo(NOW) == words
    assert person_rows(store) == before
    assert store.redo(NOW) == words
    assert person_rows(store) == after
    assert store.undo(NOW) == words
    assert person_rows(store) == before


def test_no_table_of_a_person_lacks_the_rowid_that_undo_needs(store: Store):
    """sqlite.org/withoutrowid.html: such a table is told by its words."""
    made = store.rows("SELECT name, sql FROM sqlite_master WHERE type = 'table'")
    without = {row["name"] for row in made if "WITHOUT ROWID" in str(row["sql"]).upper()}

    assert without
    assert not without & set(PERSON_TABLES)


def test_every_table_that_a_step_can_change_is_one_of_a_person_or_made_by_the_machine(store: Store):
    """A new table is put on one side or the other: forgetting it here would make it impossible to take back."""
    made = {
        *("setting", "camera", "dump", "original", "arrival", "clip", "picture"),
        *("examined", "likeness", "spot", "member", "last_spot", "seen_afar", "pair"),
        *("proposal", "end_scale", "stale_carry", "read_by", "reading", "stale_search", "search_doc"),
        *("step", "open_step", "undo_line"),
    }
    rows = store.rows(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' "
        "AND name NOT LIKE 'search_text%' AND name NOT LIKE 'search_vocabulary%' AND name NOT LIKE 'search_spelling%'"
    )
    assert {row["name"] for row in rows} == made | set(PERSON_TABLES)


@pytest.mark.parametrize(
    "make",
    [
        lambda s: tags.add_tag(s, 1, "40", NOW, kind="wire", name="", ends=1),
        lambda s: events.add_event(s, 1, "off", NOW, NOW),
        lambda s: pins.save_pin(s, 1, "A", 1, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None),
        lambda s: save_bag(s, 1, "B9"),
        lambda s: snags.add_snag(s, 1, "9", NOW, is_day_only=False, what="stripped"),
    ],
    ids=["tag", "line of the log", "pin", "bag", "snag"],
)
def test_the_id_of_what_was_taken_back_is_never_given_to_another_thing(store: Store, make: Any):
    with store.step("made", NOW):
        first = make(store)
    store.undo(NOW)

    with store.step("made again", NOW):
        assert make(store) > first


def test_words_with_quotes_line_ends_and_signs_of_sql_come_back_letter_for_letter(store: Store):
    name = "it's 17\" \\ -- ; DROP TABLE tag; /* ? :x \r\n\t Łódź 日本 \U0001f527"
    with store.step("named", NOW):
        tags.change_tag(store, 1, name=name)
    with store.step("named anew", NOW):
        tags.change_tag(store, 1, name="hose")

    store.undo(NOW)

    assert tags.get_tag(store, 1).name == name
