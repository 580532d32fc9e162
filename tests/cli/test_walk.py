"""`asfound walk`: answers, refusals, its document, and its part of the book."""

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
    opened.run("add", str(tmp_path / "P0001.jpg"), "--later")
    return opened


def states(bench: Bench) -> dict[str, str]:
    return {one["item"]: one["state"] for one in bench.json("walk")}


def test_list_names_what_to_look_for_and_until_when(bench: Bench):
    told = bench.run("walk").stdout

    assert "□ timing marks       marks, pointers" in told
    assert "15 pictures of the walk round can still be taken until lift out" in told


def test_item_is_answered_by_a_picture_or_a_reason(bench: Bench):
    (front,) = bench.json("walk", "front", "P0001.jpg")
    assert front["state"] == "pictured"
    assert [one["file"] for one in front["pictures"]] == ["P0001.jpg"]
    assert "- fuse box           not here: none aboard" in bench.run("walk", "fuse", "--not-here", "none aboard").stdout
    assert bench.json("walk", "cabin floor", "--add")[0]["own"]
    assert {"front", "fuse box"}.isdisjoint(one["item"] for one in bench.json("walk", "--open"))
    bench.run("walk", "fuse", "--again")
    bench.run("walk", "cabin", "--drop")
    assert states(bench)["fuse box"] == "open"
    assert "cabin floor" not in states(bench)


def test_answered_item_is_found(bench: Bench):
    bench.run("walk", "plate", "P0001.jpg")
    assert "Walk round, plate: P0001.jpg" in bench.run("find", "plate").stdout
    assert {"walk": "plate"}.items() <= bench.json("find", "plate")[0].items()


def test_lift_out_turns_open_into_lost_everywhere(bench: Bench):
    bench.run("walk", "plate", "P0001.jpg")
    assert "It can still be photographed until lift out" in bench.run("gaps", "--all").stdout
    bench.run("out")

    assert states(bench)["levers"] == "lost"
    assert "! levers             not photographed before lift out" in bench.run("walk").stdout
    gap = next(one for one in bench.json("gaps") if one["thing"] == "levers")
    assert (gap["gap"], gap["tag"], gap["mendable"]) == ("walk round", None, False)
    assert "can still" not in gap["why"]


def test_what_cannot_be_meant_is_refused_and_nothing_is_written(bench: Bench):
    for words, error, why in (
        (("front",), Misused, "--not-here"),
        (("front", "P0001.jpg", "--not-here", "x"), Misused, "one thing"),
        (("front", "P9.jpg"), NotFound, "P9.jpg"),
        (("sail", "P0001.jpg"), NotFound, "--add"),
    ):
        with pytest.raises(error, match=why):
            bench.run("walk", *words)
    assert set(states(bench).values()) == {"open"}


def test_book_shows_answered_items_with_their_picture_and_names_the_rest(bench: Bench, tmp_path: Path):
    bench.run("walk", "plate", "P0001.jpg")
    bench.run("walk", "fuse", "--not-here", "none aboard")
    bench.run("book", str(tmp_path / "book.pdf"))

    pages = pdfium.PdfDocument(tmp_path / "book.pdf")
    page = next(page for page in pages if page.get_textpage().get_text_range().startswith("Walk round"))
    text = " ".join(page.get_textpage().get_text_range().split())
    assert "plate" in text
    assert "P0001.jpg" in text
    assert "fuse box not here: none aboard" in text
    assert "levers not photographed yet; it can still be, until lift out" in text
    assert any(one.type == 3 for one in page.get_objects())  # 3 is an image: FPDF_PAGEOBJ_IMAGE of pdfium's fpdf_edit.h
