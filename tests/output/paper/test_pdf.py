"""Pages as PDF, read back by another library (PDFium)."""

from __future__ import annotations

import io

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image

from asfound.core.sheets.crops import WHOLE
from asfound.core.sheets.marks import Page, PictureMark, Sheets, Words, rectangle
from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.output.paper.fonts import FontRuler
from asfound.output.paper.pdf import write_pdf

LATIN_GREEK_CYRILLIC = "Łódź żółć ÅØß Ωμέγα Жук Україна ½ ° × →"


def one_page(*marks: Words | PictureMark, width_mm: float = 210, height_mm: float = 297) -> Sheets:
    return Sheets("Sallow", width_mm, height_mm, (Page(marks, ("here",), "First"),), {"here": 1})


def no_picture(mark: PictureMark) -> bytes | None:
    return None


def words_of(pdf: bytes) -> str:
    return pdfium.PdfDocument(pdf)[0].get_textpage().get_text_range()


def test_words_stand_where_they_were_put_and_are_as_wide_as_measured() -> None:
    mark = Words(20, 50, "lift pump", 24, bold=True)

    page = pdfium.PdfDocument(write_pdf(one_page(mark), no_picture))[0]

    textpage = page.get_textpage()
    boxes = [textpage.get_charbox(at, loose=True) for at in range(len(mark.words))]
    left, right = boxes[0][0], boxes[-1][2]
    assert left == pytest.approx(20 * POINTS_PER_MM, abs=0.5)
    assert (right - left) / POINTS_PER_MM == pytest.approx(FontRuler().width_mm(mark.words, 24, bold=True), abs=0.3)


def test_capitals_are_as_high_as_the_ruler_says() -> None:
    """Drawn and measured in pixels: the share of a capital is what sizes of type rest on."""
    page = pdfium.PdfDocument(write_pdf(one_page(Words(20, 80, "H", 100)), no_picture))[0]

    dark = np.asarray(page.render(scale=4, grayscale=True).to_pil()) < 128
    rows = np.flatnonzero(dark.any(axis=1))
    assert (rows[-1] - rows[0] + 1) / 4 == pytest.approx(100 * FontRuler().capital_frac, abs=0.5)


def test_letters_beyond_latin_1_are_read_back() -> None:
    assert LATIN_GREEK_CYRILLIC in words_of(write_pdf(one_page(Words(20, 50, LATIN_GREEK_CYRILLIC, 9)), no_picture))


@pytest.mark.parametrize("lacking", ["🔧", "日", "👨‍🔧", "☎️", "\U0010fffd", "\ud800"])
def test_a_character_without_a_glyph_is_a_box_of_its_own_width(lacking: str) -> None:
    alone = FontRuler().width_mm("ab", 10)

    read = words_of(write_pdf(one_page(Words(20, 50, f"a{lacking}b", 10)), no_picture))

    assert "".join(read.split()) == "ab"
    boxes = (FontRuler().width_mm(f"a{lacking}b", 10) - alone) / (0.6 * 10 / POINTS_PER_MM)
    assert round(boxes) == pytest.approx(boxes, abs=0.02)
    assert round(boxes) <= 2


def test_accents_typed_apart_are_joined_and_controls_are_blanks() -> None:
    read = words_of(write_pdf(one_page(Words(20, 50, "Lo\u0301dz\tA\x00B", 10)), no_picture))

    assert "Lódz AB" in read.replace("  ", " ")


def test_pictures_go_in_as_they_are() -> None:
    file = io.BytesIO()
    Image.fromarray(np.random.default_rng(1).integers(0, 255, (60, 80, 3), dtype=np.uint8)).save(file, "JPEG")
    mark = PictureMark(20, 30, 40, 30, 1, WHOLE, "lost.jpg")

    page = pdfium.PdfDocument(write_pdf(one_page(mark), lambda one: file.getvalue()))[0]

    image = next(iter(page.get_objects(filter=[pdfium_c.FPDF_PAGEOBJ_IMAGE])))
    assert bytes(image.get_data()) == file.getvalue()
    left, bottom, right, top = (side / POINTS_PER_MM for side in image.get_bounds())
    assert (left, 297 - top, right - left, top - bottom) == pytest.approx((20, 30, 40, 30), abs=0.01)


def test_a_picture_that_cannot_be_read_leaves_a_frame_with_words_in_it() -> None:
    mark = PictureMark(20, 30, 60, 30, 1, WHOLE, "P1_0001.jpg: it cannot be read " * 5)

    page = pdfium.PdfDocument(write_pdf(one_page(mark), no_picture))[0]

    assert page.get_textpage().get_text_range().startswith("P1_0001.jpg")
    assert all(page.get_textpage().get_charbox(at)[2] <= 80 * POINTS_PER_MM for at in range(20))


def test_a_jump_to_nowhere_is_left_out_and_one_to_a_page_leads_there() -> None:
    sheets = one_page(Words(20, 50, "a", 10, jump="here"), Words(20, 60, "b", 10, jump="gone"))

    pdf = write_pdf(sheets, no_picture)

    assert pdf.count(b"/Subtype /Link") == 1
    toc = list(pdfium.PdfDocument(pdf).get_toc())
    assert [(one.get_title(), one.get_dest().get_index()) for one in toc] == [("First", 0)]


def test_equal_pages_give_equal_bytes() -> None:
    sheets = one_page(Words(20, 50, LATIN_GREEK_CYRILLIC, 9), rectangle(10, 10, 5, 5))  # type: ignore[arg-type]

    assert write_pdf(sheets, no_picture) == write_pdf(sheets, no_picture)
