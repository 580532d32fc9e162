"""What kind of document a file is that is neither a photo nor a clip: its content first, its name's suffix second."""

from __future__ import annotations

import os

from asfound.media.formats._boxes import file_brands
from asfound.media.formats.isom import SOUND_BRANDS
from asfound.model.documents import DocumentKind

_STARTS: tuple[tuple[bytes, DocumentKind], ...] = (
    (b"%PDF-", "pdf"),
    (b"ID3", "audio"),
    (b"OggS", "audio"),
    (b"fLaC", "audio"),
    (b"#!AMR", "audio"),
    (b"caff", "audio"),
    (b"{\\rtf", "text"),
)
"""How files begin: PDF (ISO 32000-1, 7.5.2), MP3 with ID3v2, Ogg (RFC 3533), FLAC (RFC 9639), AMR (RFC 4867), the
Core Audio Format, and RTF. From memory but for the RFCs."""

_SUFFIXES: dict[str, DocumentKind] = {
    ".pdf": "pdf",
    **dict.fromkeys(
        (".mp3", ".m4a", ".aac", ".wav", ".ogg", ".opus", ".oga", ".amr", ".flac", ".caf", ".wma"), "audio"
    ),
    **dict.fromkeys((".txt", ".md", ".rtf", ".doc", ".docx", ".odt", ".pages"), "text"),
    **dict.fromkeys((".csv", ".xls", ".xlsx", ".ods"), "text"),
}


def document_kind(prefix: bytes, name: str) -> DocumentKind | None:
    """The kind of a file that begins with `prefix`; None for one that nobody would keep as a document unasked."""
    for start, kind in _STARTS:
        if prefix.startswith(start):
            return kind
    if (prefix[:4], prefix[8:12]) == (b"RIFF", b"WAVE") or any(one in SOUND_BRANDS for one in file_brands(prefix)[:1]):
        return "audio"
    return _SUFFIXES.get(os.path.splitext(name)[1].lower())
