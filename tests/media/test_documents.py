"""What a walk over a card says of files that are neither photos nor clips."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from asfound.media.documents import document_kind
from asfound.media.met import FoundDocument, PassedOver
from asfound.media.source import walk

M4A = b"\0\0\0\x1cftypM4A \0\0\0\0M4A mp42isom"


@pytest.mark.parametrize(
    ("prefix", "name", "kind"),
    [
        (b"%PDF-1.7", "x", "pdf"),
        (b"%PDF-1.7", "x.jpg", "pdf"),
        (b"ID3\x04", "x", "audio"),
        (b"RIFF\0\0\0\0WAVEfmt ", "x", "audio"),
        (b"RIFF\0\0\0\0AVI LIST", "x", None),
        (M4A, "memo", "audio"),
        (b"OggS", "memo", "audio"),
        (b"lower hose first", "notes.TXT", "text"),
        (b"lower hose first", "notes", None),
        (b"PK\x03\x04", "letter.docx", "text"),
        (b"\x7fELF", "tool", None),
    ],
)
def test_kind_is_told_by_content_first(prefix: bytes, name: str, kind: str | None):
    assert document_kind(prefix, name) == kind


def test_walk_names_documents_in_folders_and_zips_and_opens_them(tmp_path: Path):
    (tmp_path / "manual.pdf").write_bytes(b"%PDF-1.7 x")
    (tmp_path / "memo.m4a").write_bytes(M4A)
    (tmp_path / "empty.txt").write_bytes(b"")
    (tmp_path / ".hidden.pdf").write_bytes(b"%PDF-1.7 x")
    (tmp_path / "tool").write_bytes(b"\x7fELF")
    with zipfile.ZipFile(tmp_path / "sent.zip", "w") as packed:
        packed.writestr("notes/notes.txt", "lower hose first")
    with zipfile.ZipFile(tmp_path / "letter.docx", "w") as packed:
        packed.writestr("word/document.xml", "x")

    met = list(walk([tmp_path]))

    found = {one.name: one for one in met if isinstance(one, FoundDocument)}
    assert {name: one.kind for name, one in found.items()} == {
        "manual.pdf": "pdf", "memo.m4a": "audio", "notes.txt": "text", "letter.docx": "text",
    }  # fmt: skip
    with found["notes.txt"].open() as file:
        assert file.read() == b"lower hose first"
    assert sum(isinstance(one, PassedOver) for one in met) == 3
