"""A sheet of pictures: a day, or any other handful."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.service import Service
from asfound.tui.widgets.contact_sheet import ContactSheet, SheetItem
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import count, taken_words


def sheet_items(service: Service, picture_ids: Sequence[int]) -> list[SheetItem]:
    """Pictures for a sheet, with time, stage and numbers under each."""
    items = []
    for picture_id in picture_ids:
        entry = service.picture(picture_id)
        words = " ".join(filter(None, (taken_words(entry.picture), entry.stage, " ".join(entry.numbers))))
        items.append(SheetItem(picture_id, entry.picture.width_px, entry.picture.height_px, words))
    return items


class PicturesScreen(ArchiveScreen):
    ABOUT = "Pictures in order of time. Enter opens one."
    KEY_WORDS = {"arrows or h j k l": "choose a picture", "enter": "open it"}

    def __init__(self, title: str, picture_ids: Sequence[int]) -> None:
        super().__init__()
        self.sheet_title = title
        self.picture_ids = tuple(picture_ids)

    def body(self) -> ComposeResult:
        yield ContactSheet(self.opened, empty="No pictures here.")

    def where(self) -> str:
        return f"{self.sheet_title}: {count(len(self.picture_ids), 'picture')}"

    def hints(self) -> Sequence[Hint]:
        return [Hint("enter", "enter", "open"), Hint("escape", "esc", "back")]

    def reload(self) -> None:
        self.query_one(ContactSheet).set_items(sheet_items(self.service, self.picture_ids))

    def on_contact_sheet_opened(self, event: ContactSheet.Opened) -> None:
        self.archive_app.show_picture(event.item.picture_id, self.picture_ids)


SCREEN = ScreenEntry("", "Pictures", PicturesScreen, PicturesScreen.ABOUT)
