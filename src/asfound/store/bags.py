"""Bags and bins of fasteners: where they lie, what is in them and whose it is, how many went in and came back."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from typing import Any

from asfound.errors import NotFound
from asfound.model.log import Bag, BagGroup
from asfound.store.database import Store

_BAG_COLUMNS = frozenset("name contents place count_out count_back note".split())
_GROUP_COLUMNS = frozenset("what thread length_mm across_flats_mm head_mark count_out count_back".split())


def save_bag(store: Store, job_id: int, label: str) -> int:
    """The id of the bag with this label, made if need be; capitals do not matter."""
    found = store.value("SELECT bag_id FROM bag WHERE job_id = ? AND label = ? COLLATE NOCASE", job_id, label)
    if found is not None:
        return int(found)
    return int(store.run("INSERT INTO bag(job_id, label) VALUES (?, ?)", job_id, label).lastrowid or 0)


def change_bag(store: Store, bag_id: int, **words: Any) -> None:
    """Set fields of a bag."""
    for column, value in words.items():
        if column not in _BAG_COLUMNS:
            raise ValueError(column)
        store.run(f"UPDATE bag SET {column} = ? WHERE bag_id = ?", value, bag_id)


def save_group(store: Store, bag_id: int, what: str, **words: Any) -> None:
    """Add a group of fasteners to a bag, or say more of the one that is called so."""
    if unknown := words.keys() - _GROUP_COLUMNS:
        raise ValueError(str(unknown))
    group_id = store.value("SELECT group_id FROM bag_group WHERE bag_id = ? AND what = ? COLLATE NOCASE", bag_id, what)
    if group_id is None:
        group_id = store.run("INSERT INTO bag_group(bag_id, what) VALUES (?, ?)", bag_id, what).lastrowid
    for column, value in words.items():
        store.run(f"UPDATE bag_group SET {column} = ? WHERE group_id = ?", value, group_id)


def rename_group(store: Store, group_id: int, what: str) -> None:
    """Call a group of fasteners otherwise."""
    store.run("UPDATE bag_group SET what = ? WHERE group_id = ?", what, group_id)


def remove_group(store: Store, group_id: int) -> None:
    """Take a group of fasteners away."""
    store.run("DELETE FROM bag_group WHERE group_id = ?", group_id)


def link_tag(store: Store, bag_id: int, tag_id: int) -> None:
    """Say that a bag's fasteners belong to a thing."""
    store.run("INSERT OR IGNORE INTO bag_tag(bag_id, tag_id) VALUES (?, ?)", bag_id, tag_id)


def unlink_tag(store: Store, bag_id: int, tag_id: int) -> None:
    """Take that back."""
    store.run("DELETE FROM bag_tag WHERE bag_id = ? AND tag_id = ?", bag_id, tag_id)


def list_bags(store: Store, job_id: int) -> list[Bag]:
    """Bags of a job in the order in which they were entered."""
    groups: dict[int, list[BagGroup]] = defaultdict(list)
    rows = store.rows(
        "SELECT bag_group.* FROM bag_group JOIN bag USING (bag_id) WHERE job_id = ? ORDER BY group_id", job_id
    )
    for row in rows:
        groups[row["bag_id"]].append(BagGroup(**dict(row)))
    tags: dict[int, list[int]] = defaultdict(list)
    for row in store.rows("SELECT bag_tag.* FROM bag_tag JOIN bag USING (bag_id) WHERE job_id = ?", job_id):
        tags[row["bag_id"]].append(row["tag_id"])
    rows = store.rows("SELECT * FROM bag WHERE job_id = ? ORDER BY bag_id", job_id)
    return [_bag(row, groups[row["bag_id"]], tags[row["bag_id"]]) for row in rows]


def get_bag(store: Store, bag_id: int) -> Bag:
    """One bag by its id; `NotFound` if there is none. It takes no longer when there are many."""
    row = store.row("SELECT * FROM bag WHERE bag_id = ?", bag_id)
    if row is None:
        raise NotFound(f"There is no bag with the id {bag_id}.")
    groups = store.rows("SELECT * FROM bag_group WHERE bag_id = ? ORDER BY group_id", bag_id)
    tags = store.rows("SELECT tag_id FROM bag_tag WHERE bag_id = ?", bag_id)
    return _bag(row, [BagGroup(**dict(one)) for one in groups], [one["tag_id"] for one in tags])


def list_labels(store: Store, job_id: int) -> list[tuple[int, str]]:
    """Bags of a job as (id, label), in the order in which they were entered."""
    return [tuple(row) for row in store.rows("SELECT bag_id, label FROM bag WHERE job_id = ? ORDER BY bag_id", job_id)]


def labels_of_tag(store: Store, tag_id: int) -> list[str]:
    """Labels of the bags that a thing's fasteners are in, in the order in which the bags were entered."""
    rows = store.rows("SELECT label FROM bag_tag JOIN bag USING (bag_id) WHERE tag_id = ? ORDER BY bag_id", tag_id)
    return [str(row["label"]) for row in rows]


def _bag(row: sqlite3.Row, groups: list[BagGroup], tags: list[int]) -> Bag:
    words = dict(row)
    for column in ("count_out", "count_back"):
        counts = [count for group in groups if (count := getattr(group, column)) is not None]
        # Groups that were counted tell more than a total; one that was not leaves the total of the others open.
        if counts and len(counts) == len(groups):
            words[column] = sum(counts)
    return Bag(**words, groups=tuple(groups), tag_ids=tuple(tags))
