"""Tags: a number on one thing with one end or two, and all that is said of it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from typing import ClassVar

from asfound.actions.archive import Archive
from asfound.core.log.tag_fields import OF_END, OF_TAG
from asfound.core.log.tag_readers import READERS, colour_columns
from asfound.errors import Misused
from asfound.model.field_rows import FieldRow
from asfound.model.tags import NO_CAP, ONE_ENDED_KINDS, EndLetter, Tag, TagEnd
from asfound.store import tags

Value = str | int | bool

LONGEST_NUMBER = 24
LONGEST_TEXT = 2000
_ORDERED = re.compile(r"(?P<stem>.+)\.(?P<order>[1-9][0-9]*)", re.DOTALL)


class _Said:
    """What a person says of some fields, by name; None leaves a field as it is, "" empties it."""

    rows: ClassVar[Mapping[str, FieldRow]]

    def __init__(self, **said: Value | None) -> None:
        if unknown := said.keys() - self.rows.keys():
            raise TypeError(f"no such field: {', '.join(sorted(unknown))}")
        self.said: dict[str, Value] = {name: value for name, value in said.items() if value is not None}

    def __bool__(self) -> bool:
        return bool(self.said)

    def read(self) -> dict[str, object]:
        """Field to value, each read as its row says.

        Raises
        ------
        Misused
            If one cannot be read so, or is too long.
        """
        found: dict[str, object] = {}
        for name, value in self.said.items():
            words = self.rows[name].words
            reader = READERS.get(words) if value or words == "kind" else None
            found[name] = reader(str(value)) if reader else value
            if isinstance(value, str) and len(value) > LONGEST_TEXT:
                label = name.replace("_", " ")
                raise Misused(f"The {label} has {len(value)} characters; keep it under {LONGEST_TEXT}.")
        return found


class TagWords(_Said):
    """What a person says of a tag: the fields of `core.log.tag_fields.OF_TAG`."""

    rows = OF_TAG


class EndWords(_Said):
    """What a person says of one end: the fields of `core.log.tag_fields.OF_END`.

    `colour` is as a person writes it ("RD/BK", "red with black stripe", "RD/BK?" for one seen in poor light); `clock`
    an hour ("2", "2:30"); `side` "engine", "stays behind" or the like.
    """

    rows = OF_END


def add_tag(archive: Archive, number: str, words: TagWords) -> Tag:
    """Make a tag. A number in use already is accepted and reported as a gap, never refused.

    Raises
    ------
    Misused
        If the number is empty, too long, has a control character, or is how a repeated number is told apart.
    """
    number = check_number(archive, number)
    said = words.read()
    kind = str(said.pop("kind", None) or "other")
    ends = int(str(said.pop("ends", None) or (1 if kind in ONE_ENDED_KINDS else 2)))
    name = str(said.pop("name", ""))
    with archive.step(f"tag {number} added"):
        tag_id = tags.add_tag(archive.store, archive.job.job_id, number, archive.now(), kind=kind, name=name, ends=ends)
        tags.change_tag(archive.store, tag_id, **said)
    return tags.get_tag(archive.store, tag_id)


def change_tag(archive: Archive, tag: Tag, words: TagWords) -> Tag:
    """Change what is said about a tag."""
    said = words.read()
    if said.get("kind") in ONE_ENDED_KINDS:
        said.setdefault("ends", 1)
    with archive.step(f"tag {tag.number} changed"):
        tags.change_tag(archive.store, tag.tag_id, **said)
    return tags.get_tag(archive.store, tag.tag_id)


def change_end(archive: Archive, tag: Tag, end: EndLetter, words: EndWords) -> None:
    """Change what is said about one end; saying something of end B of a one-ended thing makes it two-ended."""
    if not words:
        return
    said = words.read()
    if "colour" in said:
        said |= colour_columns(str(said.pop("colour")))
    if said.get("capped_with"):
        said["capped"] = None if said["capped_with"] == NO_CAP else True
    with archive.step(f"end {end} of {tag.number} changed"):
        if end == "B" and tag.ends == 1:
            tags.change_tag(archive.store, tag.tag_id, ends=2)
        tags.change_end(archive.store, tag.tag_id, end, **said)


def renumber_tag(archive: Archive, tag: Tag, number: str) -> Tag:
    """Give a tag another number, as when one number is on two things."""
    number = check_number(archive, number)
    with archive.step(f"tag {tag.number} is now {number}"):
        tags.change_tag(archive.store, tag.tag_id, number=number)
    return tags.get_tag(archive.store, tag.tag_id)


def also_number(archive: Archive, tag: Tag, number: str) -> None:
    """Let a thing go by another number too, such as 12x for the second thing numbered 12."""
    number = check_number(archive, number)
    with archive.step(f"tag {tag.number} also goes by {number}"):
        tags.add_alias(archive.store, tag.tag_id, number)


def remove_tag(archive: Archive, tag: Tag) -> None:
    """Remove a tag with its pins and events; undo brings all of it back."""
    with archive.step(f"tag {tag.number} removed"):
        tags.remove_tag(archive.store, tag.tag_id)


def note_belt(archive: Archive, tag: Tag, **words: str) -> None:
    """Write down how a belt ran: comes_off, path, arrow, turns, slack. A thing of no kind becomes a belt by it."""
    with archive.step(f"how belt {tag.number} ran"):
        tags.save_belt(archive.store, tag.tag_id, **words)
        if tag.kind == "other":
            tags.change_tag(archive.store, tag.tag_id, kind="belt")


def list_tags(archive: Archive) -> list[Tag]:
    """All tags in the order in which they were entered."""
    return tags.list_tags(archive.store, archive.job.job_id)


def list_ends(archive: Archive) -> dict[int, tuple[TagEnd, ...]]:
    """Tag to its ends, A before B."""
    return tags.list_ends(archive.store, archive.job.job_id)


def check_number(archive: Archive, number: str) -> str:
    """The number as it is kept, trimmed.

    Raises
    ------
    Misused
        If nothing could stand on a tape so, or if "12.2" already means the second thing numbered 12.
    """
    number = number.strip()
    if not number:
        raise Misused("A tag needs a number as written on its tape, such as 17.")
    if any(unicodedata.category(letter) in ("Cc", "Cf", "Zl", "Zp", "Cs") for letter in number):
        raise Misused("A number is one line of plain letters and digits, as written on the tape; type it again.")
    if len(number) > LONGEST_NUMBER:
        raise Misused(
            f"{number[:12]}… has {len(number)} characters; a tape holds {LONGEST_NUMBER}. Type a shorter one."
        )
    ordered = _ORDERED.fullmatch(number)
    same = tags.find_tags_by_number(archive.store, archive.job.job_id, ordered["stem"]) if ordered else []
    if ordered and (len(same) > 1 or any(tag.order == int(ordered["order"]) for tag in same)):
        several = f"several things are numbered {ordered['stem']} and {number} would name one of them"
        raise Misused(f"{number} cannot be a number: {several}. Write another on the tape, such as {ordered['stem']}x.")
    return number


def shadowed_end(archive: Archive, tag: Tag) -> str:
    """What to say of a number such as 7b where 7 has an end B; empty when there is nothing to say."""
    stem, letter = tag.number[:-1].rstrip(), tag.number[-1:].upper()
    if letter not in ("A", "B") or not tags.find_tags_by_number(archive.store, archive.job.job_id, stem):
        return ""
    return f'{tag.number} is now a thing of its own; end {letter} of {stem} is said as "{stem} end {letter.lower()}".'


def near_number(archive: Archive, tag: Tag) -> str:
    """The number of a known thing that differs only by one letter or stop after it, such as 17 beside 17c."""
    stem = tag.number[:-1].rstrip(". -/")
    is_near = stem != tag.number and stem[-1:].isdecimal() and not tag.number[-1:].isdecimal()
    known = tags.find_tags_by_number(archive.store, archive.job.job_id, stem) if is_near else []
    return stem if known else ""
