"""Every tag in a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult

from asfound.actions import log
from asfound.actions.tag_list import ListedTag, list_tags_by_number
from asfound.model.tags import Tag
from asfound.tui.cards import card_line
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoTo, WriteTag
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.value_line import VALUE, ask_value
from asfound.tui.widgets.rows import Column, Row, RowList

ALL, NO_PICTURE, ONE_END = "Tags", "Tags without a picture", "Tags with a picture of one end only"
FILTERS = (ALL, NO_PICTURE, ONE_END)
FILTER_KEY = {ALL: "no picture", NO_PICTURE: "one end", ONE_END: "all tags"}
STATES = {"": "in place", "off": "off", "refitted": "back on"}


class TagsScreen(ListScreen):
    ABOUT = "Every tag. Enter shows how it was. f shows those without a picture, then those with only one end pictured."
    KEYS = (
        Key("enter", "", "the as-found picture", "picture"),
        Key("o", "off", "it came off now", "off now"),
        Key("e", "edit", "edit every field of this tag", "edit"),
        Key("f", "filter", "only tags without a picture; only tags with one end; all again", "no picture"),
        Key("r", "refitted('by hand')", "it is back on, by hand", "back on"),
        Key("c", "refitted('tight')", "it is back on and tight", "tight"),
        Key("a", "add", "write down a new tag", "new tag"),
        VALUE,
        NARROW,
        UNDO,
    )

    DETAIL_ROWS = 2

    def __init__(self) -> None:
        super().__init__()
        self.filter = ALL

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("Tag", 6),
                Column("Part", 16, share=3),
                Column("End A", 10, share=2, from_width=96),
                Column("End B", 10, share=2, from_width=96),
                Column("Pictures", 12),
                Column("Now", 9),
                Column("Bag", 6, from_width=70),
            ],
            empty="No tags here.\nPress a to write one down, or open a picture, type the number and press space.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        return self.filter

    def words_of_key(self, key: Key) -> str | None:
        if key.action == "app.undo":
            return None
        return FILTER_KEY[self.filter] if key.action == "filter" else key.short

    def foot_keys(self) -> Sequence[Key]:
        """Where only six have room, the ones that come next in the life of the chosen thing go first."""
        picture, off, write, lacking, on, tight, *more = self.KEYS
        by_state = {"": [off, write, lacking, on, tight], "off": [on, tight, lacking, write, off]}
        state = self.chosen.state if self.chosen is not None else ""
        return [picture, *by_state.get(state, [tight, write, lacking, on, off]), *more]

    def reload(self) -> None:
        entries = [entry for entry in list_tags_by_number(self.archive) if self._passes(entry)]
        self.list_rows.set_rows([self._row(entry) for entry in entries])

    def _passes(self, entry: ListedTag) -> bool:
        if self.filter == NO_PICTURE:
            return not entry.pictures
        return self.filter == ALL or bool(entry.pictures and entry.ends_without_picture)

    def _row(self, entry: ListedTag) -> Row:
        places = [end.place for end in entry.ends] + ["", ""]
        cells = (
            entry.card.label,
            entry.card.called,
            places[0],
            places[1],
            picture_words(entry),
            STATES[entry.state],
            entry.tag.bag,
        )
        return Row(entry.tag.tag_id, cells)

    @property
    def chosen(self) -> ListedTag | None:
        row = self.list_rows.chosen
        return next((entry for entry in list_tags_by_number(self.archive) if row and entry.tag.tag_id == row.key), None)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.tag.tag_id, "") if chosen is not None else None

    def detail(self) -> str:
        chosen = self.chosen
        if chosen is None:
            return ""
        more = card_line(self.archive, chosen.tag.tag_id, "")
        return " · ".join(filter(None, (f"{chosen.card.label} {chosen.card.called}".strip(), more)))

    def show_all(self) -> None:
        self.filter = ALL
        self.reload()

    def action_filter(self) -> None:
        self.filter = FILTERS[(FILTERS.index(self.filter) + 1) % len(FILTERS)]
        self.reload()
        self.refresh_lines()
        if not self.list_rows.rows and not self.list_rows.narrowed_to:
            self.say("Every tag has a picture." if self.filter == NO_PICTURE else "No tag has only one end pictured.")

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        chosen = self.chosen
        if chosen is not None:
            self.show_thing(chosen.tag.tag_id)

    def action_add(self) -> None:
        self.post_message(GoTo("tag_entry"))

    def action_edit(self) -> None:
        chosen = self.chosen
        if chosen is not None:
            self.post_message(WriteTag(chosen.tag.tag_id))

    def action_value(self) -> None:
        chosen = self.chosen
        if chosen is not None:
            ask_value(self, chosen.tag, chosen.card.label)

    def action_off(self) -> None:
        self._mark(lambda tag: log.mark_off(self.archive, tag), "came off")

    def action_refitted(self, how: str) -> None:
        self._mark(lambda tag: log.mark_refitted(self.archive, tag, how=how), f"is back on, {how}")

    def _mark(self, mark: Callable[[Tag], object], words: str) -> None:
        entry = self.chosen
        if entry is not None:
            self.act(lambda: mark(entry.tag), f"{entry.tag.number} {entry.tag.name} {words}. u takes it back.")


def picture_words(entry: ListedTag) -> str:
    """Whether a tag's ends have pictures."""
    if not entry.pictures:
        return "none"
    if entry.ends_without_picture:
        return f"{entry.pictures}, not {' '.join(entry.ends_without_picture)}"
    return str(entry.pictures)


SCREEN = ScreenEntry("t", "Tags", TagsScreen, TagsScreen.ABOUT)
