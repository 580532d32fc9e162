"""Pages as a PDF: fonts embedded, pictures without any details of their making, equal pages giving equal bytes."""

from __future__ import annotations

import io
from collections.abc import Callable, Collection

from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from asfound.core.sheets.marks import Ink, Line, Mark, PictureMark, Ring, Shape, Sheets, Words
from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.output.paper.fonts import BOX_EM, FontRuler, name_of, piece_mm, pieces, shown_as

LoadPicture = Callable[[PictureMark], bytes | None]
"""From a mark to a JPEG of what it shows; None when that cannot be read."""

MISSING_PT = 8.0


def write_pdf(sheets: Sheets, load: LoadPicture) -> bytes:
    """All pages as one PDF, with a list of sections beside them."""
    # Pictures are bytes in a PDF; written as letters they would be a quarter larger.
    rl_config.useA85 = 0
    file = io.BytesIO()
    size = (sheets.width_mm * POINTS_PER_MM, sheets.height_mm * POINTS_PER_MM)
    # Invariant: no clock and no chance in the file.
    canvas = Canvas(file, pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(shown_as(sheets.title))
    canvas.setCreator("asfound")
    canvas.setAuthor("")  # a name that nobody gave would be one, "anonymous"
    canvas.setSubject("")
    pen = _Pen(canvas, size[1], load, sheets.anchor_pages)
    for page in sheets.pages:
        for anchor in page.anchors:
            canvas.bookmarkPage(anchor)
        if page.heading:
            canvas.bookmarkPage(page.heading)
            canvas.addOutlineEntry(page.heading, page.heading)
        for mark in page.marks:
            pen.draw(mark)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


class _Pen:
    """Draws marks; millimetres from the top left become points from the bottom left."""

    def __init__(self, canvas: Canvas, height_pt: float, load: LoadPicture, anchors: Collection[str]) -> None:
        self._canvas = canvas
        self._height_pt = height_pt
        self._load = load
        self._anchors = anchors

    def draw(self, mark: Mark) -> None:
        if isinstance(mark, Words):
            self._words(mark)
        elif isinstance(mark, Line):
            self._stroke(mark.ink, mark.width_mm, mark.dash_mm)
            self._canvas.line(*self._at(mark.x_mm, mark.y_mm), *self._at(mark.to_x_mm, mark.to_y_mm))
        elif isinstance(mark, Ring):
            self._stroke(mark.ink, mark.width_mm, mark.dash_mm)
            self._canvas.circle(*self._at(mark.x_mm, mark.y_mm), mark.radius_mm * POINTS_PER_MM, stroke=1, fill=0)
        elif isinstance(mark, Shape):
            self._shape(mark)
        else:
            self._picture(mark)

    def _words(self, mark: Words) -> None:
        canvas, x = self._canvas, mark.x_mm
        for piece, boxes in pieces(mark.words, bold=mark.bold):
            if piece:
                canvas.setFillColorRGB(*mark.ink)
                canvas.setFont(name_of(bold=mark.bold), mark.size_pt)
                canvas.drawString(*self._at(x, mark.y_mm), piece)
                x += piece_mm(piece, mark.size_pt, bold=mark.bold)
            for _ in range(boxes):
                self._lacking(x, mark)
                x += BOX_EM * mark.size_pt / POINTS_PER_MM
        if mark.jump in self._anchors:
            high = mark.size_pt / POINTS_PER_MM
            low, top = self._at(mark.x_mm, mark.y_mm + high * 0.25), self._at(x, mark.y_mm - high * 0.8)
            canvas.linkRect("", mark.jump, (*low, *top), relative=0, thickness=0)

    def _lacking(self, x_mm: float, mark: Words) -> None:
        """The box for a character that the font lacks, as high as a capital."""
        em = mark.size_pt / POINTS_PER_MM
        high = FontRuler().capital_frac * em
        self._stroke(mark.ink, 0.06 * em, 0.0)
        left, bottom = self._at(x_mm + 0.06 * em, mark.y_mm)
        self._canvas.rect(left, bottom, (BOX_EM - 0.12) * mark.size_pt, high * POINTS_PER_MM, stroke=1, fill=0)

    def _shape(self, mark: Shape) -> None:
        path = self._canvas.beginPath()
        first, *rest = (self._at(x, y) for x, y in mark.points_mm)
        path.moveTo(*first)
        for point in rest:
            path.lineTo(*point)
        path.close()
        if mark.ink is not None:
            self._stroke(mark.ink, mark.width_mm, mark.dash_mm)
        if mark.fill is not None:
            self._canvas.setFillColorRGB(*mark.fill)
        self._canvas.drawPath(path, stroke=int(mark.ink is not None), fill=int(mark.fill is not None))

    def _picture(self, mark: PictureMark) -> None:
        jpeg = self._load(mark)
        left, bottom = self._at(mark.x_mm, mark.y_mm + mark.h_mm)
        size = mark.w_mm * POINTS_PER_MM, mark.h_mm * POINTS_PER_MM
        if jpeg is not None:
            self._canvas.drawImage(ImageReader(io.BytesIO(jpeg)), left, bottom, *size)
            return
        self._stroke((0.35, 0.35, 0.35), 0.2, 1.0)
        self._canvas.rect(left, bottom, *size, stroke=1, fill=0)
        self._words(Words(mark.x_mm + 2.0, mark.y_mm + mark.h_mm / 2, self._cut(mark), MISSING_PT))

    def _cut(self, mark: PictureMark) -> str:
        """What stands instead, no longer than its frame is wide."""
        words, ruler = mark.instead, FontRuler()
        while words and ruler.width_mm(words, MISSING_PT) > mark.w_mm - 3.0:
            words = words[:-1]
        return words

    def _stroke(self, ink: Ink, width_mm: float, dash_mm: float) -> None:
        self._canvas.setStrokeColorRGB(*ink)
        self._canvas.setLineWidth(width_mm * POINTS_PER_MM)
        self._canvas.setDash([dash_mm * POINTS_PER_MM] * 2 if dash_mm else [])

    def _at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return x_mm * POINTS_PER_MM, self._height_pt - y_mm * POINTS_PER_MM
