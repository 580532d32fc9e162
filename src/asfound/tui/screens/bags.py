"""Bags of fasteners: what each is for, where it lies, what went in and what came back."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.records import BagEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList


class BagsScreen(ListScreen):
    ABOUT = (
        "Every bag, what it is for and where, counts out and back. ! came back short, □ is still to be counted back. "
        "c writes down a count, e whose fasteners are in it."
    )
    KEY_WORDS = {
        "enter": "how the first thing it is for was",
        "e": "say which tags it is for",
        "c": "count what is in it now",
        "f": "only bags still to be counted back, or that came back short",
        "u": "takes the last step back",
        **NARROW,
    }
    BINDINGS = [
        Binding("c", "count", "count", show=False),
        Binding("e", "tags", "say which tags it is for", show=False),
        Binding("f", "filter", "to count", show=False),
    ]
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.only_open = False
        self.entries: list[BagEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("", 1),
                Column("Bag", 6),
                Column("For", 8, share=1),
                Column("Out", 4),
                Column("Back", 4),
                Column("What", 10, share=3),
                Column("Place", 8, share=2, from_width=70),
            ],
            empty="No bags here.\nA bag appears when it is written of a tag (w, in the field Bag),\n"
            "or when something comes off into it: asfound off 17 --bag B4",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        return "Bags still to count" if self.only_open else "Bags"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("enter", "enter", "its thing", "thing"),
            Hint("c", "c", "count it"),
            Hint("e", "e", "what it is for", "for"),
            Hint("f", "f", "all bags" if self.only_open else "only open", "all" if self.only_open else "open"),
            Hint("slash", "/", "narrow"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.entries = self.service.bags()
        rows = []
        for entry in self.entries:
            if self.only_open and entry.count_back is not None and entry.count_back == entry.count_out:
                continue
            counts = ("" if one is None else str(one) for one in (entry.count_out, entry.count_back))
            things = " ".join(entry.labels_of_tags) or "nothing"
            rows.append(Row(entry.label, (mark(entry), entry.label, things, *counts, entry.words, entry.place)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> BagEntry | None:
        return self.chosen_of(self.entries, lambda entry: entry.label)

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        return f"Bag {entry.label}: {entry.detail or entry.words or 'nothing is written of what is in it'}"

    def show_all(self) -> None:
        self.only_open = False
        self.reload()

    def action_filter(self) -> None:
        self.only_open = not self.only_open
        self.reload()
        self.refresh_lines()

    def action_count(self) -> None:
        entry = self.chosen
        if entry is not None:
            self.ask(f"Pieces in bag {entry.label} now", lambda words: self._counted(entry, words))

    def _counted(self, entry: BagEntry, words: str) -> None:
        if not words.isdecimal():
            self.say(f'"{words}" is not a count; type how many pieces are in the bag.')
            return
        short = entry.count_out is not None and int(words) < entry.count_out
        told = f", {entry.count_out} went in" if short else ""
        said = f"Bag {entry.label}: {words} counted{told}. u takes it back."
        self.act(lambda: self.service.count_back(entry.label, int(words)), said)

    def action_tags(self) -> None:
        entry = self.chosen
        if entry is None:
            return

        def answered(words: str) -> None:
            too = " too" if entry.labels_of_tags else ""
            said = f"Bag {entry.label} is for {words}{too}. u takes it back."
            self.act(lambda: self.service.bag_is_for(entry.label, words), said)

        self.ask(f"Bag {entry.label} is for the numbers", answered)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is None:
            return
        if entry.tag_ids:
            self.show_thing(entry.tag_ids[0])
        else:
            self.say("Nobody has said what this bag is for; e says which tags.")


def mark(entry: BagEntry) -> str:
    """What stands before a bag: whether its pieces are back, as far as they were counted out."""
    if entry.count_out is None:
        return ""
    if entry.count_back is None:
        return "□"
    return "!" if entry.count_back < entry.count_out else ""


SCREEN = ScreenEntry("b", "Bags", BagsScreen, BagsScreen.ABOUT, more_keys=("B", "f3"))
