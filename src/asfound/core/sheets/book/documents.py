"""Documents: a line each, and a page for each that is a picture. None of them shows how the machine was found."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.sheets.blocks import Group, gap, led, text, together
from asfound.core.sheets.book.content import BookContent
from asfound.core.sheets.book.parts import Desk
from asfound.core.sheets.book.pictures import picture_block
from asfound.core.sheets.crops import WHOLE
from asfound.core.sheets.marks import GREY

DOCUMENTS = "Documents"
PAGE_HIGH_MM = 205.0


def documents(desk: Desk, content: BookContent) -> Iterator[Group]:
    """The list, then the pictures, one on a page."""
    words = "Manual pages, receipts, notes. They tell what should be or what was bought, not how the machine was found."
    yield from desk.section(DOCUMENTS, words, DOCUMENTS)
    for entry in content.documents:
        yield together(led(desk.setting, entry.label, f"{entry.called}; of {entry.of}", desk.width_mm, lead_mm=12.0))
    if not content.documents:
        yield together(desk.text("No document is kept.", ink=GREY))
    for entry in content.documents:
        if entry.picture is not None:
            named = f"{entry.label}  {entry.called}"
            under = text(desk.setting, named, desk.width_mm, size_pt=desk.setting.small_pt)[:3]
            shown = picture_block(desk.setting, entry.picture, WHOLE, (desk.width_mm, PAGE_HIGH_MM), ())
            yield Group((shown, gap(1.0), *under), new_page=True)
