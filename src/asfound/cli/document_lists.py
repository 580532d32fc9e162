"""Documents for people and for scripts."""

from __future__ import annotations

from typing import Any

from asfound.actions.archive import Archive
from asfound.actions.documents import belongs_to, path_of_document
from asfound.actions.known import known_tags
from asfound.cli.json_documents import document_entry
from asfound.errors import OriginalMissing
from asfound.model.documents import Document


def document_line(archive: Archive, document: Document) -> str:
    """One line: number, what it is, what it belongs to."""
    return f"{document.document_id:>3}  {document.called}, {document.kind}, of {belongs_to(archive, document)}"


def document_document(archive: Archive, document: Document) -> dict[str, Any]:
    """One document as `documents --json` lists it."""
    try:
        path: str | None = str(path_of_document(archive, document))
    except OriginalMissing:
        path = None
    known = known_tags(archive)
    return {
        **document_entry(document),
        "kind": document.kind,
        "picture": document.picture_id,
        "tags": [known[tag_id].number for tag_id in document.tag_ids if tag_id in known],
        "of": belongs_to(archive, document),
        "path": path,
    }
