"""A list of spots with a picture of the chosen one beside it: a spot without a name is known by its looks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message

from asfound.actions.spot_list import read_spot
from asfound.tui.canvas.widget import Canvas
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, RowList

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

PREVIEW_FROM_WIDTH = 76


class SpotListScreen(ListScreen):
    """Rows whose keys are spots' ids, whole numbers; other keys stand for no spot and have no picture."""

    DEFAULT_CSS = "SpotListScreen #preview { width: 1fr; } SpotListScreen RowList { width: 1fr; }"

    class SpotPictureOpened(Message):
        """A worker has opened the picture of a spot."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def with_preview(self, columns: Sequence[Column], empty: str) -> ComposeResult:
        """The list and the picture beside it, for `body`."""
        with Horizontal():
            yield RowList(columns, empty=empty)
            preview = Canvas(id="preview", with_crosshair=False)
            preview.can_focus = False
            yield preview

    def on_mount(self) -> None:
        self.session.set_up_canvas(self.query_one("#preview", Canvas))
        self._arrange(self.app.size.width)

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        self._arrange(event.size.width)

    def _arrange(self, width: int) -> None:
        self.query_one("#preview").display = width >= PREVIEW_FROM_WIDTH

    @property
    def chosen(self) -> int | None:
        """The id of the chosen spot."""
        row = self.list_rows.chosen
        return row.key if row is not None and isinstance(row.key, int) else None

    def on_row_list_moved(self, event: RowList.Moved) -> None:
        super().on_row_list_moved(event)
        preview = self.query_one("#preview", Canvas)
        if not preview.display:
            return
        picture_ids = read_spot(self.archive, self.chosen).spot.picture_ids if self.chosen is not None else ()
        if picture_ids:
            self.in_background(partial(self._open, picture_ids[0]), "preview")
        else:
            preview.empty("")

    def _open(self, picture_id: int) -> None:
        self.post_message(self.SpotPictureOpened(picture_id, self.session.opened.open_preview(picture_id)))

    def on_spot_list_screen_spot_picture_opened(self, event: SpotPictureOpened) -> None:
        if self.chosen is None or event.picture_id not in read_spot(self.archive, self.chosen).spot.picture_ids:
            return
        canvas = self.query_one("#preview", Canvas)
        canvas.show(event.pyramid, (event.pyramid.source_w, event.pyramid.source_h))
