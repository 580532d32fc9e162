"""What a lost or damaged original costs: the pictures it shows, and the tag ends pinned on them."""

from __future__ import annotations

from collections.abc import Collection

from asfound.store.database import Store


def pictures_of_original(store: Store, digest: str) -> list[tuple[int, str]]:
    """(picture id, file) of a photo, or of the frames out of a clip, in every job that has it; in order of id."""
    rows = store.rows(
        "SELECT picture_id, file FROM picture WHERE digest = ? "
        "OR clip_id IN (SELECT clip_id FROM clip WHERE digest = ?) ORDER BY picture_id",
        *(digest, digest),
    )
    return [(row[0], row[1]) for row in rows]


def name_of_original(store: Store, digest: str) -> str:
    """The name under which an original came first, or that of the document; empty when no row knows it."""
    came = store.value("SELECT name FROM arrival WHERE digest = ? ORDER BY arrival_id LIMIT 1", digest)
    return str(came or store.value("SELECT file FROM document WHERE digest = ? LIMIT 1", digest) or "")


def ends_pinned_on(store: Store, picture_ids: Collection[int]) -> list[tuple[str, str]]:
    """(tag, tag end) with a pin on some of the pictures, as typed: ("17", "17b"), ("12.2", "12.2a"), ("9", "9")."""
    found: dict[tuple[str, str], None] = {}
    for picture_id in picture_ids:
        rows = store.rows(
            'SELECT DISTINCT number, nth, ends, "end" FROM pin JOIN tag USING (tag_id) WHERE picture_id = ? '
            'ORDER BY number, nth, "end"',
            picture_id,
        )
        for number, nth, ends, end in rows:
            tag = number if nth == 1 else f"{number}.{nth}"
            found[tag, tag if ends == 1 else f"{tag}{end.lower()}"] = None
    return list(found)
