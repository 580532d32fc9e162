"""Lists that narrow, wrong spots put right, gaps that lead to what they are about."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from asfound.actions.archive import Archive, open_archive
from asfound.actions.fitting import fit_after
from asfound.actions.job import new_job
from asfound.actions.log import mark_off, mark_refitted
from asfound.actions.pin import Box, pin_tag
from asfound.actions.spots import get_spot
from asfound.actions.tag import EndWords, TagWords, add_tag, change_end
from asfound.model.log import Gap, GapKind
from asfound.store.pictures import get_picture
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.choose_spot import ChooseSpotScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.spot import SpotScreen
from asfound.tui.screens.tag_entry import TagEntryScreen
from asfound.tui.widgets.key_line import ESCAPE, Hint, KeyLine
from asfound.tui.widgets.rows import RowList
from tests.small_changes import come_off, tag_of
from tests.tui.read_back import members
from tests.tui.screens_of import press, running, said, settle


def first_cells(app: Any) -> list[str]:
    return [row.cells[0] for row in app.screen.query_one(RowList).rows]


async def test_every_further_word_leaves_fewer_rows_and_esc_shows_all(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "slash", *"fuel")
        assert first_cells(app) == ["112"]
        await press((app, pilot), *"_hose".replace("_", " "))
        assert first_cells(app) == ["112"]
        await press((app, pilot), *" 31")
        assert first_cells(app) == []
        assert "fuel hose 31" in app.screen.query_one(RowList).render_line(1).text
        await press((app, pilot), "escape")
        assert first_cells(app) == ["31", "110", "112"]

        await press((app, pilot), "slash", *"glow", "enter")
        assert 'with "glow"' in app.screen.where()
        await press((app, pilot), "escape")
        assert app.current_mode == "tags"
        assert first_cells(app) == ["31", "110", "112"]


async def test_digits_in_the_filter_stay_in_the_filter(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "slash", "1", "1", "0")
        assert first_cells(app) == ["110"]
        assert not app.screen.number_box.is_open


async def test_a_picture_is_put_into_another_spot_from_the_spot(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowSpot(1))
        await settle(app, pilot)
        await press((app, pilot), "f")
        assert isinstance(app.screen, ChooseSpotScreen)
        assert first_cells(app) == ["Spot 2", "a new spot", "no spot"]
        await press((app, pilot), "enter")
        assert members(archive)[2] == (1, 4, 5, 6)
        assert isinstance(app.screen, SpotScreen)
        assert "now in Spot 2" in said(app)
        await press((app, pilot), "u")
        assert members(archive)[1] == (1, 2, 3)


async def test_marked_pictures_are_split_off_or_taken_out_together(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowSpot(1))
        await settle(app, pilot)
        await press((app, pilot), "space", "space", "f", "j", "enter")
        assert sorted(members(archive).values()) == [(1, 2), (3,), (4, 5, 6)]
        await press((app, pilot), "u", "f", "j", "j", "enter")
        assert members(archive) == {1: (1, 2), 2: (4, 5, 6)}


async def test_two_spots_are_joined_and_the_first_keeps_its_name(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowSpot(1))
        await settle(app, pilot)
        await press((app, pilot), "w", "enter")
        assert members(archive) == {1: (1, 2, 3, 4, 5, 6)}
        assert get_spot(archive, "Fuel rail").spot_id == 1


async def test_a_picture_is_put_elsewhere_from_the_picture_itself(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "f", "enter")
        assert members(archive) == {1: (1, 2, 3, 4), 2: (5, 6)}
        assert "Fuel rail" in app.screen.where()
        await press((app, pilot), "r", *"rail", "enter")
        assert get_spot(archive, "rail").spot_id == 1


async def test_a_gap_opens_exactly_the_thing_it_is_about(archive: Archive) -> None:
    """Two things are numbered 12; the gap is about the second, which has a picture of its own."""
    for picture_id in (3, 4):
        thing = add_tag(archive, "12", TagWords(kind="hose", name=f"thing of {picture_id}"))
        pin_tag(archive, thing, "A", get_picture(archive.store, picture_id), Box(0.5, 0.5))
    async with running(archive) as (app, pilot):
        await press((app, pilot), "g")
        await choose(app, pilot, "one end only", "12.2B")
        await press((app, pilot), "enter")
        assert isinstance(app.screen, PictureScreen)
        assert app.screen.picture_id == 4


async def choose(app: ArchiveApp, pilot: Pilot[None], kind: str, about: str) -> Gap:
    """Go down the gaps to the one of that kind about that thing."""
    rows = app.screen.query_one(RowList)
    assert any(row.cells[1:3] == (kind, about) for row in rows.rows), [row.cells for row in rows.rows]
    while rows.chosen is None or rows.chosen.cells[1:3] != (kind, about):
        await press((app, pilot), "j")
    gap = rows.chosen.key
    assert isinstance(gap, Gap)
    return gap


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_whole_reason_of_a_gap_can_be_read(archive: Archive, size: tuple[int, int]) -> None:
    twelve = add_tag(archive, "12", TagWords(kind="hose", name="gear oil cooler hose, to the lower fitting of the two"))
    mark_off(archive, twelve, bag="B9")
    mark_off(archive, twelve)
    async with running(archive, size=size) as (app, pilot):
        await press((app, pilot), "g")
        gap = await choose(app, pilot, "never photographed", "12")
        assert len(gap.why) > 100
        detail = app.screen.query_one("#detail")
        shown = " ".join(detail.render_line(row).text.strip() for row in range(detail.size.height))
        assert gap.why in shown


async def test_tags_without_a_picture_and_with_one_end_are_told_apart(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "f")
        assert (app.screen.where(), first_cells(app)) == ("Tags without a picture", ["110"])
        await press((app, pilot), "f")
        assert "one end only" in app.screen.where()
        assert first_cells(app) == ["31"]
        await press((app, pilot), "f")
        assert first_cells(app) == ["31", "110", "112"]


async def test_spots_say_their_order_and_change_it(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "s")
        assert "order: first seen" in app.screen.where()
        await press((app, pilot), "o")
        assert "by name" in app.screen.where()
        assert first_cells(app) == ["Fuel rail", "Spot 2"]


@pytest.mark.parametrize("width", [40, 60, 80, 99])
def test_a_narrow_foot_cuts_words_before_keys_and_keeps_esc_and_help(width: int) -> None:
    line = KeyLine()
    line.hints = (*(Hint(key, key, "some longer words") for key in "abcdefg"), ESCAPE)
    fitting = line.fitting(width)
    assert [hint.shown for hint in fitting[-2:]] == ["esc", "?"]
    assert len(fitting) == 6 if width >= 60 else 4 <= len(fitting) <= 6
    assert sum(len(f"{hint.shown} {hint.words}") + 3 for hint in fitting) - 1 <= width


@pytest.mark.parametrize(
    ("kind", "about", "field"),
    [
        (GapKind.NO_PLACE, "110B", "place B"),
        (GapKind.TAPE_LOST, "31B", "tape_lost B"),
        (GapKind.NOT_CAPPED, "112A", "capped A"),
        (GapKind.NO_FLOW, "112", "flow"),
        (GapKind.COLOUR_DIFFERS, "110", "colour A"),
        (GapKind.NO_BAG, "41", "bag"),
    ],
)
async def test_a_gap_that_words_close_opens_the_field_that_does(
    archive: Archive, kind: GapKind, about: str, field: str
) -> None:
    make_lacking(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "g")
        await choose(app, pilot, kind, about)
        await press((app, pilot), "enter")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.sheet.field.key == field
        await press((app, pilot), "escape")
        assert app.current_mode == "gaps"


def make_lacking(archive: Archive) -> None:
    """Let a word be missing in every way that another word puts right."""
    change_end(archive, tag_of(archive, "31"), "B", EndWords(tape_lost=True))
    change_end(archive, tag_of(archive, "112"), "A", EndWords(capped=False))
    come_off(archive, "112")
    add_tag(archive, "40", TagWords(kind="hose", flow="A to B"))
    for end, colour in (("A", "RD"), ("B", "BU")):
        change_end(archive, tag_of(archive, "110"), "A" if end == "A" else "B", EndWords(colour=colour))
    mark_off(archive, add_tag(archive, "41", TagWords(kind="fastener group")))


async def test_what_is_tight_too_soon_leads_to_the_tag_that_is_to_be_looked_at(archive: Archive) -> None:
    come_off(archive, "112", "31")
    fit_after(archive, tag_of(archive, "31"), [tag_of(archive, "112")])
    mark_refitted(archive, tag_of(archive, "31"), how="tight")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "g")
        gap = await choose(app, pilot, GapKind.TIGHT_TOO_SOON, "31")
        await press((app, pilot), "enter")
        assert app.current_mode == "tags"
        chosen = app.screen.query_one(RowList).chosen
        assert chosen is not None
        assert chosen.key == tag_of(archive, "31").tag_id
        assert said(app) == gap.why


async def test_an_answer_taken_back_leaves_its_gap_chosen(tmp_path: Path) -> None:
    """The next answer is meant for it; the last gap of the list would be taken for it by its place."""
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow")
        for number in ("17", "18", "19"):
            add_tag(archive, number, TagWords(kind="hose"))
        async with running(archive) as (app, pilot):
            await press((app, pilot), "g")
            rows = app.screen.query_one(RowList)
            first = rows.chosen
            assert first is not None
            assert len(rows.rows) > 2
            await press((app, pilot), "a", *"gone", "enter")
            assert rows.chosen != first
            await press((app, pilot), "u")
            assert rows.chosen == first
