"""A contact sheet in a running app: pictures are opened in a thread, only those in sight, and a bad one hides none."""

from __future__ import annotations

from threading import Lock
from typing import cast

import numpy as np
import pytest
from textual.app import App, ComposeResult
from textual.pilot import Pilot

from asfound.output.cells.pyramid import Pyramid
from asfound.output.cells.view import View
from asfound.tui.opening import OpenPictures
from asfound.tui.widgets.asked_pictures import around
from asfound.tui.widgets.contact_sheet import ContactSheet, SheetItem

BAD = 3


class SmallPictures:
    """Opens grey pictures, but not number 3; keeps which were asked for."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.asked_for: list[int] = []
        self.tiles: dict[int, Pyramid] = {}

    def tile_at_hand(self, picture_id: int) -> Pyramid | None:
        return self.tiles.get(picture_id)

    def open_tile(self, picture_id: int) -> Pyramid:
        with self.lock:
            self.asked_for.append(picture_id)
        if picture_id == BAD:
            raise OSError("cut short")
        self.tiles[picture_id] = Pyramid.build(np.full((30, 40, 3), 128, dtype=np.uint8))
        return self.tiles[picture_id]


class SheetApp(App[None]):
    def __init__(self, count: int) -> None:
        super().__init__()
        self.count = count
        self.pictures = SmallPictures()
        self.told: list[tuple[str, int]] = []

    def compose(self) -> ComposeResult:
        yield ContactSheet(cast(OpenPictures, self.pictures), empty="No pictures here.\nBring some in.")

    def on_mount(self) -> None:
        self.sheet.set_items([SheetItem(number, 400, 300, f"P{number:04}") for number in range(1, self.count + 1)])
        self.sheet.focus()

    @property
    def sheet(self) -> ContactSheet:
        return self.query_one(ContactSheet)

    @property
    def text(self) -> str:
        return "\n".join(self.sheet.render_line(row).text for row in range(self.sheet.size.height))

    def on_contact_sheet_picture_chosen(self, event: ContactSheet.PictureChosen) -> None:
        kind = "opened" if isinstance(event, ContactSheet.PictureOpened) else "chosen"
        self.told.append((kind, event.item.picture_id))

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        self.told.append(("opened", event.item.picture_id))


async def settle(app: SheetApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


async def test_only_what_is_in_sight_is_opened_until_one_goes_on() -> None:
    app = SheetApp(60)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        in_sight = {item.picture_id for item in app.sheet._visible()}
        assert set(app.pictures.asked_for) == in_sight
        assert len(in_sight) < 20
        await pilot.press("end")
        await settle(app, pilot)
        assert 60 in app.pictures.asked_for
        assert 30 not in app.pictures.asked_for
        assert "above" in app.text


async def test_a_picture_that_cannot_be_opened_is_said_so_and_hides_no_other() -> None:
    app = SheetApp(6)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        assert app.text.count("cannot be opened") == 1
        assert set(app.pictures.tiles) == {1, 2, 4, 5, 6}
        await pilot.press("right", "left")
        await settle(app, pilot)
        assert app.pictures.asked_for.count(BAD) == 1  # it is not tried again and again


@pytest.mark.parametrize(
    ("keys", "chosen"),
    [
        (["right"], 2),
        (["l", "l", "h"], 2),
        (["down"], 4),
        (["j", "k"], 1),
        (["end"], 6),
        (["end", "right"], 6),
        (["left"], 1),
        (["end", "home"], 1),
        (["pagedown"], 6),
    ],
)
async def test_pictures_are_gone_through_by_keys(keys: list[str], chosen: int) -> None:
    app = SheetApp(6)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*keys)
        assert app.sheet.chosen is not None
        assert app.sheet.chosen.picture_id == chosen
        assert f"▸P{chosen:04}" in app.text or "opening" in app.text


async def test_a_click_chooses_and_a_second_one_opens() -> None:
    app = SheetApp(6)
    async with app.run_test(size=(80, 24)) as pilot:
        column, row = app.sheet.grid.corner_of(4, 0)
        await pilot.click(ContactSheet, offset=(column + 2, row + 1))
        await pilot.click(ContactSheet, offset=(column + 2, row + 1))
        await pilot.pause()
        assert app.told == [("chosen", 5), ("opened", 5)]


async def test_the_chosen_picture_stays_chosen_while_it_is_there() -> None:
    app = SheetApp(6)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right")
        app.sheet.set_items(app.sheet.items[1:])
        assert app.sheet.chosen is not None
        assert app.sheet.chosen.picture_id == 3
        app.sheet.set_items(app.sheet.items[:1])
        assert app.sheet.chosen.picture_id == 2
        app.sheet.set_items([])
        assert app.sheet.chosen is None
        await pilot.press("enter", "right", "end")
        assert [kind for kind, _ in app.told if kind == "opened"] == []


async def test_an_empty_sheet_says_what_to_do() -> None:
    app = SheetApp(0)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert [app.sheet.render_line(row).text.strip() for row in range(4)] == [
            "",
            "No pictures here.",
            "Bring some in.",
            "",
        ]


# How close the pictures that are asked about are shown


WHOLE = View.fit(4000, 3000, 80, 20)


def test_one_pin_is_shown_in_the_middle_at_twice_the_size() -> None:
    view = around(WHOLE, [(2000, 1500)])
    assert view.px_per_column == WHOLE.px_per_column / 2
    assert (view.centre_x, view.centre_y) == (2000, 1500)


@pytest.mark.parametrize("points", [[(100, 100), (900, 700)], [(0, 1500), (4000, 1500)], [(2000, 0), (2000, 2990)]])
def test_all_pins_are_seen_and_never_from_closer_than_one_is(points: list[tuple[float, float]]) -> None:
    view = around(WHOLE, points)
    assert view.px_per_column >= WHOLE.px_per_column / 2
    for point in points:
        assert view.holds_cell(*view.cell_at(*point))
