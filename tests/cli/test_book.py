"""The book, made by the command a person types and read back by another library (PDFium)."""

from __future__ import annotations

import errno
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image

from asfound.actions import book
from asfound.actions.archive import Archive, open_archive
from asfound.actions.book import write_book
from asfound.actions.fit import plan_fit
from asfound.archive.atomic import Draft
from asfound.core.codes.caution_table import CAUTIONS, DEFER
from asfound.core.codes.cautions import cautions_for
from asfound.core.sheets.kind import sheet_kinds
from asfound.core.sheets.marks import Words
from asfound.errors import Misused, NotFound
from asfound.output.paper.fonts import FontRuler
from tests.media.samples import scene
from tests.sallow_archive import Bench, bench_with_job, bench_with_sallow

NOW = datetime(2026, 4, 26, 18, 0, tzinfo=UTC)
GPS_IFD = 0x8825


@pytest.fixture(scope="module")
def sallow(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return bench_with_sallow(tmp_path_factory.mktemp("sallow") / "archive")


@pytest.fixture(scope="module")
def printed(sallow: Bench, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The demo scenario on both papers."""
    folder = tmp_path_factory.mktemp("books")
    found = {paper: folder / f"{paper}.pdf" for paper in ("A4", "Letter")}
    with open_archive(sallow.folder, now=lambda: NOW) as archive:
        for paper, path in found.items():
            write_book(archive, path, paper=paper)
    return found


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return bench_with_job(tmp_path / "archive")


@pytest.fixture
def photographed(bench: Bench, tmp_path: Path) -> Bench:
    """A hose with both ends pinned on a real photo that carries a place, a camera and a serial number."""
    card = tmp_path / "card"
    card.mkdir()
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Pocket", "P1"
    exif.get_ifd(0x8769)[0x9003] = "2025:10:12 11:00:00"
    exif.get_ifd(0x8769)[0xA431] = "SERIAL12345"
    exif.get_ifd(GPS_IFD).update({1: "N", 2: (52.0, 22.0, 0.0), 3: "E", 4: (4.0, 54.0, 0.0)})
    Image.fromarray(scene(1600, 1200)).save(card / "P1_0001.jpg", exif=exif)
    bench.run("add", str(card))
    bench.run("tag", "17", "--kind", "hose", "--name", "bypass hose", "--place-a", "pump", "--place-b", "tank")
    bench.run("pin", "17a", "P1_0001.jpg", "0.3", "0.4")
    bench.run("pin", "17b", "P1_0001.jpg", "0.95", "0.97", "0.05", "0.05")
    return bench


def texts(path: Path) -> list[str]:
    """The words of every page, white space as one blank."""
    pages = pdfium.PdfDocument(path)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pages]


@pytest.mark.parametrize(("paper", "size_pt"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_pages_have_the_size_of_the_paper(printed: dict[str, Path], paper: str, size_pt: tuple[float, float]):
    """ISO 216: 210 x 297 mm; ANSI Y14.1 A: 8.5 x 11 in; in points of 1/72 in."""
    for page in pdfium.PdfDocument(printed[paper]):
        assert page.get_size() == pytest.approx(size_pt, abs=0.01)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_stands_outside_the_clear_edge_of_5_mm(printed: dict[str, Path], paper: str):
    clear = 5 / 25.4 * 72
    for page in pdfium.PdfDocument(printed[paper]):
        width, height = page.get_size()
        words = page.get_textpage()
        for at in range(words.count_chars()):
            left, bottom, right, top = words.get_charbox(at)
            assert left >= clear - 0.5
            assert bottom >= clear - 0.5
            assert right <= width - clear + 0.5
            assert top <= height - clear + 0.5


def test_every_page_names_itself_the_job_the_day_and_what_front_and_left_mean(printed: dict[str, Path]):
    pages = texts(printed["A4"])

    for number, words in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in words
        assert "Sallow · printed 2026-04-26" in words
        assert "Front: not written down. Left: not written down. Turning:" in words


def test_which_way_the_engine_turns_stands_on_the_cover_and_at_every_foot(bench: Bench, tmp_path: Path):
    bench.run("job", "set", "--front", "belt end", "--turning", "clockwise seen from the front")
    bench.run("book", str(tmp_path / "said.pdf"))
    pages = texts(tmp_path / "said.pdf")
    assert "turning means clockwise seen from the front. Seen from the flywheel end that is anticlockwise" in pages[0]
    assert all("Turning: clockwise seen from the front." in words for words in pages)
    assert "seen from which end:" not in pages[0]


@pytest.mark.parametrize(
    ("words", "line", "foot"),
    [
        ("", "turning, which way, and seen from which end:", "Turning: as written on page 1."),
        ("clockwise", "turning, seen from which end:", "Turning: clockwise (see page 1)."),
    ],
)
def test_what_nobody_said_of_the_turning_has_a_line_to_write_on(
    bench: Bench, tmp_path: Path, words: str, line: str, foot: str
):
    bench.run("job", "set", "--turning", words)
    bench.run("book", str(tmp_path / "open.pdf"))
    pages = texts(tmp_path / "open.pdf")
    assert line in pages[0]
    assert all(foot in page for page in pages)


def test_every_thing_is_there_with_its_name_both_places_and_its_cautions(sallow: Bench, printed: dict[str, Path]):
    with open_archive(sallow.folder) as archive:
        content, _pictures = book.read_content(archive)
    pages = texts(printed["A4"])
    whole = " ".join(pages)

    assert len(content.tags) == 46
    for tag in content.tags:
        record = sallow.json("tag", tag.label)
        mine = next(words for words in pages if f"{tag.label} {tag.heading} " in words and "by hand tight" in words)
        assert mine
        for end in record["ends"]:
            assert end["place"] in whole
        for caution in cautions_for([record["hazard"]], record["kind"]):
            assert f"{caution.signal}: {caution.sentence}." in whole
    for caution in CAUTIONS:
        assert f"{caution.signal}: {caution.sentence}." in whole
    assert whole.count(DEFER) > len({caution.phase for caution in CAUTIONS})
    assert "safe" not in re.findall(r"[a-z]+", whole.casefold())


def test_cautions_of_a_thing_stand_on_its_own_page(sallow: Bench, printed: dict[str, Path]):
    pages = texts(printed["A4"])
    fuel = next(words for words in pages if "20 fuel return, leak-off to tank step" in words)

    assert "WARNING: Release fuel pressure as the manual says and keep flames away." in fuel
    assert f"For each of these {DEFER}" in fuel


def test_the_way_back_is_in_the_order_of_fit_with_the_holds_between(bench: Bench, tmp_path: Path):
    for number in ("3", "1", "2", "10", "9"):
        bench.run("tag", number, "--kind", "hose", "--name", f"hose called {number}")
        bench.run("off", number, "--at", f"2025-10-{10 + int(number):02}")
    bench.run("tag", "1", "--fit-after", "3")
    bench.run("fit", "move", "9", "before", "10")

    order = [line.split()[1:] for line in bench.run("fit", "--all").stdout.splitlines() if line.strip()[:1].isdigit()]
    made = bench.json("book", str(tmp_path / "book.pdf"))

    numbers = [words[0] for words in order if words[0] != "hold"]
    assert [tag["tag"] for tag in made["tags"]] == numbers
    glance = next(words for words in texts(tmp_path / "book.pdf") if "The order at a glance Pin it" in words)
    places = [glance.index(f"hose called {number} ") for number in numbers]
    assert places == sorted(places)
    assert "HOLD before first start" in glance
    assert glance.index("HOLD before first start") > places[-1]


def test_book_has_the_lift_own_steps_values_with_a_line_to_write_on_and_what_is_not_filled(
    bench: Bench, tmp_path: Path
):
    bench.run("tag", "41", "--kind", "fastener group", "--name", "shaft coupling")
    bench.run("out", "--at", "2025-11-01 15:00")
    bench.run("off", "41", "--at", "2025-10-18 10:00")
    bench.run("fit", "step", "bleed the fuel")
    bench.run("value", "41", "tightening", "45 Nm", "--page", "6-12")
    bench.run("drained", "engine oil", "7.5 l", "--into", "C2")
    bench.run("book", str(tmp_path / "book.pdf"))

    told = " ".join(" ".join(texts(tmp_path / "book.pdf")).split())

    assert "tightening: 45 Nm, manual page 6-12; not reached yet reached, by, day" in told
    assert "NOT FILLED" in told
    assert "engine oil was drained (7.5 l into C2) and not filled" in told
    way_back = told.index("The way back", told.index("HOLD before lift in"))
    order = [told.index(words, way_back) for words in ("lift in done", "shaft coupling", "bleed the fuel")]
    assert order == sorted(order)


def test_what_waits_stands_in_the_book_in_the_order_of_fit(sallow: Bench):
    with open_archive(sallow.folder) as archive:
        content, _pictures = book.read_content(archive)
        waiting = [archive_step for one in plan_fit(archive).waiting if isinstance(archive_step := one.step, int)]

    assert waiting
    assert [tag.tag_id for tag in content.tags if tag.tag_id in waiting] == waiting


def test_things_in_a_loop_are_printed_and_say_so(sallow: Bench, printed: dict[str, Path]):
    """Tags 26 and 27 of the scenario wait for each other."""
    pages = texts(printed["A4"])

    for heading in ("26 raw water hose, vented loop to exhaust elbow", "27 wet exhaust hose"):
        mine = next(words for words in pages if f"{heading} step" in words)
        assert "Loop: 26 (raw water hose, vented loop to exhaust elbow) and 27 (wet exhaust hose) wait" in mine


def test_index_leads_to_the_page_of_each_number_and_name(sallow: Bench, tmp_path: Path):
    made = sallow.json("book", str(tmp_path / "book.pdf"))
    pages = texts(tmp_path / "book.pdf")
    index = " ".join(pages[next(one["page"] for one in made["sections"] if one["title"] == "Index") - 1 :])

    assert len(made["tags"]) == 46
    for tag in made["tags"]:
        assert f"{tag['tag']} {tag['name']}" in pages[tag["page"] - 1]
        assert f" {tag['tag']} page {tag['page']} " in index


def test_pictures_that_are_lost_are_named_and_the_book_is_made_all_the_same(sallow: Bench, tmp_path: Path):
    """The scenario's photos are rows without files here."""
    done = sallow.run("book", str(tmp_path / "book.pdf"))

    assert done.return_value == 1
    assert re.search(r"K1_\d+\.jpg is not in the book: ", done.stderr)
    assert any("Cannot be read here: K1_" in words for words in texts(tmp_path / "book.pdf"))


def test_bags_snags_fluids_gaps_and_the_log_are_told(sallow: Bench, printed: dict[str, Path]):
    whole = " ".join(texts(printed["A4"]))

    assert "B9" in whole
    assert "Bag B9 is 1 short (8 out, 7 back)" in whole
    for snag in sallow.json("snags"):
        assert snag["what"] in whole
    for gap in sallow.json("gaps"):
        assert gap["gap"] in whole
    assert "No photo of end A from before it came off." in whole
    assert "2025-10-26" in whole


def test_equal_records_give_equal_files(sallow: Bench, printed: dict[str, Path], tmp_path: Path):
    with open_archive(sallow.folder, now=lambda: NOW.replace(hour=19)) as archive:
        write_book(archive, tmp_path / "again.pdf")

    assert (tmp_path / "again.pdf").read_bytes() == printed["A4"].read_bytes()


def images(path: Path) -> Iterator[bytes]:
    for page in pdfium.PdfDocument(path):
        for image in page.get_objects(filter=[pdfium_c.FPDF_PAGEOBJ_IMAGE]):
            yield bytes(image.get_data())


def test_pictures_carry_no_place_and_nothing_of_the_camera(photographed: Bench, tmp_path: Path):
    path = tmp_path / "book.pdf"
    photographed.run("book", str(path))

    found = list(images(path))
    assert len(found) >= 2
    for jpeg in found:
        opened = Image.open(io.BytesIO(jpeg))
        assert opened.format == "JPEG"
        assert not opened.getexif()
        assert not {"exif", "icc_profile", "comment"} & set(opened.info)
        assert max(opened.size) <= 1400
    assert b"SERIAL12345" not in path.read_bytes()


def test_the_crop_of_an_end_shows_the_pin_where_it_is(photographed: Bench, tmp_path: Path):
    """The middle of the printed ring against the same point of the original, by colour."""
    photographed.run("book", str(tmp_path / "book.pdf"))
    with open_archive(photographed.folder) as archive:
        content, _pictures = book.read_content(archive)
    first = content.tags[0].ends[0]
    assert first.pin is not None
    assert (first.pin.label, first.pin.x_frac, first.pin.y_frac) == ("17A", 0.3, 0.4)
    crop = Image.open(io.BytesIO(next(images(tmp_path / "book.pdf")))).convert("RGB")

    x_mid, y_mid = crop.width // 2, crop.height // 2
    original = scene(1600, 1200)
    wanted = original[480 - 6 : 480 + 6, 480 - 6 : 480 + 6].reshape(-1, 3).mean(axis=0)
    box = (x_mid - 5, y_mid - 5, x_mid + 5, y_mid + 5)
    seen = crop.crop(box).resize((1, 1), Image.Resampling.BOX).getpixel((0, 0))
    assert isinstance(seen, tuple)
    assert seen == pytest.approx(wanted, abs=14)


def test_a_word_on_both_ends_bag_and_snag_stands_with_the_thing(photographed: Bench, tmp_path: Path):
    photographed.run("tag", "17", "--sat-a", "clamp screw up", "--colour-a", "RD/BK", "--clock-a", "2:30")
    photographed.run("off", "17", "--bag", "B4")
    photographed.run("bag", "B4", "--out", "3", "--place", "shelf 2")
    photographed.run("snag", "add", "clamp rusted", "--tag", "17", "--buy", "clamp 20-32 mm")
    photographed.run("book", str(tmp_path / "book.pdf"))

    words = next(one for one in texts(tmp_path / "book.pdf") if "17 bypass hose step 1" in one)

    for said in (
        "clamp screw up; 2:30 o'clock",
        "RD/BK (red with black stripe)",
        "B4: 3 out; shelf 2",
        "1, open: clamp rusted",
    ):
        assert said in words
    assert "clamp 20-32 mm, for 17 (bypass hose) (snag 1)" in " ".join(texts(tmp_path / "book.pdf"))


def test_an_end_that_cannot_be_photographed_is_not_called_lacking(bench: Bench, tmp_path: Path):
    bench.run("tag", "36", "--kind", "hose", "--name", "drain hose", "--place-a", "sump", "--place-b", "open end")
    bench.run("book", str(tmp_path / "book.pdf"))

    whole = " ".join(texts(tmp_path / "book.pdf"))
    assert "No photo of end A" in whole
    assert "No photo of end B" not in whole


def test_guesses_are_drawn_as_such(photographed: Bench, tmp_path: Path):
    """A proposal of the machine has a question mark, and plain words under its picture."""
    with open_archive(photographed.folder) as archive:
        content, _pictures = book.read_content(archive)
    end = content.tags[0].ends[0]
    assert end.pin is not None
    guess = replace(end, pin=replace(end.pin, is_said=False), is_dated=False)
    odd = replace(content, steps=(), not_off=(replace(content.tags[0], ends=(guess,)),))
    pages = sheet_kinds()["book"].lay_out(odd, "A4", FontRuler()).pages

    whole = " ".join(mark.words for page in pages for mark in page.marks if isinstance(mark, Words))
    assert "17A?" in whole
    assert "This pin is a guess of the machine that nobody confirmed." in whole
    assert "Its time is not known" in whole


def test_letters_of_anywhere_are_printed_and_never_break_it(bench: Bench, tmp_path: Path):
    bench.run("job", "set", "--name", "Łódź Ωμέγα Жук 🔧 日本")
    bench.run("tag", "1", "--name", "wąż chłodzący 🔧", "--place-a", "насос", "--place-b", "ψυγείο")
    bench.run("tag", "🔧", "--another", "--name", "عربي")
    bench.run("book", str(tmp_path / "book.pdf"))

    whole = " ".join(texts(tmp_path / "book.pdf"))
    for words in ("Łódź Ωμέγα Жук", "wąż chłodzący", "насос", "ψυγείο"):
        assert words in whole


def test_a_job_without_anything_gives_a_short_book_that_says_what_to_do(bench: Bench, tmp_path: Path):
    done = bench.run("book", str(tmp_path / "book.pdf"))

    whole = " ".join(texts(tmp_path / "book.pdf"))
    assert done.return_value == 0
    assert "Nothing is tagged yet" in done.stdout
    assert "Tape a number on both ends" in whole
    assert "Never run an engine in a closed space" in whole
    assert len(pdfium.PdfDocument(tmp_path / "book.pdf")) < 20


def test_chosen_tags_bring_only_what_belongs_to_them(sallow: Bench, tmp_path: Path):
    made = sallow.json("book", str(tmp_path / "book.pdf"), "--tags", "18-20")
    whole = " ".join(texts(tmp_path / "book.pdf"))

    assert {tag["tag"] for tag in made["tags"]} == {"18", "19", "20"}
    assert "Only tags 18-20 and what belongs to them." in whole
    assert "leak-off banjo" in whole
    assert "throttle and gear forks" not in whole
    with pytest.raises(NotFound, match="No tag is numbered 900"):
        sallow.run("book", str(tmp_path / "other.pdf"), "--tags", "900")
    assert not (tmp_path / "other.pdf").exists()


def test_a_file_that_is_there_is_only_written_over_when_that_is_said(bench: Bench, tmp_path: Path):
    path = tmp_path / "book.pdf"
    path.write_text("a letter to the yard")

    with pytest.raises(Misused, match="is there already") as refused:
        bench.run("book", str(path))
    assert "\n" not in str(refused.value)
    assert path.read_text() == "a letter to the yard"

    bench.run("book", str(path), "--replace")
    assert path.read_bytes().startswith(b"%PDF")


def test_folders_are_not_made_and_not_written_over(bench: Bench, tmp_path: Path):
    with pytest.raises(Misused, match="there is no folder"):
        bench.run("book", str(tmp_path / "none" / "book.pdf"))
    with pytest.raises(Misused, match="is a folder"):
        bench.run("book", str(tmp_path))


@pytest.mark.parametrize("replace", [False, True])
def test_a_full_disk_leaves_what_was_there_and_no_half_book(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, replace: bool
):
    folder = tmp_path / "out"
    folder.mkdir()
    if replace:
        (folder / "book.pdf").write_text("the book of before")

    def full(self: Draft, target: Path, **_how: bool) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Draft, "publish", full)
    with pytest.raises(Misused, match="the disk is full"):
        bench.run("book", str(folder / "book.pdf"), *(["--replace"] if replace else []))

    assert [one.name for one in folder.iterdir()] == (["book.pdf"] if replace else [])
    if replace:
        assert (folder / "book.pdf").read_text() == "the book of before"


def test_what_the_document_says_is_fixed(bench: Bench, tmp_path: Path):
    bench.run("tag", "17", "--name", "bypass hose")

    made = bench.json("book", str(tmp_path / "book.pdf"), "--page", "letter")

    assert set(made) == {"file", "paper", "pages", "bytes", "sections", "tags", "missing"}
    assert made["paper"] == "Letter"
    assert made["bytes"] == (tmp_path / "book.pdf").stat().st_size
    assert [one["title"] for one in made["sections"]][:3] == [
        "How to read this book",
        "Cautions",
        "The order at a glance",
    ]
    assert made["tags"] == [{"tag": "17", "name": "bypass hose", "page": made["tags"][0]["page"]}]


def test_a_book_changes_nothing_in_the_archive(sallow: Bench, tmp_path: Path):
    def steps(archive: Archive) -> int:
        return archive.store.count_steps()

    with open_archive(sallow.folder) as archive:
        before = steps(archive)
        write_book(archive, tmp_path / "book.pdf")
        assert steps(archive) == before
