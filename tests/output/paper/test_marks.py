"""Every kind of mark on a page, read back by PDFium: where it is, in which ink, and how thick."""

from __future__ import annotations

import ctypes
import io
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image

from asfound.core.sheets.crops import WHOLE
from asfound.core.sheets.marks import Line, Mark, Page, PictureMark, Ring, Shape, Sheets, Words, rectangle
from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.output.paper.pdf import write_pdf

RED, BLUE = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)
SCALE = 6


def pdf_of(*pages: Page, title: str = "Sallow", anchors: dict[str, int] | None = None) -> bytes:
    return write_pdf(Sheets(title, 100, 80, pages, anchors or {}), lambda _: None)


def page_of(*marks: Mark) -> Any:
    return pdfium.PdfDocument(pdf_of(Page(marks)))[0]


def pixels_of(*marks: Mark) -> np.ndarray:
    """The page as RGB, `SCALE` pixels to a point, top left first."""
    return np.asarray(page_of(*marks).render(scale=SCALE).to_pil().convert("RGB")).astype(int)


def box_mm(pixels: np.ndarray, ink: tuple[float, float, float]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of what has an ink."""
    there = (np.abs(pixels - np.array(ink) * 255) < 60).all(axis=2)
    rows, columns = np.flatnonzero(there.any(axis=1)), np.flatnonzero(there.any(axis=0))
    edges = (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1)
    return tuple(edge / SCALE / POINTS_PER_MM for edge in edges)  # type: ignore[return-value]


def at(pixels: np.ndarray, x_mm: float, y_mm: float) -> tuple[int, ...]:
    return tuple(pixels[int(y_mm * POINTS_PER_MM * SCALE), int(x_mm * POINTS_PER_MM * SCALE)].tolist())


def test_page_is_as_large_as_it_was_asked_for():
    page = page_of()

    assert (page.get_width() / POINTS_PER_MM, page.get_height() / POINTS_PER_MM) == pytest.approx((100, 80))


@pytest.mark.parametrize("width_mm", [0.2, 1.0, 3.0])
def test_line_has_its_ends_its_ink_and_its_thickness(width_mm: float):
    pixels = pixels_of(Line(10, 20, 60, 20, width_mm, RED))

    assert box_mm(pixels, RED) == pytest.approx((10, 20 - width_mm / 2, 60, 20 + width_mm / 2), abs=0.1)


def test_slanting_line_goes_down_to_the_right():
    pixels = pixels_of(Line(10, 20, 60, 70, 1.0, RED))

    assert at(pixels, 35, 45) == (255, 0, 0)
    assert at(pixels, 35, 35) == at(pixels, 45, 30) == (255, 255, 255)


def test_broken_line_is_broken_and_the_next_one_whole_again():
    pixels = pixels_of(Line(10, 20, 60, 20, 1.0, RED, dash_mm=2.0), Line(10, 40, 60, 40, 1.0, RED))

    row = (pixels[int(20 * POINTS_PER_MM * SCALE)] == (255, 0, 0)).all(axis=1)
    starts = np.flatnonzero(np.diff(row.astype(int)) == 1)
    assert np.diff(starts).mean() / SCALE / POINTS_PER_MM == pytest.approx(4.0, abs=0.1)
    assert len(starts) == 13
    whole = (pixels[int(40 * POINTS_PER_MM * SCALE)] == (255, 0, 0)).all(axis=1)
    assert np.count_nonzero(np.diff(whole.astype(int)) == 1) == 1


def test_ring_goes_round_its_middle_and_is_empty():
    pixels = pixels_of(Ring(50, 40, 20, 1.0, BLUE))

    assert box_mm(pixels, BLUE) == pytest.approx((29.5, 19.5, 70.5, 60.5), abs=0.15)
    assert at(pixels, 50, 40) == (255, 255, 255)
    for x, y in ((30, 40), (70, 40), (50, 20), (50, 60)):
        assert at(pixels, x, y) == (0, 0, 255)


@pytest.mark.parametrize(
    ("fill", "ink", "inside", "edge"),
    [
        (RED, None, (255, 0, 0), (255, 0, 0)),
        (None, BLUE, (255, 255, 255), (0, 0, 255)),
        (RED, BLUE, (255, 0, 0), (0, 0, 255)),
        (None, None, (255, 255, 255), (255, 255, 255)),
    ],
)
def test_shape_is_filled_and_outlined_as_it_says(fill: Any, ink: Any, inside: Any, edge: Any):
    pixels = pixels_of(rectangle(20, 10, 30, 40, fill=fill, ink=ink, width_mm=2.0))

    assert at(pixels, 35, 30) == inside
    assert at(pixels, 20.5, 30) == edge
    assert at(pixels, 15, 30) == (255, 255, 255)


def test_shape_goes_through_its_points_and_is_closed():
    pixels = pixels_of(Shape(((20, 10), (60, 10), (20, 60)), fill=RED, ink=None))

    assert at(pixels, 25, 20) == (255, 0, 0)
    assert at(pixels, 55, 50) == (255, 255, 255)
    outline = pixels_of(Shape(((20, 10), (60, 10), (20, 60)), ink=BLUE, width_mm=1.0))
    assert at(outline, 20, 35) == (0, 0, 255)


def test_later_marks_lie_over_earlier_ones():
    over = pixels_of(rectangle(20, 20, 20, 20, fill=RED, ink=None), rectangle(30, 30, 20, 20, fill=BLUE, ink=None))

    assert at(over, 35, 35) == (0, 0, 255)
    assert at(over, 25, 25) == (255, 0, 0)


def test_words_stand_on_their_line_in_their_ink():
    left, top, _, bottom = box_mm(pixels_of(Words(20, 40, "HHH", 40, bold=True, ink=RED)), RED)

    assert left == pytest.approx(20, abs=1.5)
    assert bottom == pytest.approx(40, abs=0.2)
    assert top < 40 - 8


def test_boxes_for_lacking_letters_stand_on_the_same_line_behind_the_words():
    left, top, right, bottom = box_mm(pixels_of(Words(20, 40, "日日", 40, ink=RED)), RED)

    em = 40 / POINTS_PER_MM
    assert bottom == pytest.approx(40 + 0.03 * em, abs=0.2)
    assert right - left == pytest.approx((2 * 0.6 - 0.12 + 0.06) * em, abs=0.3)
    assert bottom - top == pytest.approx(0.689 * em + 0.06 * em, abs=0.6)


def test_picture_fills_its_frame_and_is_asked_for_once():
    file, asked = io.BytesIO(), []
    Image.new("RGB", (40, 20), (10, 200, 30)).save(file, "JPEG", quality=95)
    mark = PictureMark(20, 10, 40, 20, 7, WHOLE, "lost")

    def load(one: PictureMark) -> bytes:
        asked.append(one)
        return file.getvalue()

    pdf = write_pdf(Sheets("x", 100, 80, (Page((mark,)),)), load)

    pixels = np.asarray(pdfium.PdfDocument(pdf)[0].render(scale=SCALE).to_pil().convert("RGB")).astype(int)
    assert box_mm(pixels, (10 / 255, 200 / 255, 30 / 255)) == pytest.approx((20, 10, 60, 30), abs=0.2)
    assert asked == [mark]


@pytest.mark.parametrize("width_mm", [2.0, 3.5, 20.0])
def test_words_for_a_lost_picture_stay_in_its_frame(width_mm: float):
    page = page_of(PictureMark(20, 10, width_mm, 20, 7, WHOLE, "P1_0001.jpg: it cannot be read"))

    text = page.get_textpage()
    boxes = [text.get_charbox(number) for number in range(text.count_chars())]
    assert all(box[2] <= (20 + width_mm) * POINTS_PER_MM for box in boxes)
    assert (text.count_chars() > 0) is (width_mm > 4)


def links_of(page: Any) -> list[tuple[tuple[float, ...], int]]:
    """Each link's rectangle in millimetres from the top left, and the page it leads to."""
    height, found = page.get_height(), []
    place, link = ctypes.c_int(0), pdfium_c.FPDF_LINK()
    while pdfium_c.FPDFLink_Enumerate(page, place, link):
        rect = pdfium_c.FS_RECTF()
        pdfium_c.FPDFLink_GetAnnotRect(link, rect)
        target = pdfium_c.FPDFLink_GetDest(page.pdf, link)
        corners = (rect.left, height - rect.top, rect.right, height - rect.bottom)
        found.append(
            (tuple(edge / POINTS_PER_MM for edge in corners), pdfium_c.FPDFDest_GetDestPageIndex(page.pdf, target))
        )
    return found


def test_click_on_words_leads_to_the_page_of_their_anchor():
    pages = (
        Page((Words(20, 40, "17A", 20, jump="tag 17"), Words(20, 60, "18", 20), Words(60, 60, "x", 9, jump="none"))),
        Page((Words(20, 40, "card", 20),), anchors=("tag 3", "tag 17")),
    )
    document = pdfium.PdfDocument(pdf_of(*pages, anchors={"tag 17": 2, "tag 3": 2}))

    ((left, top, right, bottom), target), *others = links_of(document[0])

    assert others == []
    assert target == 1
    assert left == pytest.approx(20, abs=0.1)
    assert top < 40 < bottom
    assert right > 25


def test_sections_are_listed_beside_the_pages_in_their_order():
    pages = (Page((), heading="Cover"), Page(()), Page((), heading="Bags: łódź"))

    toc = list(pdfium.PdfDocument(pdf_of(*pages)).get_toc())

    assert [(one.get_title(), one.get_dest().get_index()) for one in toc] == [("Cover", 0), ("Bags: łódź", 2)]


def test_file_says_its_title_and_nothing_of_when_or_by_whom():
    document = pdfium.PdfDocument(pdf_of(Page(()), title="Sal\nlow \u200d1"))

    found = document.get_metadata_dict(skip_empty=True)
    assert (found["Title"], found["Creator"]) == ("Sal low 1", "asfound")
    assert found.get("Author", "") in ("", "anonymous")
    assert found["CreationDate"] == found["ModDate"]
    assert found["CreationDate"].startswith("D:2000")


def test_no_pages_are_still_a_file():
    assert pdf_of().startswith(b"%PDF-")
