"""Before and after linked by matches, what differs, pins by mouse, characters chosen, spots on the machine."""

from __future__ import annotations

import pytest

from asfound.output.cells.colour import Colour, Glyphs
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.places import Link, WhatDiffers
from asfound.tui.screens.machine import MachineScreen
from asfound.tui.screens.pair import PairScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.spot import SpotScreen
from tests.tui.fake_service import FakeService
from tests.tui.screens_of import press, running, said, settle


class Closer:
    """The after picture is taken half as far away, and its middle is a tenth further right."""

    def __init__(self, *, back: bool = False) -> None:
        self.back = back

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float]:
        if self.back:
            return (x_frac - 0.6) / 2 + 0.5, (y_frac - 0.5) / 2 + 0.5, 0.5
        return (x_frac - 0.5) * 2 + 0.6, (y_frac - 0.5) * 2 + 0.5, 2.0

    def reversed(self) -> Link:
        return Closer(back=not self.back)


def pair_screen(app: ArchiveApp) -> PairScreen:
    assert isinstance(app.screen, PairScreen)
    return app.screen


@pytest.mark.parametrize("size", [(120, 40), (80, 24)])
async def test_both_show_the_same_place_however_the_camera_was_held(size: tuple[int, int]) -> None:
    service = FakeService()
    service.links[1, 3] = Closer()
    async with running(service, size=size) as (app, pilot):
        app.show_pairs(1)
        await settle(app, pilot)
        screen = pair_screen(app)
        assert screen.is_linked
        await press((app, pilot), *["plus"] * 5)
        before = screen.query_one("#before", Canvas)
        view, crosshair = before.view, before.crosshair
        assert view is not None
        await press((app, pilot), "x")
        after = screen.query_one("#after", Canvas)
        assert after.view is not None
        assert after.crosshair == pytest.approx((0.6 * 400, crosshair[1]))
        assert after.view.centre_x == pytest.approx(0.6 * 400, abs=1)
        assert after.view.px_per_column == pytest.approx(2 * view.px_per_column)

        await press((app, pilot), "x")
        assert before.crosshair == pytest.approx(crosshair)


async def test_differences_are_boxes_on_both_and_tab_goes_through_them() -> None:
    service = FakeService()
    service.links[1, 3] = Closer()
    async with running(service, size=(120, 40)) as (app, pilot):
        app.show_pairs(1)
        await settle(app, pilot)
        await press((app, pilot), "f")
        before, after = (app.screen.query_one(name, Canvas) for name in ("#before", "#after"))
        assert "2 places to look at, 1 of them clear" in said(app)
        assert "Could 112A and 31A have changed places? Look at both." in said(app)
        assert [mark.text for mark in after.marks] == ["≠1 112A", "≠2"]
        assert after.marks[0].x == pytest.approx(0.25 * 400)
        # Where the comparison knows the place before, it counts; else the link of the two pictures tells it.
        assert [mark.x for mark in before.marks] == pytest.approx([0.2 * 400, ((0.7 - 0.6) / 2 + 0.5) * 400])
        await press((app, pilot), "tab")
        assert after.marks[0].current
        assert "Difference 1 of 2, clear, near 112A" in said(app)
        await press((app, pilot), "f")
        assert after.marks == ()


async def test_nothing_differing_is_never_called_right() -> None:
    service = FakeService()
    service.differences = lambda *_: WhatDiffers(())
    async with running(service) as (app, pilot):
        app.show_pairs(1)
        await settle(app, pilot)
        await press((app, pilot), "f")
        assert said(app) == "Nothing stands out. That is no proof that nothing changed."


async def test_two_that_stand_side_by_side_are_told_apart() -> None:
    async with running(size=(120, 40)) as (app, pilot):
        app.show_pairs(1)
        await settle(app, pilot)
        screen = pair_screen(app)
        before, after = (screen.query_one(name, Canvas) for name in ("#before", "#after"))
        assert before.region.right < after.region.x  # a column lies between, or one picture goes on in the other
        assert screen.where().startswith("BEFORE left, AFTER right")
        await press((app, pilot), "v")
        assert screen.where().startswith(("BEFORE ·", "AFTER ·"))
        assert screen.query_one("#before", Canvas).region.x == 0


async def test_blinking_flips_one_pane_and_stops() -> None:
    async with running(size=(120, 40)) as (app, pilot):
        app.show_pairs(1)
        await settle(app, pilot)
        screen = pair_screen(app)
        await press((app, pilot), "v")
        assert len([canvas for canvas in screen.query(Canvas) if canvas.display]) == 1
        await press((app, pilot), "v")
        assert len([canvas for canvas in screen.query(Canvas) if canvas.display]) == 2


async def test_spots_are_marked_on_the_overview_and_open_from_there() -> None:
    async with running() as (app, pilot):
        await press((app, pilot), "M")
        assert isinstance(app.screen, MachineScreen)
        canvas = app.screen.query_one(Canvas)
        assert [mark.words for mark in canvas.marks] == ["[Fuel rail]", "Spot 2"]
        await press((app, pilot), "tab", "enter")
        assert isinstance(app.screen, SpotScreen)
        assert app.screen.spot_id == 2


async def test_without_an_overview_it_says_how_to_take_one() -> None:
    service = FakeService()
    service.overviews = list
    async with running(service) as (app, pilot):
        await press((app, pilot), "M")
        assert "two steps back" in said(app)


async def test_characters_are_chosen_by_eye_and_kept_for_this_terminal() -> None:
    service = FakeService()
    app = ArchiveApp(service, terminal="xterm")
    async with app.run_test(size=(80, 24)) as pilot:
        app.show_picture(1)
        await settle(app, pilot)
        await press((app, pilot), "C", "up", "enter")
        assert service.kept["characters xterm"] == "sextants"
        assert isinstance(app.screen, PictureScreen)
        canvas = app.screen.query_one(Canvas)
        assert canvas.glyphs is Glyphs.SEXTANTS
        assert any("\U0001fb00" <= one <= "\U0001fb3b" for row in range(20) for one in canvas.render_line(row).text)
        await press((app, pilot), "c")
        assert service.kept["colours xterm"] == str(Colour.PALETTE)

    later = ArchiveApp(service, terminal="xterm")
    async with later.run_test(size=(80, 24)) as pilot:
        later.show_picture(1)
        await settle(later, pilot)
        assert later.screen.query_one(Canvas).glyphs is Glyphs.SEXTANTS


async def test_a_pins_number_is_dragged_to_move_the_pin() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_picture(1)
        await settle(app, pilot)
        canvas = app.screen.query_one(Canvas)
        label = next(one for one in canvas.labels if one.mark.text == "112A")
        await pilot.mouse_down(Canvas, offset=(label.column, label.row))
        await pilot.hover(Canvas, offset=(40, 12))
        await pilot.mouse_up(Canvas, offset=(40, 12))
        await settle(app, pilot)
        assert canvas.view is not None
        x, y = canvas.view.px_at(40, 12)
        (call,) = [call for call in service.calls if call[0] == "move_pin"]
        assert call[2:] == pytest.approx((x / 400, y / 300))


async def test_a_drag_after_b_draws_a_box_and_m_gives_it_to_the_pin() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_picture(1)
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
        (call,) = [call for call in service.calls if call[0] == "resize_pin"]
        assert call[4] == pytest.approx(10 * canvas.view.px_per_column / 400)


async def test_ends_are_swapped_and_taken_back() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        app.show_picture(2)
        await settle(app, pilot)
        await press((app, pilot), "tab", "X")
        assert ("swap_ends", 2, 1) in service.calls
        assert service.all_pins[2].end == "B"
        await press((app, pilot), "u")
        assert service.all_pins[2].end == "A"


async def test_space_goes_to_the_next_picture_with_a_proposed_pin() -> None:
    async with running() as (app, pilot):
        app.show_picture(5)
        await settle(app, pilot)
        await press((app, pilot), "space")
        assert isinstance(app.screen, PictureScreen)
        assert app.screen.picture_id == 2
        assert [mark.words for mark in app.screen.canvas.marks if mark.current] == ["[31A?]"]


@pytest.mark.parametrize(("size", "beside"), [((120, 40), True), ((80, 24), False)])
async def test_what_is_written_stands_beside_or_under_the_picture(size: tuple[int, int], beside: bool) -> None:
    async with running(size=size) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        card, line = (app.screen.query_one(name) for name in ("#card", "#pin"))
        assert bool(card.display) is beside
        text = str((card if beside else line).render())
        assert "rail, front" in text
        assert "B1" in text
        assert "caution" in text.lower()
        await press((app, pilot), "v")
        assert bool(card.display) is not beside


async def test_the_found_picture_has_one_numbering() -> None:
    async with running() as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        assert said(app) == "112 A fuel return hose: as found · 1 of 2, [ ] steps"
        shown = app.screen.where() + str(app.screen.query_one("#pin").render())  # type: ignore[attr-defined]
        assert "Picture 1" not in shown
        assert "of 2" not in shown
        await press((app, pilot), "right_square_bracket")
        assert "another picture of it · 2 of 2" in said(app)
