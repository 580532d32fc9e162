"""What is to be bought, and the members of sets."""

from __future__ import annotations

from asfound.model.purchases import Purchase, SetMember
from asfound.store.database import Store

_WORDS = ("what", "part_number", "price", "shop", "ordered_on", "arrived_on")
_OF_MEMBER = ("faced", "note")


def add_purchase(store: Store, job_id: int, *, tag_id: int | None = None, snag_id: int | None = None) -> int:
    """Add something to buy, with nothing said of it yet, and return its id."""
    cursor = store.run("INSERT INTO purchase(job_id, tag_id, snag_id) VALUES (?, ?, ?)", job_id, tag_id, snag_id)
    return int(cursor.lastrowid or 0)


def change_purchase(store: Store, purchase_id: int, **words: str) -> None:
    """Set what is said of something to buy."""
    if unknown := words.keys() - set(_WORDS):
        raise ValueError(str(unknown))
    for name, word in words.items():
        store.run(f"UPDATE purchase SET {name} = ? WHERE purchase_id = ?", word, purchase_id)


def remove_purchase(store: Store, purchase_id: int) -> None:
    """Take it off the list."""
    store.run("DELETE FROM purchase WHERE purchase_id = ?", purchase_id)


def list_purchases(store: Store, job_id: int) -> list[Purchase]:
    """What was written down to be bought, in the order in which it was."""
    rows = store.rows("SELECT * FROM purchase WHERE job_id = ? ORDER BY purchase_id", job_id)
    return [
        Purchase(row["purchase_id"], row["tag_id"], row["snag_id"], *(row[name] for name in _WORDS)) for row in rows
    ]


def save_member(store: Store, tag_id: int, position: str, **words: str) -> None:
    """Add a member of a set, or change what is said of it."""
    if unknown := words.keys() - set(_OF_MEMBER):
        raise ValueError(str(unknown))
    store.run("INSERT OR IGNORE INTO set_member(tag_id, position) VALUES (?, ?)", tag_id, position)
    for name, word in words.items():
        store.run(f"UPDATE set_member SET {name} = ? WHERE tag_id = ? AND position = ?", word, tag_id, position)


def remove_member(store: Store, tag_id: int, position: str) -> bool:
    """Take a member out of a set; whether there was one."""
    done = store.run("DELETE FROM set_member WHERE tag_id = ? AND position = ?", tag_id, position)
    return done.rowcount > 0


def list_members(store: Store, job_id: int) -> list[SetMember]:
    """Members of every set of a job, in the order in which they were entered."""
    rows = store.rows(
        "SELECT set_member.* FROM set_member JOIN tag USING(tag_id) WHERE job_id = ? ORDER BY member_id", job_id
    )
    return [SetMember(row["tag_id"], row["position"], row["faced"], row["note"]) for row in rows]
