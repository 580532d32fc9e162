"""From what a person typed to the picture, clip or tag that is meant."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from asfound.actions.archive import Archive
from asfound.core.pins.numbering import parse_tag_words, spread_numbers
from asfound.errors import Ambiguous, NotFound
from asfound.model.pictures import Clip, Picture
from asfound.model.tags import EndLetter, Tag
from asfound.store import pictures, tags


@dataclass(frozen=True, slots=True)
class TagRef:
    """A tag and, if one was named, its end."""

    tag: Tag
    end: EndLetter | None

    def end_or_default(self) -> EndLetter:
        """The end named, else A."""
        return self.end or "A"

    def as_read(self, words: str) -> str:
        """How words that named an end were read, with the way to a thing of that very number."""
        number = self.tag.number if self.tag.order == 1 else f"{self.tag.number}.{self.tag.order}"
        return f"{words.strip()} is end {self.end} of {number}; for a thing numbered {words.strip()} use --another"


def is_id(words: str) -> bool:
    """Whether words are an id; more digits than SQLite holds are none."""
    return words.isdecimal() and len(words) <= 18


def get_picture(archive: Archive, words: str) -> Picture:
    """The picture with this id, original file name or original path.

    Capitals do not matter, nor does a photo's suffix, where that leaves no doubt. A name that more than one picture
    has must be said by id.

    Raises
    ------
    NotFound, Ambiguous
    """
    if is_id(words):
        picture = pictures.get_picture(archive.store, int(words))
        if picture.job_id != archive.job.job_id:
            raise NotFound(
                f"Picture {words} ({picture.file}) belongs to job {picture.job_id}; "
                f"name that job: asfound --job {picture.job_id}"
            )
        return picture
    found = pictures.find_pictures_by_file(archive.store, archive.job.job_id, words)
    if not found:
        found = pictures.find_pictures_by_file(archive.store, archive.job.job_id, Path(words).name)
    found = found or _find_loosely(archive, Path(words).name)
    if len(found) == 1:
        return found[0]
    if found:
        shown = ", ".join(f"{picture.picture_id} ({_told_apart(picture)})" for picture in found)
        raise Ambiguous(f'"{words}" is the name of {len(found)} pictures; say which by its id: {shown}.')
    clips = pictures.list_clips(archive.store, archive.job.job_id)
    clip = next((clip for clip in clips if clip.file.casefold() == Path(words).name.casefold()), None)
    if clip is not None:
        raise NotFound(
            f"{clip.file} is a clip; name a frame of it as asfound pictures lists them, or take one out: "
            f"asfound frame {shlex.quote(clip.file)} SECONDS"
        )
    if os.path.lexists(words):
        raise NotFound(f"{words} is not in this job yet; bring it in with: asfound add {shlex.quote(words)}")
    raise NotFound(f'There is no picture "{words}" in this job. List them with: asfound pictures')


def _find_loosely(archive: Archive, words: str) -> list[Picture]:
    """Pictures of that name but for capitals; else photos of that name but for capitals and suffix."""
    wanted = words.casefold()
    known = pictures.list_pictures(archive.store, archive.job.job_id)
    found = [picture for picture in known if picture.file.casefold() == wanted]
    photos = (picture for picture in known if picture.kind == "photo")
    return found or [picture for picture in photos if picture.file.rpartition(".")[0].casefold() == wanted != ""]


def _told_apart(picture: Picture) -> str:
    """What tells a picture from another of its name."""
    if picture.taken_local is None:
        return f"{picture.file}, time unknown"
    return f"{picture.file}, {picture.taken_local:%Y-%m-%d %H:%M}"


def find_picture(archive: Archive, words: str) -> Picture | None:
    """The picture that the words name, None when the job has none such."""
    try:
        return get_picture(archive, words)
    except NotFound:
        return None


def get_clip(archive: Archive, words: str) -> Clip:
    """The clip with this id or original file name."""
    if is_id(words):
        return pictures.get_clip(archive.store, int(words))
    found = [clip for clip in pictures.list_clips(archive.store, archive.job.job_id) if clip.file == Path(words).name]
    if len(found) == 1:
        return found[0]
    if found:
        ids = ", ".join(str(clip.clip_id) for clip in found)
        raise Ambiguous(f'"{words}" is the name of {len(found)} clips; say which by its id: {ids}.')
    raise NotFound(f'There is no clip "{words}" in this job. List them with: asfound pictures --clips')


def find_tags(archive: Archive, words: str) -> list[TagRef]:
    """Tags whose number the words are, perhaps with an end: "17", "17b", "12.2". Oldest first."""
    job_id = archive.job.job_id
    known = tags.known_numbers(archive.store, job_id)
    said = parse_tag_words(words, known)
    found = tags.find_tags_by_number(archive.store, job_id, said.number)
    return [TagRef(tag, said.end) for tag in found if said.order is None or said.order == tag.order]


def find_only_tag(archive: Archive, number: str) -> Tag | None:
    """The thing that a number names; None when no thing has it, or several have."""
    found = find_tags(archive, number) if number.strip() else []
    return found[0].tag if len(found) == 1 else None


def get_tags(archive: Archive, words: Iterable[str]) -> list[TagRef]:
    """The tags that words name, several together or a range: "17-19", "17,18". All are known before one is returned."""
    known = tags.known_numbers(archive.store, archive.job.job_id)
    return [get_tag(archive, word) for word in spread_numbers(words, known)]


def get_tag(archive: Archive, words: str) -> TagRef:
    """The one tag that the words name.

    Raises
    ------
    NotFound, Ambiguous
    """
    found = find_tags(archive, words)
    if len(found) == 1:
        return found[0]
    if not found:
        raise NotFound(f"There is no tag {words.strip()}. Add it with: asfound tag {words.strip()} --kind KIND")
    things = "; ".join(f"{ref.tag.number}.{ref.tag.order} {ref.tag.name or ref.tag.kind}" for ref in found)
    raise Ambiguous(f"Number {found[0].tag.number} is on {len(found)} things; say which: {things}.")
