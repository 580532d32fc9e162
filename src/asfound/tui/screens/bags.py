"""Bags of fasteners: what each is for, where it lies, what went in and what came back."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions.bag_counts import count
from asfound.actions.bag_list import ListedBag, list_bags_by_label
from asfound.actions.bags import say_whose
from asfound.model.log import Bag
from asfound.tui.entry import ScreenEntry
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList


class BagsScreen(ListScreen):
    ABOUT = (
        "Every bag: what it is for, where it is, its counts. ! is short, □ is still to be counted back. "
        "c enters a count, e the tags it is for."
    )
    KEYS = (
        Key("enter", "", "the as-found picture of the first tag it is for", "as found|look"),
        Key("c", "count", "count what is in it now", "count it"),
        Key("e", "tags", "enter which tags it is for", "what it is for|for"),
        Key("f", "filter", "only bags not counted back, or short", "only open|open"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.only_open = False
        self.entries: list[ListedBag] = []

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
            empty="No bags here.\nA bag appears when a tag names it (w, field Bag),\n"
            "or when you log one: 17 off bag B4",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        return "Bags still to count" if self.only_open else "Bags"

    def words_of_key(self, key: Key) -> str | None:
        return "all bags|all" if key.action == "filter" and self.only_open else key.short

    def reload(self) -> None:
        self.entries = list_bags_by_label(self.archive, to_count=self.only_open)
        rows = []
        for entry in self.entries:
            bag = entry.bag
            counts = ("" if one is None else str(one) for one in (bag.count_out, bag.count_back))
            things = " ".join(entry.labels) or "nothing"
            rows.append(Row(bag.label, (mark(bag), bag.label, things, *counts, entry.words, bag.place)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> ListedBag | None:
        return self.chosen_of(self.entries, lambda entry: entry.bag.label)

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        groups = (f"{group.text}{_counts(group.count_out, group.count_back)}" for group in entry.bag.groups)
        detail = "; ".join(filter(None, (entry.bag.contents, *groups, entry.bag.note)))
        return f"Bag {entry.bag.label}: {detail or entry.words or 'contents not written down'}"

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
            self.ask(f"Pieces in bag {entry.bag.label} now", lambda words: self._counted(entry.bag, words))

    def _counted(self, bag: Bag, words: str) -> None:
        if not words.isdecimal():
            self.say(f'"{words}" is not a count; type how many pieces are in the bag.')
            return
        short = bag.count_out is not None and int(words) < bag.count_out
        told = f", {bag.count_out} went in" if short else ""
        said = f"Bag {bag.label}: {words} counted{told}. u takes it back."
        self.act(lambda: count(self.archive, bag.label, "back", words), said)

    def action_tags(self) -> None:
        entry = self.chosen
        if entry is None:
            return

        def answered(words: str) -> None:
            too = " too" if entry.things else ""
            said = f"Bag {entry.bag.label} is for {words}{too}. u takes it back."
            self.act(lambda: say_whose(self.archive, entry.bag.label, words), said)

        self.ask(f"Bag {entry.bag.label} is for the numbers", answered)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is None:
            return
        if entry.things:
            self.show_thing(entry.things[0].tag.tag_id)
        else:
            self.say("Nothing says which tags this bag is for; e enters them.")


def mark(bag: Bag) -> str:
    """What stands before a bag: whether its pieces are back, as far as they were counted out."""
    if bag.count_out is None:
        return ""
    if bag.count_back is None:
        return "□"
    return "!" if bag.count_back < bag.count_out else ""


def _counts(out: int | None, back: int | None) -> str:
    if out is None and back is None:
        return ""
    return f" ({'?' if out is None else out} out, {'?' if back is None else back} back)"


SCREEN = ScreenEntry("b", "Bags", BagsScreen, BagsScreen.ABOUT, more_keys=("B", "f3"))
