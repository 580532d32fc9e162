"""Before and after linked by matches, what differs, pins by mouse, characters chosen, spots on the machine."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from pathlib import Path

import pytest

from asfound.actions import compare
from asfound.actions.archive import Archive
from asfound.actions.settings import remembered
from asfound.core.match.compare import Comparison
from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import PinMark
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.screens.machine import MachineScreen
from asfound.tui.screens.pair import PairScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.spot import SpotScreen
from tests.drawn_places import CLOSER, HOSE, in_third
from tests.small_archive import archive_with_overview
from tests.tui.read_back import boxes, pinned
from tests.tui.screens_of import press, running, said, settle

A_PIXEL = 2.0
"""How far a point of one picture may be laid beside its place in another, both 400 pixels wide."""


def pair_screen(app: ArchiveApp) -> PairScreen:
    assert isinstance(app.screen, PairScreen)
    return app.screen


@pytest.mark.parametrize("size", [(120, 40), (80, 24)])
async def test_both_show_the_same_place_however_the_camera_was_held(archive: Archive, size: tuple[int, int]) -> None:
    async with running(archive, size=size) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        screen = pair_screen(app)
        assert screen.two.link is not None
        await press((app, pilot), *["plus"] * 5)
        before = screen.query_one("#before", Canvas)
        view, crosshair = before.view, before.crosshair
        assert view is not None
        await press((app, pilot), "x")
        after = screen.query_one("#after", Canvas)
        assert after.view is not None
        x, y = in_third(crosshair[0] / 400, crosshair[1] / 300)
        assert after.crosshair == pytest.approx((x * 400, y * 300), abs=A_PIXEL)
        assert (after.view.centre_x, after.view.centre_y) == pytest.approx((x * 400, y * 300), abs=A_PIXEL)
        assert after.view.px_per_column == pytest.approx(CLOSER * view.px_per_column, rel=0.02)

        await press((app, pilot), "x")
        assert before.crosshair == pytest.approx(crosshair, abs=0.1)


async def test_differences_are_boxes_on_both_and_tab_goes_through_them(archive: Archive) -> None:
    """The first of them is the hose that the later picture lacks, where it was drawn."""
    async with running(archive, size=(120, 40)) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        await press((app, pilot), "f")
        before, after = (app.screen.query_one(name, Canvas) for name in ("#before", "#after"))
        assert f"{len(after.marks)} places to look at" in said(app)
        assert [mark.text.split()[0] for mark in after.marks] == [f"≠{at}" for at in range(1, len(after.marks) + 1)]
        assert is_near(after.marks[0], *in_third(*HOSE))
        assert is_near(before.marks[0], *HOSE)
        await press((app, pilot), "tab")
        assert after.marks[0].current
        assert f"Difference 1 of {len(after.marks)}" in said(app)
        await press((app, pilot), "f")
        assert after.marks == ()


def is_near(mark: PinMark, x_frac: float, y_frac: float) -> bool:
    """Whether a mark lies within a tenth of a picture of 400 x 300 around a point of it."""
    return hypot(mark.x - x_frac * 400, mark.y - y_frac * 300) <= 40


async def test_nothing_differing_is_never_called_right(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    real = compare.compare_pictures

    def see_nothing(*sides: object, **words: object) -> Comparison:
        return replace(real(*sides, **words), differences=())  # type: ignore[arg-type]

    monkeypatch.setattr(compare, "compare_pictures", see_nothing)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        await press((app, pilot), "f")
        assert said(app) == "Nothing stands out. That does not mean nothing changed: look for yourself."


async def test_two_that_stand_side_by_side_are_told_apart(archive: Archive) -> None:
    async with running(archive, size=(120, 40)) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        screen = pair_screen(app)
        before, after = (screen.query_one(name, Canvas) for name in ("#before", "#after"))
        assert before.region.right < after.region.x  # a column lies between, or one picture goes on in the other
        assert screen.where().startswith("BEFORE left, AFTER right")
        await press((app, pilot), "v")
        assert screen.where().startswith(("BEFORE ·", "AFTER ·"))
        assert screen.query_one("#before", Canvas).region.x == 0


async def test_blinking_flips_one_pane_and_stops(archive: Archive) -> None:
    async with running(archive, size=(120, 40)) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        screen = pair_screen(app)
        await press((app, pilot), "v")
        assert len([canvas for canvas in screen.query(Canvas) if canvas.display]) == 1
        await press((app, pilot), "v")
        assert len([canvas for canvas in screen.query(Canvas) if canvas.display]) == 2


async def test_spots_are_marked_on_the_overview_and_open_from_there(tmp_path: Path) -> None:
    with archive_with_overview(tmp_path / "other") as archive:
        async with running(archive) as (app, pilot):
            await press((app, pilot), "M")
            assert isinstance(app.screen, MachineScreen)
            canvas = app.screen.query_one(Canvas)
            assert [mark.words for mark in canvas.marks] == ["[Fuel rail]", "Spot 2"]
            await press((app, pilot), "tab", "enter")
            assert isinstance(app.screen, SpotScreen)
            assert app.screen.spot_id == 2


async def test_without_an_overview_it_says_how_to_take_one(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "M")
        assert "two steps back" in said(app)


async def test_characters_are_chosen_by_eye_and_kept_for_this_terminal(archive: Archive) -> None:
    async with running(archive, terminal="xterm") as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "C", "up", "enter")
        assert remembered(archive, "characters xterm") == "sextants"
        assert isinstance(app.screen, PictureScreen)
        canvas = app.screen.query_one(Canvas)
        assert canvas.glyphs is Glyphs.SEXTANTS
        assert any("\U0001fb00" <= one <= "\U0001fb3b" for row in range(20) for one in canvas.render_line(row).text)
        await press((app, pilot), "c")
        assert remembered(archive, "colours xterm") == str(Colour.PALETTE)

    async with running(archive, terminal="xterm") as (later, pilot):
        later.post_message(going.ShowPicture(1))
        await settle(later, pilot)
        assert later.screen.query_one(Canvas).glyphs is Glyphs.SEXTANTS


async def test_a_pins_number_is_dragged_to_move_the_pin(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        canvas = app.screen.query_one(Canvas)
        label = next(one for one in canvas.painter.drawing.labels if one.mark.text == "112A")
        await pilot.mouse_down(Canvas, offset=(label.column, label.row))
        await pilot.hover(Canvas, offset=(40, 12))
        await pilot.mouse_up(Canvas, offset=(40, 12))
        await settle(app, pilot)
        assert canvas.view is not None
        x, y = canvas.view.px_at(40, 12)
        assert pinned(archive, 1) == {"112A": pytest.approx((x / 400, y / 300)), "31A": (0.60, 0.30)}


async def test_a_drag_after_b_draws_a_box_and_m_gives_it_to_the_pin(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "tab", "b")
        await pilot.mouse_down(Canvas, offset=(40, 5))
        await pilot.hover(Canvas, offset=(50, 9))
        await pilot.mouse_up(Canvas, offset=(50, 9))
        await settle(app, pilot)
        canvas = app.screen.query_one(Canvas)
        assert canvas.view is not None
        assert canvas.box == (*canvas.view.px_at(40, 5), *canvas.view.px_at(50, 9))
        await press((app, pilot), "m")
        assert boxes(archive, 1)["31A"][0] == pytest.approx(10 * canvas.view.px_per_column / 400)


async def test_ends_are_swapped_and_taken_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(2))
        await settle(app, pilot)
        await press((app, pilot), "tab", "X")
        assert pinned(archive, 2) == {"112A": (0.70, 0.55), "112B": (0.35, 0.42)}
        await press((app, pilot), "u")
        assert pinned(archive, 2) == {"112A": (0.35, 0.42), "112B": (0.70, 0.55)}


async def test_space_goes_to_the_next_picture_with_a_proposed_pin(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(5))
        await settle(app, pilot)
        await press((app, pilot), "space")
        assert isinstance(app.screen, PictureScreen)
        assert app.screen.picture_id == 2
        assert [mark.words for mark in app.screen.canvas.marks if mark.current] == ["[31A?]"]


@pytest.mark.parametrize(("size", "beside"), [((120, 40), True), ((80, 24), False)])
async def test_what_is_written_stands_beside_or_under_the_picture(
    archive: Archive, size: tuple[int, int], beside: bool
) -> None:
    async with running(archive, size=size) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        card, line = (app.screen.query_one(name) for name in ("#card", "#pin"))
        assert bool(card.display) is beside
        text = str((card if beside else line).render())
        assert "rail, front" in text
        assert "B1" in text
        assert ("follow the service" if beside else "caution: v shows it") in text
        await press((app, pilot), "v")
        assert bool(card.display) is not beside


async def test_the_found_picture_has_one_numbering(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        assert said(app) == "112 A fuel return hose: as found · 1 of 2, [ ] steps"
        shown = app.screen.where() + str(app.screen.query_one("#pin").render())  # type: ignore[attr-defined]
        assert "Picture 1" not in shown
        assert "of 2" not in shown
        await press((app, pilot), "right_square_bracket")
        assert "another picture of it · 2 of 2" in said(app)
