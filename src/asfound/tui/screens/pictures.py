"""A sheet of pictures: a day, or any other handful."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPicture
from asfound.tui.sheets import in_front, sheet_items
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import count


class PicturesScreen(ArchiveScreen):
    ABOUT = "Pictures in order of time. Enter opens one."
    KEY_WORDS = {
        "arrows or h j k l": "choose a picture",
        "enter": "open it",
        "b": "show, or fold again, the look-alikes behind others",
    }
    BINDINGS = [Binding("b", "behind", "look-alikes behind", show=False)]

    def __init__(self, title: str, picture_ids: Sequence[int]) -> None:
        super().__init__()
        self.sheet_title = title
        self.picture_ids = tuple(picture_ids)
        self.all_shown = False

    def body(self) -> ComposeResult:
        yield ContactSheet(self.opened, empty="No pictures here.")

    def where(self) -> str:
        return f"{self.sheet_title}: {self.many_words()}"

    def many_words(self) -> str:
        """How many pictures there are, and how many of them are behind others."""
        hidden = len(self.picture_ids) - len(self.shown_ids())
        return count(len(self.picture_ids), "picture") + (f", {hidden} behind others" if hidden else "")

    def shown_ids(self) -> tuple[int, ...]:
        """The pictures on the sheet."""
        return self.picture_ids if self.all_shown else in_front(self.archive, self.picture_ids)

    def hints(self) -> Sequence[Hint]:
        return [Hint("enter", "enter", "open"), *self.behind_hint(), Hint("escape", "esc", "back")]

    def behind_hint(self) -> list[Hint]:
        """The key for look-alikes, where there are any."""
        if len(in_front(self.archive, self.picture_ids)) == len(self.picture_ids):
            return []
        return [Hint("b", "b", "fold again" if self.all_shown else "look-alikes")]

    def action_behind(self) -> None:
        if not self.behind_hint():
            self.say("No look-alikes are behind these pictures.")
            return
        self.all_shown = not self.all_shown
        self.reload()
        self.refresh_lines()

    def reload(self) -> None:
        self.query_one(ContactSheet).set_items(sheet_items(self.archive, self.shown_ids()))

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        self.post_message(ShowPicture(event.item.picture_id, self.shown_ids()))


SCREEN = ScreenEntry("", "Pictures", PicturesScreen, PicturesScreen.ABOUT)
