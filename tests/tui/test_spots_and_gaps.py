"""Lists that narrow, wrong spots put right, gaps that lead to what they are about."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords, add_tag
from asfound.model.log import Gap, GapKind
from asfound.tui.archive_service import ArchiveService
from asfound.tui.screens.choose_spot import ChooseSpotScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.spot import SpotScreen
from asfound.tui.screens.tag_entry import TagEntryScreen
from asfound.tui.service import GapEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint, KeyLine
from asfound.tui.widgets.rows import RowList
from tests.tui.fake_service import FakeService
from tests.tui.screens_of import press, running, said, settle


def first_cells(app: Any) -> list[str]:
    return [row.cells[0] for row in app.screen.query_one(RowList).rows]


async def test_every_further_word_leaves_fewer_rows_and_esc_shows_all() -> None:
    async with running() as (app, pilot):
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


async def test_digits_in_the_filter_stay_in_the_filter() -> None:
    async with running() as (app, pilot):
        await press((app, pilot), "t", "slash", "1", "1", "0")
        assert first_cells(app) == ["110"]
        assert not app.screen.number_box.is_open


async def test_a_picture_is_put_into_another_spot_from_the_spot() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_spot(1)
        await settle(app, pilot)
        await press((app, pilot), "f")
        assert isinstance(app.screen, ChooseSpotScreen)
        assert first_cells(app) == ["Spot 2", "a new spot", "no spot"]
        await press((app, pilot), "enter")
        assert service.all_spots[2].picture_ids == (1, 4, 5, 6)
        assert isinstance(app.screen, SpotScreen)
        assert "now in Spot 2" in said(app)
        await press((app, pilot), "u")
        assert service.all_spots[1].picture_ids == (1, 2, 3)


async def test_marked_pictures_are_split_off_or_taken_out_together() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_spot(1)
        await settle(app, pilot)
        await press((app, pilot), "space", "space", "f", "j", "enter")
        assert ("split_spot", 1, (1, 2)) in service.calls
        assert service.all_spots[3].picture_ids == (1, 2)
        await press((app, pilot), "u", "f", "j", "j", "enter")
        assert service.calls[-1] == ("move_pictures", (3,), None)


async def test_two_spots_are_joined_and_the_first_keeps_its_name() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_spot(1)
        await settle(app, pilot)
        await press((app, pilot), "w", "enter")
        assert service.calls[-1] == ("join_spots", 1, 2)
        assert service.all_spots[1].picture_ids == (1, 2, 3, 4, 5, 6)


async def test_a_picture_is_put_elsewhere_from_the_picture_itself() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_picture(4)
        await settle(app, pilot)
        await press((app, pilot), "f", "enter")
        assert service.calls[-1] == ("move_pictures", (4,), 1)
        assert "Fuel rail" in app.screen.where()
        await press((app, pilot), "r", *"rail", "enter")
        assert service.all_spots[1].name == "Fuel railrail"


async def test_a_gap_opens_exactly_the_thing_it_is_about() -> None:
    """Two things are numbered 12; the gap is about the second, which has a picture of its own."""
    service = FakeService()
    for order in (1, 2):
        made = service._make_tag("12", f"thing {order}")
        service.all_tags[made.tag_id] = replace(made, order=order)
        service._make_pin(made.tag_id, "A", 2 + order, 0.5, 0.5)
    second = max(service.all_tags)
    gap = Gap(GapKind.ONE_END, "12.2 B has no picture; photograph it.", number="12", end="A", tag_id=second)
    service.gaps = lambda: [GapEntry(gap, True)]
    async with running(service) as (app, pilot):
        await press((app, pilot), "g")
        assert app.screen.query_one(RowList).rows[0].cells[2] == "12.2A"
        await press((app, pilot), "enter")
        assert isinstance(app.screen, PictureScreen)
        assert app.screen.picture_id == 4


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_whole_reason_of_a_gap_can_be_read(size: tuple[int, int]) -> None:
    service = FakeService()
    why = "12 and 12.2 are both a coolant hose of the same size; mark which is which before either comes off, please."
    service.gaps = lambda: [GapEntry(Gap(GapKind.LOOK_ALIKE, why, number="12", tag_id=1), True)]
    async with running(service, size=size) as (app, pilot):
        await press((app, pilot), "g")
        detail = app.screen.query_one("#detail")
        shown = "".join(detail.render_line(row).text.strip() + " " for row in range(detail.size.height))
        assert "before either comes off, please." in shown


async def test_tags_without_a_picture_and_with_one_end_are_told_apart() -> None:
    async with running() as (app, pilot):
        await press((app, pilot), "t", "f")
        assert (app.screen.where(), first_cells(app)) == ("Tags without a picture", ["110"])
        await press((app, pilot), "f")
        assert "one end only" in app.screen.where()
        assert first_cells(app) == ["31"]
        await press((app, pilot), "f")
        assert first_cells(app) == ["31", "110", "112"]


async def test_spots_say_their_order_and_change_it() -> None:
    async with running() as (app, pilot):
        await press((app, pilot), "s")
        assert "in the order first seen" in app.screen.where()
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
    ("kind", "end", "field"),
    [
        (GapKind.NO_PLACE, "B", "place B"),
        (GapKind.TAPE_LOST, "B", "tape B"),
        (GapKind.NOT_CAPPED, "A", "capped A"),
        (GapKind.NO_FLOW, None, "flow"),
        (GapKind.COLOUR_DIFFERS, None, "colour A"),
        (GapKind.NO_BAG, None, "bag"),
    ],
)
async def test_a_gap_that_words_close_opens_the_field_that_does(kind: GapKind, end: Any, field: str) -> None:
    service = FakeService()
    service.gaps = lambda: [GapEntry(Gap(kind, "why", number="31", end=end, tag_id=2), True)]  # type: ignore[method-assign]
    async with running(service) as (app, pilot):
        await press((app, pilot), "g", "enter")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.sheet.field.key == field
        await press((app, pilot), "escape")
        assert app.current_mode == "gaps"


async def test_what_is_tight_too_soon_leads_to_the_tag_that_is_to_be_looked_at() -> None:
    service = FakeService()
    gap = Gap(GapKind.TIGHT_TOO_SOON, "31 is tight, but 30 is not", number="31", tag_id=2)
    service.gaps = lambda: [GapEntry(gap, True)]  # type: ignore[method-assign]
    async with running(service) as (app, pilot):
        await press((app, pilot), "g", "enter")
        assert app.current_mode == "tags"
        chosen = app.screen.query_one(RowList).chosen
        assert chosen is not None
        assert chosen.key == 2
        assert said(app) == gap.why


async def test_an_answer_taken_back_leaves_its_gap_chosen(tmp_path: Path) -> None:
    """The next answer is meant for it; the last gap of the list would be taken for it by its place."""
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow")
        for number in ("17", "18", "19"):
            add_tag(archive, number, TagWords(kind="hose"))
        async with running(ArchiveService(archive)) as (app, pilot):
            await press((app, pilot), "g")
            rows = app.screen.query_one(RowList)
            first = rows.chosen
            assert first is not None
            assert len(rows.rows) > 2
            await press((app, pilot), "a", *"gone", "enter")
            assert rows.chosen != first
            await press((app, pilot), "u")
            assert rows.chosen == first
