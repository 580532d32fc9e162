"""A sheet of pictures: a day, or any other handful."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPicture
from asfound.tui.keys import Key
from asfound.tui.sheets import in_front, sheet_items
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.words import count


class PicturesScreen(ArchiveScreen):
    ABOUT = "Pictures in order of time. Enter opens one."
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key("h,j,k,l", "", "choose a picture", shown="arrows or h j k l"),
        Key("enter", "", "open it", "open"),
        Key("b", "behind", "show or hide the look-alikes behind others", "look-alikes"),
    )

    def __init__(self, title: str, picture_ids: Sequence[int]) -> None:
        super().__init__()
        self.sheet_title = title
        self.picture_ids = tuple(picture_ids)
        self.all_shown = False

    def body(self) -> ComposeResult:
        yield ContactSheet(self.session.opened, empty="No pictures here.")

    def where(self) -> str:
        return f"{self.sheet_title}: {self.many_words()}"

    def many_words(self) -> str:
        """How many pictures there are, and how many of them are behind others."""
        hidden = len(self.picture_ids) - len(self.shown_ids())
        return count(len(self.picture_ids), "picture") + (f", {hidden} behind others" if hidden else "")

    def shown_ids(self) -> tuple[int, ...]:
        """The pictures on the sheet."""
        return self.picture_ids if self.all_shown else in_front(self.archive, self.picture_ids)

    def words_of_key(self, key: Key) -> str | None:
        if key.action == "behind":
            return ("fold again" if self.all_shown else key.short) if self.has_look_alikes else None
        return key.short

    @property
    def has_look_alikes(self) -> bool:
        """Whether some of the pictures are behind others."""
        return len(in_front(self.archive, self.picture_ids)) < len(self.picture_ids)

    def action_behind(self) -> None:
        if not self.has_look_alikes:
            self.say("These pictures hide no look-alikes.")
            return
        self.all_shown = not self.all_shown
        self.reload()
        self.refresh_lines()

    def reload(self) -> None:
        self.query_one(ContactSheet).set_items(sheet_items(self.archive, self.shown_ids()))

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        self.post_message(ShowPicture(event.item.picture_id, self.shown_ids()))


SCREEN = ScreenEntry("", "Pictures", PicturesScreen, PicturesScreen.ABOUT)
