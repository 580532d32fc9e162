"""Where on the machine: overview pictures with the spots marked on them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.message import Message

from asfound.actions.archive import Archive
from asfound.actions.known import known_spots
from asfound.output.cells.labels import PinMark
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPicture, ShowSpot
from asfound.tui.keys import Key
from asfound.tui.words import count, spot_words, taken_words

if TYPE_CHECKING:
    from asfound.actions.overviews import Overview
    from asfound.output.cells.pyramid import Pyramid

NO_OVERVIEW = "No picture shows two spots at once yet. Take one from two steps back and add it."


class MachineScreen(ArchiveScreen):
    ABOUT = (
        "Where on the machine the spots lie. Overview pictures with the spots marked on them, as far as the pictures "
        "could be matched. Enter opens the chosen spot."
    )
    KEYS = (
        Key("shift+tab,tab", "next({by})", "next spot (shift+tab: the one before)", "next spot", shown="tab"),
        Key("enter", "open", "the pictures of the spot", "its pictures|pictures"),
        Key("left_square_bracket,right_square_bracket", "step({by})", "another overview picture", "other overview"),
        Key("plus,minus", "", "", "zoom", shown="+ -"),
        Key("o", "picture", "open the overview picture itself", "open picture"),
        Key("", "", "a click on a name opens that spot", shown="mouse"),
    )

    class Listed(Message):
        """A worker has found the overview pictures."""

        def __init__(self, overviews: Sequence[Overview]) -> None:
            self.overviews = overviews
            super().__init__()

    class OverviewOpened(Message):
        """A worker has opened an overview picture."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.overviews: Sequence[Overview] = ()
        self.index = 0
        self.current = 0

    def body(self) -> ComposeResult:
        yield Canvas(with_crosshair=False)

    def on_mount(self) -> None:
        self.session.set_up_canvas(self.query_one(Canvas))
        self.query_one(Canvas).empty("looking for pictures that show several spots ...")

    def reload(self) -> None:
        self.in_background(self._list, "overviews")

    def _list(self) -> None:
        from asfound.actions.overviews import list_overviews

        self.post_message(self.Listed(list_overviews(self.archive)))

    def on_machine_screen_listed(self, event: Listed) -> None:
        shown = self.overview.picture.picture_id if self.overview else None
        self.overviews = event.overviews
        self.index = min(self.index, max(0, len(self.overviews) - 1))
        if self.overview is None:
            self.query_one(Canvas).empty("")
            self.say(NO_OVERVIEW)
        elif self.overview.picture.picture_id != shown:
            self._show()
        else:
            self._show_marks()
        self.refresh_lines()

    @property
    def overview(self) -> Overview | None:
        return self.overviews[self.index] if self.overviews else None

    def where(self) -> str:
        if self.overview is None:
            return "On the machine"
        taken = taken_words(self.overview.picture)
        which = f" · overview {self.index + 1} of {len(self.overviews)}" if len(self.overviews) > 1 else ""
        return f"On the machine: {count(len(self.overview.spots), 'spot')} · {taken}{which}"

    def _show(self) -> None:
        overview = self.overview
        assert overview is not None
        self.current = 0
        picture = overview.picture
        canvas = self.query_one(Canvas)
        size = (float(picture.width_px), float(picture.height_px))
        canvas.show(self.session.opened.at_hand(picture.picture_id), size)
        self._show_marks()
        self.in_background(partial(self._open, picture.picture_id), "open")

    def _open(self, picture_id: int) -> None:
        self.post_message(self.OverviewOpened(picture_id, self.session.opened.open_preview(picture_id)))
        self.post_message(self.OverviewOpened(picture_id, self.session.opened.open_full(picture_id)))

    def on_machine_screen_overview_opened(self, event: OverviewOpened) -> None:
        if self.overview is not None and event.picture_id == self.overview.picture.picture_id:
            self.query_one(Canvas).improve(event.pyramid)

    def _show_marks(self) -> None:
        overview, canvas = self.overview, self.query_one(Canvas)
        view = canvas.target
        if overview is None or view is None:
            return
        canvas.set_marks(
            [
                PinMark(
                    spot_called(self.archive, mark.spot_id),
                    mark.x_frac * view.picture_w,
                    mark.y_frac * view.picture_h,
                    mark.w_frac * view.picture_w if index == self.current else None,
                    mark.h_frac * view.picture_h if index == self.current else None,
                    current=index == self.current,
                )
                for index, mark in enumerate(overview.spots)
            ]
        )

    def action_next(self, by: int) -> None:
        overview = self.overview
        if overview is not None:
            self.current = (self.current + by) % len(overview.spots)
            self._show_marks()

    def action_step(self, by: int) -> None:
        if 0 <= self.index + by < len(self.overviews):
            self.index += by
            self._show()
            self.refresh_lines()
        else:
            self.say("No more overviews that way.")

    def action_open(self) -> None:
        if self.overview is not None:
            self.post_message(ShowSpot(self.overview.spots[self.current].spot_id))

    def action_picture(self) -> None:
        if self.overview is not None:
            self.post_message(ShowPicture(self.overview.picture.picture_id))

    def on_canvas_pin_clicked(self, event: Canvas.PinClicked) -> None:
        if isinstance(event, Canvas.PinDragged):
            return
        self.current = self.query_one(Canvas).marks.index(event.mark)
        self.action_open()


def spot_called(archive: Archive, spot_id: int) -> str:
    """A spot's name, or its number while it has none; empty for one that is gone."""
    spot = known_spots(archive).get(spot_id)
    return spot_words(spot) if spot is not None else ""


SCREEN = ScreenEntry("m", "Machine", MachineScreen, MachineScreen.ABOUT, more_keys=("M", "f6"))
