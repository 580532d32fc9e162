"""The walk round in the words of the book."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.book_pictures import BookPictures
from asfound.actions.walk_round import list_walk
from asfound.core.sheets.book.content import WalkEntry
from asfound.model.walk import WalkState

_WORDS: dict[WalkState, str] = {
    "open": "not photographed yet; it can still be, until lift out",
    "lost": "not photographed before lift out",
    "late": "from after lift out: not as found",
}


def read_walk(archive: Archive, pictures: BookPictures) -> list[WalkEntry]:
    """Every item; none where nothing of it was ever answered and the engine is out."""
    lines = list_walk(archive)
    if all(line.standing.state == "lost" for line in lines):
        return []
    return [
        WalkEntry(
            line.item.name,
            tuple(pictures.shown(one) for one in line.pictures),
            f"not here: {line.not_here}" if line.standing.state == "not here" else _WORDS.get(line.standing.state, ""),
        )
        for line in lines
    ]
