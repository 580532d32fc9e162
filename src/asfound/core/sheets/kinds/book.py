"""The book for the bench: the record in the order of the way back, enough with the computer dead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.core.sheets.blocks import Group
from asfound.core.sheets.book import cover, documents, lists, spots, walk, way_back
from asfound.core.sheets.book.content import BookContent
from asfound.core.sheets.book.parts import Desk
from asfound.core.sheets.flow import FOOT_LINES, PUNCH_MM, SIDE_MM, Frame, column_mm, flow
from asfound.core.sheets.kind import SheetKind
from asfound.core.sheets.marks import Ruler, Sheets
from asfound.core.sheets.measures import PAPERS_MM
from asfound.core.sheets.setting import Setting

CONTENTS = (
    (cover.CAUTION_SECTION, cover.CAUTION_SECTION),
    (way_back.ORDER, "order"),
    (way_back.WAY_BACK, way_back.WAY_BACK),
    (way_back.HOLDS, way_back.HOLDS),
    (lists.STORES, lists.STORES),
    (lists.GAPS, lists.GAPS),
    (documents.DOCUMENTS, documents.DOCUMENTS),
    (walk.WALK, walk.WALK),
    (spots.SPOTS, spots.SPOTS),
    (lists.LOG, lists.LOG),
    (lists.INDEX, lists.INDEX),
)
"""Sections in their order, with their anchors."""


def lay_out(content: BookContent, paper: str, ruler: Ruler) -> Sheets:
    """Lay the whole book out on a paper."""
    setting = Setting(ruler)
    room = PAPERS_MM[paper][0] - PUNCH_MM - SIDE_MM
    foot = setting.wrap(cover.meanings(content), room, setting.small_pt)[: FOOT_LINES - 1]
    frame = Frame(paper, content.job, (f"{content.job} · printed {content.printed}", *foot), setting)

    def build(pages: Mapping[str, int]) -> list[Group]:
        return list(_sections(Desk(setting, column_mm(paper), pages), content))

    return flow(frame, build)


def _sections(desk: Desk, content: BookContent) -> Iterator[Group]:
    yield from cover.cover(desk, content, CONTENTS)
    yield from cover.cautions(desk)
    yield from way_back.steps_list(desk, content)
    yield from way_back.way_back(desk, content)
    yield from way_back.holds(desk, content)
    yield from lists.stores(desk, content)
    yield from lists.gaps(desk, content)
    yield from documents.documents(desk, content)
    yield from walk.walk(desk, content)
    yield from spots.spots(desk, content)
    yield from lists.log(desk, content)
    yield from lists.index(desk, content)


SHEET = SheetKind("book", lay_out)
