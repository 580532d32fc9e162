"""Tags: a number on one thing with one end or two."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.actions.archive import Archive
from asfound.errors import Misused
from asfound.model.tags import KINDS, ONE_ENDED_KINDS, EndLetter, Tag, TagEnd
from asfound.store import tags


@dataclass(frozen=True, slots=True)
class TagWords:
    """What a person says about a tag; None leaves a field as it is."""

    kind: str | None = None
    name: str | None = None
    ends: int | None = None
    note: str | None = None
    flow: str | None = None
    size: str | None = None


@dataclass(frozen=True, slots=True)
class EndWords:
    """What a person says about one end; None leaves a field as it is."""

    place: str | None = None
    how_it_sat: str | None = None
    colour: str | None = None
    capped: bool | None = None
    tape_lost: bool | None = None


def add_tag(archive: Archive, number: str, words: TagWords) -> Tag:
    """Make a tag. A number in use already is accepted and reported as a gap, never refused."""
    number = number.strip()
    if not number:
        raise Misused("A tag needs a number as written on its tape, such as 17.")
    kind = check_kind(words.kind or "other")
    ends = words.ends or (1 if kind in ONE_ENDED_KINDS else 2)
    with archive.step(f"tag {number} added"):
        tag_id = tags.add_tag(
            archive.store, archive.job.job_id, number, archive.now(), kind=kind, name=words.name or "", ends=ends
        )
        _change(archive, tag_id, TagWords(note=words.note, flow=words.flow, size=words.size))
    return tags.get_tag(archive.store, tag_id)


def change_tag(archive: Archive, tag: Tag, words: TagWords) -> Tag:
    """Change what is said about a tag."""
    if words.kind is not None:
        check_kind(words.kind)
    with archive.step(f"tag {tag.number} changed"):
        _change(archive, tag.tag_id, words)
        if words.kind in ONE_ENDED_KINDS and words.ends is None:
            tags.change_tag(archive.store, tag.tag_id, ends=1)
    return tags.get_tag(archive.store, tag.tag_id)


def change_end(archive: Archive, tag: Tag, end: EndLetter, words: EndWords) -> None:
    """Change what is said about one end; saying something of end B of a one-ended thing makes it two-ended."""
    said = _said(words)
    if not said:
        return
    with archive.step(f"end {end} of {tag.number} changed"):
        if end == "B" and tag.ends == 1:
            tags.change_tag(archive.store, tag.tag_id, ends=2)
        tags.change_end(archive.store, tag.tag_id, end, **said)


def renumber_tag(archive: Archive, tag: Tag, number: str) -> Tag:
    """Give a tag another number, as when one number is on two things."""
    if not number.strip():
        raise Misused("A tag needs a number as written on its tape, such as 17.")
    with archive.step(f"tag {tag.number} is now {number.strip()}"):
        tags.change_tag(archive.store, tag.tag_id, number=number.strip())
    return tags.get_tag(archive.store, tag.tag_id)


def remove_tag(archive: Archive, tag: Tag) -> None:
    """Remove a tag with its pins and events; undo brings all of it back."""
    with archive.step(f"tag {tag.number} removed"):
        tags.remove_tag(archive.store, tag.tag_id)


def list_tags(archive: Archive) -> list[Tag]:
    """All tags in the order in which they were entered."""
    return tags.list_tags(archive.store, archive.job.job_id)


def list_ends(archive: Archive) -> dict[int, tuple[TagEnd, ...]]:
    """Tag to its ends, A before B."""
    return tags.list_ends(archive.store, archive.job.job_id)


def check_kind(kind: str) -> str:
    """The kind itself, or Misused naming the known ones."""
    if kind not in KINDS:
        raise Misused(f'"{kind}" is not a kind; say one of: {", ".join(KINDS)}.')
    return kind


def _change(archive: Archive, tag_id: int, words: TagWords) -> None:
    said = _said(words)
    if said:
        tags.change_tag(archive.store, tag_id, **said)


def _said(words: TagWords | EndWords) -> dict[str, object]:
    return {name: getattr(words, name) for name in words.__slots__ if getattr(words, name) is not None}
