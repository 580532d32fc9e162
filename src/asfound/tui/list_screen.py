"""A screen that is a list: `/` narrows it, and the whole of the chosen row can be read below it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar, TypeVar

from textual.app import ComposeResult
from textual.widgets import Static

from asfound.actions.ends import ends_of
from asfound.model.tags import EndLetter
from asfound.tui.base import ArchiveScreen
from asfound.tui.widgets.filter_line import FilterLine
from asfound.tui.widgets.rows import RowList

T = TypeVar("T")


class ListScreen(ArchiveScreen):
    """A screen over one list. A subclass names what it is in `name_of_list` and may tell more of a row in `detail`."""

    DETAIL_ROWS: ClassVar[int] = 0
    """Rows below the list in which `detail` is shown."""

    DEFAULT_CSS = """
    ListScreen > #detail { padding: 0 1; background: $panel-darken-1; color: $text; height: auto; display: none; }
    """

    def compose(self) -> ComposeResult:
        yield from super().compose()
        yield FilterLine()

    def detail_line(self) -> Static:
        """The widget for `detail`; put it below the list in `body`."""
        detail = Static(id="detail", markup=False)
        detail.styles.max_height = self.DETAIL_ROWS
        detail.display = self.DETAIL_ROWS > 0
        return detail

    def name_of_list(self) -> str:
        """What the list shows, for the top line."""
        return self.TITLE

    def detail(self) -> str:
        """More of the chosen row."""
        return ""

    def show_thing(self, tag_id: int, end: EndLetter | None = None) -> None:
        """How exactly this thing was: the end that is named, else the one that has a picture."""
        found = [one for one in ends_of(self.archive, tag_id) if end in (None, one.end.end)]
        # Of both ends, the one that has a picture shows where the other is to be looked for.
        with_picture = [one for one in found if one.pins]
        self.show_found("", next(iter(with_picture or found), None))

    @property
    def list_rows(self) -> RowList:
        return self.query_one(RowList)

    def chosen_of(self, entries: Iterable[T], key_of: Callable[[T], object]) -> T | None:
        """The entry that the chosen row stands for."""
        row = self.list_rows.chosen
        return next((entry for entry in entries if row is not None and key_of(entry) == row.key), None)

    def coming_back(self) -> Callable[[], object]:
        """What comes back is chosen: a second key is meant for it, not for the row that had moved up meanwhile."""
        before = {row.key for row in self.list_rows.rows}
        return lambda: self.list_rows.choose_key(
            next((row.key for row in self.list_rows.rows if row.key not in before), None)
        )

    def where(self) -> str:
        words = self.list_rows.narrowed_to
        return self.name_of_list() + (f' with "{words}"' if words else "")

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        wanted, self.session.wanted_row = self.session.wanted_row, None
        if wanted is not None:
            self.show_all()
            self.list_rows.narrow("")
            self.list_rows.choose_key(wanted)
            self.say(self.session.wanted_words)

    def show_all(self) -> None:
        """Leave out nothing any more; a screen with filters takes them away here."""

    def on_row_list_moved(self, event: RowList.Moved) -> None:
        if self.DETAIL_ROWS:
            self.query_one("#detail", Static).update(self.detail())
        self.refresh_lines()

    def action_find_words(self) -> None:
        self.query_one(FilterLine).open(self.list_rows)

    def action_back(self) -> None:
        if self.list_rows.narrowed_to:
            self.list_rows.narrow("")
            self.refresh_lines()
        else:
            super().action_back()
