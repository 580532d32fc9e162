"""`asfound labels`, as a person types it."""

from __future__ import annotations

from pathlib import Path

import click
import pypdfium2 as pdfium
import pytest

from asfound.errors import Misused
from tests.sallow_archive import Bench, bench_with_sallow


@pytest.fixture(name="bench")
def _bench(tmp_path: Path) -> Bench:
    return bench_with_sallow(tmp_path / "archive")


def words_of(path: Path) -> str:
    return " ".join(page.get_textpage().get_text_range() for page in pdfium.PdfDocument(path))


def test_flags_for_a_job_before_anything_is_tagged(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "archive")
    bench.run("job", "new", "Teal", "--zone", "Europe/Amsterdam")
    out = tmp_path / "flags.pdf"

    said = bench.run("labels", str(out), "--spare", "20", "--shape", "flag", "--cable", "10")

    assert "40 labels on" in said.stdout
    assert words_of(out).split()[:4] == ["1A", "1A", "1B", "1B"]


def test_the_document_names_every_label_and_what_has_no_marker(bench: Bench, tmp_path: Path) -> None:
    document = bench.json("labels", str(tmp_path / "a.pdf"), "--tags", "17,12x")

    assert document["labels"] == [
        {"tag": "17", "end": "A", "marker": True},
        {"tag": "17", "end": "B", "marker": True},
        {"tag": "12x", "end": "A", "marker": False},
        {"tag": "12x", "end": "B", "marker": False},
    ]
    assert (document["pages"], document["paper"], document["without_marker"]) == (1, "A4", ["12x"])


def test_bags_and_belts_have_labels_of_their_own(bench: Bench, tmp_path: Path) -> None:
    bench.run("labels", str(tmp_path / "bags.pdf"), "--bags")
    bench.run("labels", str(tmp_path / "belts.pdf"), "--belts", "--page", "letter")

    assert "B9" in words_of(tmp_path / "bags.pdf")
    assert "raw water pump belt" in words_of(tmp_path / "belts.pdf")


@pytest.mark.parametrize(("words", "why"), [
    (("--cable", "0"), "no size of a label"),
    (("--tape", "2000"), "no size of a label"),
    (("--skip", "-1"), "0 or more"),
    (("--bags", "--belts"), "one at a time"),
    (("--sheet", "9x9"), "no common sheet"),
])  # fmt: skip
def test_what_cannot_be_printed_is_refused_and_writes_nothing(
    bench: Bench, tmp_path: Path, words: tuple[str, ...], why: str
) -> None:
    with pytest.raises(Misused, match=why):
        bench.run("labels", str(tmp_path / "a.pdf"), *words)

    assert not (tmp_path / "a.pdf").exists()


def test_sizes_are_written_with_an_x_or_a_comma(bench: Bench, tmp_path: Path) -> None:
    done = bench.run("labels", str(tmp_path / "a.pdf"), "--sheet", "2x5", "--label", "90x50", "--nudge=0.4,-0.6")
    assert "labels on" in done.stdout

    with pytest.raises(click.BadParameter, match="not two sizes"):
        bench.run("labels", str(tmp_path / "b.pdf"), "--sheet", "2x5", "--label", "ninety")


def test_a_file_that_is_there_is_not_written_over(bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"mine")

    with pytest.raises(Misused, match="there already"):
        bench.run("labels", str(tmp_path / "a.pdf"))

    assert (tmp_path / "a.pdf").read_bytes() == b"mine"
