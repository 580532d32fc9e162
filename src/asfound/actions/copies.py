"""Named copies of pictures: the as-found picture of an end, or any picture, in a folder of the person's own."""

from __future__ import annotations

import errno
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from asfound.actions import resolve, views
from asfound.actions.archive import Archive
from asfound.actions.found_end import SeenEnd, seen_end
from asfound.archive.atomic import save_bytes
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Picture
from asfound.model.tags import PinProposal
from asfound.store import tags

_UNFIT = re.compile(r"[^\w.+-]+")
_LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class Wanted:
    """A picture to be shown or copied.

    Attributes
    ----------
    label : str
        What it is of, as it is typed: "17B"; for a picture by its own name, that without its ending.
    seen : SeenEnd or None
        Where the end is on it; None for a picture by its own name.
    """

    label: str
    picture: Picture
    seen: SeenEnd | None = None

    @property
    def guess(self) -> float | None:
        """How sure it is that the end is seen there, where nobody confirmed it; None where somebody did."""
        pin = self.seen.pin if self.seen is not None else None
        return pin.confidence if isinstance(pin, PinProposal) else None

    @property
    def name(self) -> str:
        """The name of its copy: "17B_2025-10-11.jpg"."""
        day = f"{self.picture.taken_at:%Y-%m-%d}" if self.picture.taken_at else "undated"
        return f"{_UNFIT.sub('_', self.label)[:_LONGEST_NAME]}_{day}.jpg"


def wanted(archive: Archive, words: str) -> list[Wanted]:
    """What "17b", "17" (its ends, A first) or a picture's name means.

    Raises
    ------
    NotFound
        If there is no such tag or picture, or no picture shows the end as it was.
    Ambiguous
        If several things or pictures answer to it.
    """
    if not resolve.find_tags(archive, words):
        picture = resolve.get_picture(archive, words)
        return [Wanted(picture.file.rsplit(".", 1)[0], picture)]
    ref = resolve.get_tag(archive, words)
    mine = [end for end in tags.find_ends(archive.store, ref.tag.tag_id) if ref.end in (None, end.end)]
    seen = [(end, seen_end(archive, ref.tag, end).as_found) for end in mine]
    several = ref.tag.ends > 1
    found = [
        Wanted(f"{ref.tag.number}{end.end if several else ''}", one.picture, one)
        for end, one in seen
        if one is not None
    ]
    if not found:
        raise NotFound(
            f"No picture shows {words.strip()} as it was before it came off. If one does: "
            f"asfound pin {words.strip()} PICTURE X Y"
        )
    return found


def copy_pictures(archive: Archive, some: Sequence[Wanted], folder: Path, *, with_pin: bool = False) -> list[Path]:
    """Put named copies into a folder, at full size and upright, with nothing told of place or camera.

    A copy that is there already is not made twice; another file of its name is never written over.

    Raises
    ------
    Misused
        If there is no such folder, or it cannot be written to.
    """
    from asfound.output.copies import LabelledRing, draw_pins, encode_copy

    if not folder.is_dir():
        raise Misused(f"There is no folder {folder}; make it first, or name another.")
    made = []
    for one in some:
        pixels = views.load_rgb(views.source_of(archive, one.picture))
        if with_pin and one.seen is not None:
            pin = one.seen.pin
            pixels = draw_pins(pixels, [LabelledRing(one.label, pin.x_frac, pin.y_frac, one.guess is not None)])
        made.append(_put(folder, one.name, encode_copy(pixels, one.picture.taken_at)))
    return made


def _put(folder: Path, name: str, data: bytes) -> Path:
    stem, ending = name.rsplit(".", 1)
    count = 1
    path = folder / name
    try:
        while path.exists():
            if path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data:
                return path
            count += 1
            path = folder / f"{stem}_{count}.{ending}"
        save_bytes(path, data)
    except OSError as error:
        why = "the disk is full" if error.errno in (errno.ENOSPC, errno.EDQUOT) else error.strerror or str(error)
        raise Misused(f"{path} cannot be written ({why}); name another folder.") from error
    return path
