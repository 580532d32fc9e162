"""The seam for file formats: one module in `formats/` per format, found by being there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal, cast

import numpy as np
from numpy.typing import NDArray

from asfound.media.limits import Limits
from asfound.registry import load_folder

RGBImage = NDArray[np.uint8]
"""Shape (h, w, 3), red first."""

PREFIX_BYTES = 65536
"""How much of a file's beginning `accepts` may look at."""


@dataclass(frozen=True, slots=True)
class ImageHeader:
    """What a photo says before it is decoded.

    Attributes
    ----------
    width_px, height_px : int
        As stored; for formats whose library turns the picture itself (HEIC, TIFF), as displayed.
    orientation : int
        What is still to be applied to the decoded pixels, 1 to 8.
    fields : mapping of int to object
        Exif fields of IFD0 and the Exif IFD, by number.
    trouble : str
        What looks wrong although it can be opened; empty when nothing does.
    """

    width_px: int
    height_px: int
    orientation: int = 1
    fields: Mapping[int, object] = field(default_factory=dict)
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class ImageFormat:
    """A way to store photos.

    Attributes
    ----------
    name : str
        As shown to people.
    suffixes : tuple of str
        Lower case, with the dot.
    accepts : callable
        Takes the first `PREFIX_BYTES` of a file; says whether the content is of this format.
    read_details : callable
        Takes the whole file and the limits, gives its `ImageHeader` without decoding. Raises `Refused`.
    decode : callable
        Takes the whole file, limits and the longest side wanted (None for all pixels); gives the pixels as stored, at
        least that long where the picture is. Checks the header against the limits first. Raises `Refused`.
    """

    name: str
    suffixes: tuple[str, ...]
    accepts: Callable[[bytes], bool]
    read_details: Callable[[bytes, Limits], ImageHeader]
    decode: Callable[[bytes, Limits, int | None], RGBImage]
    kind: Literal["photo"] = "photo"


@dataclass(frozen=True, slots=True)
class ClipFormat:
    """A family of video files; `asfound.media.clips` reads them all."""

    name: str
    suffixes: tuple[str, ...]
    accepts: Callable[[bytes], bool]
    kind: Literal["clip"] = "clip"


AnyFormat = ImageFormat | ClipFormat


def all_formats() -> tuple[AnyFormat, ...]:
    """Every format of the folder `formats/`, in alphabetical order of their modules."""
    return tuple(cast(AnyFormat, found) for found in load_folder("asfound.media.formats", "FORMAT").values())


def all_suffixes() -> frozenset[str]:
    """Every suffix that some format claims."""
    return frozenset(suffix for each in all_formats() for suffix in each.suffixes)
