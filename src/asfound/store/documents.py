"""Documents, and what they belong to."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime

from asfound.model.documents import Document, DocumentKind
from asfound.store.database import Store

_TIES = ("tag_id", "bag_id", "snag_id")


def add_document(
    store: Store,
    job_id: int,
    at: datetime,
    *,
    file: str,
    kind: DocumentKind,
    digest: str,
    picture_id: int | None = None,
) -> int:
    """Write down a document whose original lies in the archive already, and return its id."""
    cursor = store.run(
        "INSERT INTO document(job_id, file, kind, digest, picture_id, added_at) VALUES (?, ?, ?, ?, ?, ?)",
        *(job_id, file, kind, digest, picture_id, at.isoformat()),
    )
    return int(cursor.lastrowid or 0)


def change_what(store: Store, document_id: int, what: str) -> None:
    """Say what a document is."""
    store.run("UPDATE document SET what = ? WHERE document_id = ?", what, document_id)


def remove_document(store: Store, document_id: int) -> None:
    """Take a document off the list, with its ties; its original stays in the archive."""
    store.run("DELETE FROM document_tie WHERE document_id = ?", document_id)
    store.run("DELETE FROM document WHERE document_id = ?", document_id)


def tie(store: Store, document_id: int, **thing: int) -> None:
    """Say that a document belongs to a tag, bag or snag (tag_id=, bag_id=, snag_id=); twice changes nothing."""
    for column, value in _checked(thing).items():
        store.run(
            f"INSERT INTO document_tie(document_id, {column}) SELECT ?, ? WHERE NOT EXISTS "
            f"(SELECT 1 FROM document_tie WHERE document_id = ? AND {column} = ?)",
            *(document_id, value, document_id, value),
        )


def untie(store: Store, document_id: int, **thing: int) -> bool:
    """Take a tie away; whether there was one."""
    done = [
        store.run(f"DELETE FROM document_tie WHERE document_id = ? AND {column} = ?", document_id, value).rowcount
        for column, value in _checked(thing).items()
    ]
    return any(count > 0 for count in done)


def list_documents(store: Store, job_id: int) -> list[Document]:
    """Documents of a job in the order in which they came."""
    ties: dict[tuple[int, str], list[int]] = defaultdict(list)
    for row in store.rows(
        "SELECT document_tie.* FROM document_tie JOIN document USING (document_id) WHERE job_id = ? ORDER BY tie_id",
        job_id,
    ):
        for column in _TIES:
            if row[column] is not None:
                ties[row["document_id"], column].append(row[column])
    columns = "document_id, job_id, file, kind, digest, picture_id, what"
    rows = store.rows(f"SELECT {columns} FROM document WHERE job_id = ? ORDER BY document_id", job_id)
    return [Document(*row, *(tuple(ties[row["document_id"], column]) for column in _TIES)) for row in rows]


def is_document(store: Store, picture_id: int) -> bool:
    """Whether a picture was said to be a document."""
    return store.value("SELECT 1 FROM document WHERE picture_id = ?", picture_id) is not None


def tags_of_original(store: Store, digest: str) -> list[str]:
    """Tags, as typed, that a document with these bytes belongs to, in any job."""
    rows = store.rows(
        "SELECT DISTINCT number, nth FROM document JOIN document_tie USING (document_id) JOIN tag USING (tag_id) "
        "WHERE digest = ? ORDER BY number, nth",
        digest,
    )
    return [row["number"] if row["nth"] == 1 else f"{row['number']}.{row['nth']}" for row in rows]


def _checked(thing: dict[str, int]) -> dict[str, int]:
    if unknown := thing.keys() - set(_TIES):
        raise ValueError(str(unknown))
    return thing
