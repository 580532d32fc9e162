"""How a belt ran."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.model.tags import Tag
from asfound.store import tags


def note_belt(archive: Archive, tag: Tag, **words: str) -> None:
    """Write down how a belt ran: comes_off, path, arrow, turns, slack. A thing of no kind becomes a belt by it."""
    with archive.step(f"how belt {tag.number} ran"):
        tags.save_belt(archive.store, tag.tag_id, **words)
        if tag.kind == "other":
            tags.change_tag(archive.store, tag.tag_id, kind="belt")
