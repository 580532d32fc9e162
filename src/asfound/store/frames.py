"""Frames that a person took out of a clip: pictures that go again when the step that made them is taken back."""

from __future__ import annotations

from asfound.store.database import Store
from asfound.store.migrations import PERSON_TABLES

_REFERENCES = (
    'SELECT found.name AS its_table, key."from" AS its_column FROM sqlite_master AS found '
    "JOIN pragma_foreign_key_list(found.name) AS key WHERE found.type = 'table' AND key.\"table\" = 'picture'"
)
_STALE = (
    "INSERT INTO setting(name, value) SELECT 'stale spots', '1' "
    "WHERE NOT EXISTS (SELECT 1 FROM setting WHERE name = 'stale spots')"
)


def let_undo_drop(store: Store, picture_id: int) -> None:
    """Make the open step take a picture away again when it is undone, with all that was worked out of it.

    Pictures have no triggers, for a dump is no step. What a person said of the picture later is taken back before it,
    steps being undone from the latest on; should a word of theirs still be about it, it stays.
    """
    keys = [(row["its_table"], row["its_column"]) for row in store.rows(_REFERENCES)]
    words = "".join(
        f' AND NOT EXISTS (SELECT 1 FROM {table} WHERE "{column}" = {picture_id})'
        for table, column in keys
        if table in PERSON_TABLES
    )
    # Undone from the last line to the first: what refers to the picture goes before it.
    lines = [_STALE, f"DELETE FROM picture WHERE picture_id = {picture_id}{words}"]
    lines += [
        f'DELETE FROM {table} WHERE "{column}" = {picture_id}' for table, column in keys if table not in PERSON_TABLES
    ]
    for line in lines:
        store.run("INSERT INTO undo_line(step_id, sql) SELECT step_id, ? FROM open_step", line)
