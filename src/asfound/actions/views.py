"""A picture's pixels, from the cache where they lie there, else from its original."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from asfound.actions.archive import Archive
from asfound.archive.cache import get_cached, put_cached
from asfound.archive.put import find_original
from asfound.errors import OriginalMissing, Refused
from asfound.media.limits import DEFAULT_LIMITS
from asfound.model.pictures import Clip, Picture
from asfound.store import pictures

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RgbImage: TypeAlias = "NDArray[np.uint8]"
GrayImage: TypeAlias = "NDArray[np.uint8]"

PREVIEW_PX = 1280


@dataclass(frozen=True, slots=True)
class PictureSource:
    """Where a picture's pixels come from; usable in any thread, without the database.

    Attributes
    ----------
    key : str
        A name for the picture's derivatives that depends on its content alone.
    path : Path
        The original: a photo's own, or the clip's.
    clip_seconds : float or None
        Offset into the clip.
    """

    key: str
    path: Path
    clip_seconds: float | None


def source_of(archive: Archive, picture: Picture) -> PictureSource:
    """Where a picture's pixels come from.

    Raises
    ------
    OriginalMissing
        If the original is not on the disk.
    """
    if picture.clip_id is None or picture.clip_seconds is None:
        if picture.digest is None:
            raise OriginalMissing(f"{picture.file}: it was never stored; add it again.")
        return PictureSource(picture.digest, _path(archive, picture.digest, picture.file), None)
    digest = pictures.get_clip(archive.store, picture.clip_id).digest
    key = f"{digest}-{round(picture.clip_seconds * 1000)}"
    return PictureSource(key, _path(archive, digest, picture.file), picture.clip_seconds)


def find_path(archive: Archive, picture: Picture) -> Path | None:
    """Where a picture's original lies; None when it is not on the disk, which `check` tells."""
    try:
        return source_of(archive, picture).path
    except OriginalMissing:
        return None


def clip_path(archive: Archive, clip: Clip) -> Path:
    """Where a clip's original lies; `OriginalMissing` if it does not."""
    return _path(archive, clip.digest, clip.file)


def load_rgb(source: PictureSource, longest_px: int | None = None) -> RgbImage:
    """A picture as displayed, shape (h, w, 3), uint8, its longest side at most `longest_px`."""
    from asfound.media.clips import frame_at
    from asfound.media.opening import open_picture
    from asfound.media.thumbnails import reduce_to

    if source.clip_seconds is None:
        return open_picture(source.path, limits=DEFAULT_LIMITS, longest=longest_px)
    frame = frame_at(source.path, source.clip_seconds)
    return frame if longest_px is None else reduce_to(frame, longest_px)


@contextmanager
def naming_refused(photo: Path | Picture) -> Iterator[None]:
    """What is refused of a photo is said with its name and the next move."""
    try:
        yield
    except Refused as refusal:
        name = photo.file if isinstance(photo, Picture) else photo
        raise type(refusal)(f"{name}: {refusal}; name a photo.") from refusal


def load_gray(source: PictureSource, longest_px: int) -> GrayImage:
    """A picture as displayed in gray, shape (h, w), uint8, its longest side at most `longest_px`."""
    from asfound.media.thumbnails import to_gray

    return to_gray(load_rgb(source, longest_px))


def load_preview(archive: Archive, source: PictureSource) -> bytes:
    """A JPEG of the picture as displayed, longest side at most 1280 px; made anew when the cache was deleted."""
    from asfound.media.thumbnails import encode_jpeg

    cached = get_cached(archive.layout, "preview", f"{source.key}.jpg")
    if cached is None:
        cached = encode_jpeg(load_rgb(source, PREVIEW_PX))
        put_cached(archive.layout, "preview", f"{source.key}.jpg", cached)
    return cached


def _path(archive: Archive, digest: str, file: str) -> Path:
    found = find_original(archive.layout, digest, pictures.suffix_of_original(archive.store, digest) or "")
    if found is None:
        raise OriginalMissing(
            f"{file}: its original {digest[:12]} is not in {archive.folder}; restore it from a backup."
        )
    return found
