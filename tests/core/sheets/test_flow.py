"""Blocks on pages: kept together, broken only where they must be, referred to by the page they are on."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from asfound.core.sheets.blocks import Block, Group, gap
from asfound.core.sheets.flow import CLEAR_MM, TOP_MM, Frame, flow
from asfound.core.sheets.marks import Line, Ring, Shape, Sheets, Words
from asfound.core.sheets.measures import PAPERS_MM
from asfound.core.sheets.setting import Setting
from tests.core.sheets.rulers import EvenRuler


def frame(paper: str = "A4", foot: tuple[str, ...] = ("Sallow", "front: bow")) -> Frame:
    return Frame(paper, "Sallow", foot, Setting(EvenRuler()))


def high(name: str, height_mm: float) -> Block:
    return Block(height_mm, (Words(0, 4, name, 10),), (name,))


def lay(*groups: Group) -> Sheets:
    return flow(frame(), lambda pages: groups)


def test_a_group_that_fits_on_one_page_is_not_broken() -> None:
    sheets = lay(Group((high("a", 150),)), Group((high("b", 60), high("c", 60))))

    assert sheets.anchor_pages == {"a": 1, "b": 2, "c": 2}


def test_a_group_too_high_for_a_page_is_broken_between_blocks_and_loses_none() -> None:
    sheets = lay(Group(tuple(high(str(at), 40) for at in range(20))))

    assert sorted(sheets.anchor_pages, key=int) == [str(at) for at in range(20)]
    assert len(sheets.pages) == 4


def test_a_heading_is_never_the_last_on_a_page() -> None:
    sheets = lay(Group((high("a", 235),)), Group((high("heading", 10),), with_next=True), Group((high("b", 30),)))

    assert sheets.anchor_pages == {"a": 1, "heading": 2, "b": 2}


def test_a_section_begins_on_a_page_of_its_own_but_leaves_none_empty() -> None:
    sheets = lay(Group((high("a", 10),), new_page=True), Group((high("b", 10),), new_page=True))

    assert sheets.anchor_pages == {"a": 1, "b": 2}
    assert len(sheets.pages) == 2


def test_references_name_the_page_although_they_change_the_layout() -> None:
    """Known to be on a later page, a thing is given a page more before it: what is told must be where it ends up."""
    told: list[Mapping[str, int]] = []

    def build(pages: Mapping[str, int]) -> list[Group]:
        told.append(dict(pages))
        grown = [Group((gap(200),))] if pages.get("far", 0) > 1 else []
        return [*grown, Group((high("a", 200),)), Group((high("far", 150),))]

    sheets = flow(frame(), build)

    assert sheets.anchor_pages == told[-1] == {"a": 2, "far": 3}
    assert any(isinstance(mark, Words) and mark.words == "far" for mark in sheets.pages[2].marks)


@pytest.mark.parametrize("paper", list(PAPERS_MM))
def test_every_page_says_which_it_is_and_keeps_clear_of_the_edges(paper: str) -> None:
    long = "the machine with a name that does not end " * 9
    sheets = flow(frame(paper, (long, long)), lambda pages: [Group((high(str(at), 240),)) for at in range(3)])
    wide, tall = PAPERS_MM[paper]

    for number, page in enumerate(sheets.pages, 1):
        assert any(isinstance(mark, Words) and mark.words == f"page {number} of 3" for mark in page.marks)
        for mark in page.marks:
            if isinstance(mark, Words):
                right = mark.x_mm + EvenRuler().width_mm(mark.words, mark.size_pt, bold=mark.bold)
                assert mark.x_mm >= CLEAR_MM
                assert right <= wide - CLEAR_MM
                assert TOP_MM / 2 < mark.y_mm <= tall - CLEAR_MM
            else:
                assert isinstance(mark, Line | Shape | Ring)
