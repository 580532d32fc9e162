"""Sets of like parts under one number, each in its position."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.actions.archive import Archive
from asfound.errors import NotFound
from asfound.model.purchases import SetMember
from asfound.model.tags import Tag
from asfound.store import purchases


def list_members(archive: Archive, tag: Tag) -> list[SetMember]:
    """Members of one set, in the order in which they were entered."""
    return [one for one in purchases.list_members(archive.store, archive.job.job_id) if one.tag_id == tag.tag_id]


def save_members(
    archive: Archive, tag: Tag, positions: Sequence[str], *, faced: str | None = None, note: str | None = None
) -> None:
    """Say which positions a set has, which way they faced, and what else to know of each; None leaves it as it is."""
    said = {name: word for name, word in (("faced", faced), ("note", note)) if word is not None}
    with archive.step(f"positions of {tag.number}"):
        for position in positions:
            purchases.save_member(archive.store, tag.tag_id, position, **said)


def drop_members(archive: Archive, tag: Tag, positions: Sequence[str]) -> None:
    """Take positions out of a set; `NotFound` when it has none of them."""
    with archive.step(f"positions of {tag.number} taken away"):
        if not any([purchases.remove_member(archive.store, tag.tag_id, one) for one in positions]):
            raise NotFound(f"{tag.number} has none of these positions; see: asfound set {tag.number}")
