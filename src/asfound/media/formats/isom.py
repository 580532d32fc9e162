"""MP4, MOV, M4V and 3GP: the clips of phones and cameras, one family (ISO/IEC 14496-12 and QuickTime)."""

from __future__ import annotations

from asfound.media.format import ClipFormat
from asfound.media.formats._boxes import file_brands

PICTURE_BRANDS = frozenset({b"avif", b"avis", b"crx ", b"jxl ", b"jp2 ", b"heic", b"heix", b"mif1", b"msf1", b"mif2"})
SOUND_BRANDS = frozenset({b"M4A ", b"M4B ", b"M4P "})
OLD_STARTS = frozenset({b"moov", b"mdat", b"wide", b"skip", b"free", b"pnot"})
"""How QuickTime files begin that are older than the file-type box."""


def accepts(prefix: bytes) -> bool:
    """A file-type box of a clip, or one of the boxes that older files begin with."""
    brands = file_brands(prefix)
    if brands:
        return brands[0] not in PICTURE_BRANDS and brands[0] not in SOUND_BRANDS
    return len(prefix) >= 16 and prefix[4:8] in OLD_STARTS


FORMAT = ClipFormat("clip", (".mp4", ".mov", ".m4v", ".3gp", ".3g2", ".qt"), accepts)
