"""Documents by command: kept, listed, shown, dropped, and their part of the book."""

from __future__ import annotations

from pathlib import Path

import pypdfium2 as pdfium
import pytest

from asfound.errors import Misused, NotFound
from tests.drawn_places import photo_of
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    photo_of(1).save(tmp_path / "P0001.jpg")
    (tmp_path / "manual.pdf").write_bytes(b"%PDF-1.7 a page")
    opened.run("add", str(tmp_path / "P0001.jpg"), "--later")
    for number in ("17", "18"):
        opened.run("tag", number, "--kind", "hose")
    return opened


def test_document_is_added_changed_shown_and_dropped(bench: Bench, tmp_path: Path):
    told = bench.run(
        "document", "add", str(tmp_path / "manual.pdf"), "--tags", "17,18", "--what", "manual p. 112"
    ).stdout
    assert told == "kept:   1  manual p. 112 (manual.pdf), pdf, of 17, 18\n"
    (listed,) = bench.json("documents")
    assert (listed["document"], listed["what"], listed["kind"], listed["tags"]) == (
        1, "manual p. 112", "pdf", ["17", "18"],
    )  # fmt: skip
    assert Path(listed["path"]).read_bytes() == b"%PDF-1.7 a page"
    assert listed["path"] in bench.run("document", "show", "1").stdout
    assert bench.json("tag", "17")["documents"] == [{"document": 1, "file": "manual.pdf", "what": "manual p. 112"}]
    assert bench.json("find", "17")[0]["documents"][0]["document"] == 1
    assert "Document 1: manual p. 112" in bench.run("find", "manual").stdout
    bench.run("document", "change", "1", "--tags", "18", "--untie")
    assert bench.json("documents", "18") == []
    bench.run("document", "drop", "manual.pdf")
    assert "No document is kept here" in bench.run("documents").stdout
    bench.run("undo")
    assert len(bench.json("documents", "17")) == 1


def test_photo_is_called_a_document_and_a_photo_again(bench: Bench):
    bench.run("pin", "17a", "P0001.jpg", "0.5", "0.5")
    assert bench.json("find", "17a")[0]["as_found"] is not None
    bench.run("document", "add", "P0001.jpg", "--tags", "17")
    assert bench.json("find", "17a")[0]["as_found"] is None
    assert bench.json("pins", "17a") == []
    with pytest.raises(Misused, match="is a document"):
        bench.run("pin", "17b", "P0001.jpg", "0.5", "0.5")
    assert "a photo again" in bench.run("document", "drop", "P0001.jpg").stdout
    assert bench.json("find", "17a")[0]["as_found"]["file"] == "P0001.jpg"


def test_added_folder_names_documents_and_keeps_them_when_asked(bench: Bench, tmp_path: Path):
    card = tmp_path / "card"
    card.mkdir()
    (card / "memo.mp3").write_bytes(b"ID3 spoken")
    (card / "notes.txt").write_text("lower hose first")

    told = bench.run("add", str(card)).stdout
    assert "can be kept as documents: memo.mp3, notes.txt" in told
    assert f"asfound add --documents {card}" in told
    assert bench.json("documents") == []
    assert bench.json("add", str(card))["documents"] == [
        {"file": "memo.mp3", "kind": "audio"},
        {"file": "notes.txt", "kind": "text"},
    ]
    assert "2 documents kept" in bench.run("add", "--documents", str(card)).stdout
    assert "2 documents kept here already" in bench.run("add", "--documents", str(card)).stdout
    assert [one["file"] for one in bench.json("documents")] == ["memo.mp3", "notes.txt"]


def test_book_lists_documents_and_prints_those_that_are_pictures(bench: Bench, tmp_path: Path):
    bench.run("document", "add", str(tmp_path / "manual.pdf"), "--tags", "17", "--what", "manual p. 112")
    bench.run("document", "add", "P0001.jpg", "--what", "manual p. 3")
    bench.run("book", str(tmp_path / "book.pdf"))

    texts = [
        " ".join(page.get_textpage().get_text_range().split()) for page in pdfium.PdfDocument(tmp_path / "book.pdf")
    ]
    at = next(at for at, text in enumerate(texts) if text.startswith("Documents "))
    assert "1 manual p. 112 (manual.pdf); of 17" in texts[at]
    assert "2 manual p. 3 (P0001.jpg); of the job" in texts[at]
    assert "2 manual p. 3 (P0001.jpg)" in texts[at + 1]
    assert any(one.type == 3 for one in pdfium.PdfDocument(tmp_path / "book.pdf")[at + 1].get_objects())  # an image


def test_what_cannot_be_meant_is_refused(bench: Bench, tmp_path: Path):
    for words, error, why in (
        (("add", str(tmp_path / "gone.pdf")), NotFound, "gone.pdf"),
        (("add", str(tmp_path / "manual.pdf"), "--tags", "99"), NotFound, "99"),
        (("change", "1"), NotFound, "documents"),
    ):
        with pytest.raises(error, match=why):
            bench.run("document", *words)
    assert bench.json("documents") == []
    bench.run("document", "add", str(tmp_path / "manual.pdf"))
    with pytest.raises(Misused, match="--what"):
        bench.run("document", "change", "1")
