"""What is fitted after what, by the person's word; a loop is named later, never refused."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.actions.archive import Archive
from asfound.errors import NotFound
from asfound.model.tags import Tag
from asfound.store import fitting


def fit_after(archive: Archive, tag: Tag, earlier: Sequence[Tag]) -> None:
    """Say that a thing is fitted after others."""
    with archive.step(f"{tag.number} is fitted after {', '.join(one.number for one in earlier)}"):
        for one in earlier:
            fitting.add_rule(archive.store, tag.tag_id, one.tag_id)


def fit_before(archive: Archive, tag: Tag, later: Sequence[Tag]) -> None:
    """Say that a thing is fitted before others."""
    with archive.step(f"{tag.number} is fitted before {', '.join(one.number for one in later)}"):
        for one in later:
            fitting.add_rule(archive.store, one.tag_id, tag.tag_id)


def drop_rule(archive: Archive, tag: Tag, other: Tag) -> None:
    """Take the rules between two things away; `NotFound` when there is none."""
    with archive.step(f"no rule between {tag.number} and {other.number}"):
        dropped = [
            fitting.remove_rule(archive.store, tag.tag_id, other.tag_id),
            fitting.remove_rule(archive.store, other.tag_id, tag.tag_id),
        ]
        if not any(dropped):
            raise NotFound(f"No rule says which of {tag.number} and {other.number} is fitted first; see: asfound fit")
