"""How much a file may ask for. Checked on its header, before anything is decoded, and passed in, never global."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.errors import Refused, TooLarge

MIB = 1024 * 1024
TOO_LARGE = "too large to show"
"""Begins the trouble of a file that is whole, for all that is known, and is kept without a picture to look at."""


def trouble_of(refusal: Refused) -> str:
    """A refusal as the trouble that is kept with a file: damaged, or only too large to be decoded here."""
    return f"{TOO_LARGE}: {refusal}" if isinstance(refusal, TooLarge) else str(refusal)


@dataclass(frozen=True, slots=True)
class Limits:
    """The most that one file may be, hold or cost.

    Attributes
    ----------
    photo_bytes : int
        Size of a photo's file; it is read into memory.
    pixels_reduced : int
        Pixels of a picture that is decoded at reduced size (JPEG): phones make 200 million.
    pixels_whole : int
        Pixels of a picture that can only be decoded whole; costs about 7 bytes each.
    header_bytes : int
        Exif and the other details of one file.
    frames : int
        Pictures taken out of one clip.
    clip_pixels : int
        Pixels of one frame of a clip (8K is 35 million).
    zip_members, zip_bytes, zip_ratio : int
        Files in one zip, what they may unpack to together, and how many times the packed size one may grow.
    """

    photo_bytes: int = 400 * MIB
    pixels_reduced: int = 260_000_000
    pixels_whole: int = 110_000_000
    header_bytes: int = 4 * MIB
    frames: int = 60
    clip_pixels: int = 40_000_000
    zip_members: int = 100_000
    zip_bytes: int = 1024 * 1024 * MIB
    zip_ratio: int = 200

    def check_bytes(self, size: int) -> None:
        """Raise `TooLarge` if a photo's file has more bytes than allowed."""
        if size > self.photo_bytes:
            raise TooLarge(
                f"the file has {size // MIB} MiB, more than the {self.photo_bytes // MIB} allowed for a photo"
            )

    def check_pixels(self, width_px: int, height_px: int, *, most: int) -> None:
        """Raise `TooLarge` if a header announces more than `most` pixels."""
        if width_px * height_px > most:
            says = f"its header says {width_px} x {height_px} pixels"
            raise TooLarge(f"{says}, more than the {most // 1_000_000} million decoded here")


DEFAULT_LIMITS = Limits()
