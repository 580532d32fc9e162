"""Every tag in a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.service import TagEntry
from asfound.tui.widgets.key_line import Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import split_number


class TagsScreen(ArchiveScreen):
    ABOUT = "Every tag. Enter shows how it was. f leaves only the ones that lack a picture."
    KEY_WORDS = {
        "enter": "the as-found picture",
        "f": "only tags without a picture, and back",
        "a": "a new tag",
        "o": "it came off now",
        "r": "it is back on",
    }
    BINDINGS = [
        Binding("f", "filter", "no picture", show=False),
        Binding("a", "add", "new tag", show=False),
        Binding("o", "off", "came off", show=False),
        Binding("r", "refitted", "back on", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.only_without = False

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("Tag", 6),
                Column("Part", 16, share=3),
                Column("End A", 10, share=2, from_width=96),
                Column("End B", 10, share=2, from_width=96),
                Column("Picture", 12),
                Column("Now", 9),
                Column("Bag", 6, from_width=70),
            ],
            empty="No tags yet.\nPress a for a new one, or open a picture, type the number and press space.",
        )

    def where(self) -> str:
        return "Tags without a picture" if self.only_without else "Tags"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("enter", "enter", "picture"),
            Hint("f", "f", "all tags" if self.only_without else "no picture"),
            Hint("o", "o", "came off"),
            Hint("r", "r", "back on"),
            Hint("a", "a", "new tag"),
        ]

    def reload(self) -> None:
        rows = []
        for entry in self.service.tags():
            if self.only_without and not entry.ends_without_picture:
                continue
            places = [end.place for end in entry.ends] + ["", ""]
            cells = (
                entry.tag.number,
                entry.tag.name or entry.tag.kind,
                places[0],
                places[1],
                picture_words(entry),
                {"": "in place", "off": "off", "refitted": "back on"}[entry.state],
                entry.tag.bag,
            )
            rows.append(Row(entry.tag.tag_id, cells))
        self.query_one(RowList).set_rows(rows)

    @property
    def chosen(self) -> TagEntry | None:
        row = self.query_one(RowList).chosen
        return next((entry for entry in self.service.tags() if row and entry.tag.tag_id == row.key), None)

    def action_filter(self) -> None:
        self.only_without = not self.only_without
        self.reload()
        self.refresh_lines()
        if self.only_without and not self.query_one(RowList).rows:
            self.say("Every tag end has a picture. f shows all tags again.")

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        chosen = self.chosen
        if chosen is not None:
            found = [entry for entry in self.service.find(chosen.tag.number) if entry.tag.tag_id == chosen.tag.tag_id]
            with_picture = [entry for entry in found if entry.as_found is not None]
            self.show_found(chosen.tag.number, next(iter(with_picture or found), None))

    def action_add(self) -> None:
        self.ask("New tag: number, then name", self._add)

    def _add(self, words: str) -> None:
        number, _, name = words.partition(" ")
        number = split_number(number)[0]
        tag = self.attempt(lambda: self.service.add_tag(number, name.strip()))
        if tag is not None:
            self.changed(f"Tag {tag.number} is new. u takes it back.")

    def action_off(self) -> None:
        self._mark(lambda entry: self.service.mark_off(entry.tag.tag_id), "came off")

    def action_refitted(self) -> None:
        self._mark(lambda entry: self.service.mark_refitted(entry.tag.tag_id), "is back on, by hand")

    def _mark(self, mark: Callable[[TagEntry], None], words: str) -> None:
        entry = self.chosen
        if entry is not None:
            self.act(lambda: mark(entry), f"{entry.tag.number} {entry.tag.name} {words}. u takes it back.")


def picture_words(entry: TagEntry) -> str:
    """Whether a tag's ends have pictures."""
    if not entry.pictures:
        return "none"
    if entry.ends_without_picture:
        return f"{entry.pictures}, not {' '.join(entry.ends_without_picture)}"
    return str(entry.pictures)


SCREEN = ScreenEntry("t", "Tags", TagsScreen, TagsScreen.ABOUT)
