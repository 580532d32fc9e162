"""Snags: everything broken, stuck, missing, to buy, to decide or to clean, on one list."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.records import SnagEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count

OPEN, TO_BUY, ALL = "open", "to buy", "all"
FILTERS = (OPEN, TO_BUY, ALL)
FILTER_KEY = {OPEN: "only open", TO_BUY: "only to buy", ALL: "all"}
TITLES = {OPEN: "Open snags", TO_BUY: "To buy", ALL: "Every snag"}


class SnagsScreen(ListScreen):
    ABOUT = (
        "What is broken, stuck, missing, to buy, decide or clean. Each is tied to a tag, a bag "
        "or a place. f goes from what is open to what is to be bought, and to all."
    )
    KEY_WORDS = {
        "enter": "the picture, the tag or the bag it is tied to",
        "a": "a new snag; a number at the beginning ties it to that tag",
        "x": "it is dealt with: asks how; on one that is closed: open again",
        "c": "what to buy for it; where that is said: it was bought",
        "f": "only open ones, only what is to buy, all",
        "u": "takes the last step back",
        **NARROW,
    }
    BINDINGS = [
        Binding("a", "add", "new snag", show=False),
        Binding("x", "close", "dealt with", show=False),
        Binding("c", "buy", "to buy", show=False),
        Binding("f", "filter", "open, to buy, all", show=False),
    ]
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.filter = OPEN
        self.entries: list[SnagEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("", 1),
                Column("Snag", 5),
                Column("Of", 8, share=1),
                Column("What", 16, share=3),
                Column("To buy", 8, share=1, from_width=70),
                Column("Found", 15, from_width=100),
            ],
            empty="No snags here.\nPress a and say what is the matter: 17 clamp rusted through.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        still = sum(not entry.closed for entry in self.entries)
        return f"{TITLES[self.filter]}: {still} open of {count(len(self.entries), 'snag')}" if self.entries else "Snags"

    def hints(self) -> Sequence[Hint]:
        following = FILTERS[(FILTERS.index(self.filter) + 1) % len(FILTERS)]
        return [
            Hint("enter", "enter", "go to it", "go"),
            Hint("a", "a", "new"),
            Hint("x", "x", "dealt with", "done"),
            Hint("c", "c", "buy"),
            Hint("f", "f", FILTER_KEY[following]),
            Hint("slash", "/", "narrow"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.entries = self.service.snags()
        rows = []
        for entry in self.entries:
            if (self.filter == OPEN and entry.closed) or (self.filter == TO_BUY and (entry.closed or not entry.buy)):
                continue
            mark = "✓" if entry.closed else "□"
            rows.append(Row(entry.label, (mark, entry.label, entry.tie, entry.what, entry.buy, entry.found)))
        self.list_rows.set_rows(rows)

    def show_all(self) -> None:
        self.filter = ALL
        self.reload()

    @property
    def chosen(self) -> SnagEntry | None:
        return self.chosen_of(self.entries, lambda entry: entry.label)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.tag_id, "") if chosen is not None and chosen.tag_id is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        buy = f" To buy: {entry.buy}." if entry.buy else ""
        closed = f" Closed: {entry.closed}." if entry.closed else ""
        tie = f" ({entry.tie})" if entry.tie else ""
        return f"Snag {entry.label}{tie}, found {entry.found}: {entry.what}.{buy}{closed}"

    def action_filter(self) -> None:
        self.filter = FILTERS[(FILTERS.index(self.filter) + 1) % len(FILTERS)]
        self.reload()
        self.refresh_lines()

    def action_add(self) -> None:
        def answered(words: str) -> None:
            label = self.attempt(lambda: self.service.add_snag(words))
            if label is not None:
                self.changed(f"Snag {label}: {words}. u takes it back.")
                self.list_rows.choose_key(label)

        self.ask("What is the matter (number first)", answered)

    def action_close(self) -> None:
        entry = self.chosen
        if entry is None:
            return
        if entry.closed:
            words = f"Snag {entry.label} is open again. u takes it back."
            self.act(lambda: self.service.close_snag(entry.label, ""), words)
            return

        def answered(how: str) -> None:
            words = f"Snag {entry.label} is closed: {how}. u takes it back."
            self.act(lambda: self.service.close_snag(entry.label, how), words)

        self.ask(f"Snag {entry.label}, how was it dealt with", answered, words="done")

    def action_buy(self) -> None:
        entry = self.chosen
        if entry is None:
            return
        if entry.buy:
            words = f"Bought: {entry.buy}. The snag stays open. u takes it back."
            self.act(lambda: self.service.buy_for_snag(entry.label, ""), words)
            return

        def answered(what: str) -> None:
            words = f"To buy for snag {entry.label}: {what}. u takes it back."
            self.act(lambda: self.service.buy_for_snag(entry.label, what), words)

        self.ask(f"Snag {entry.label}, what to buy", answered)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is None:
            return
        if entry.picture_id is not None:
            self.archive_app.show_picture(entry.picture_id)
        elif entry.tag_id is not None:
            self.show_thing(entry.tag_id)
        elif entry.bag:
            self.archive_app.go("bags", row=entry.bag)
        else:
            place = f"to a place only, {entry.tie}" if entry.tie else "to nothing"
            self.say(f"This snag is tied {place}. A new one that begins with a number is tied to that tag.")


SCREEN = ScreenEntry("p", "Snags", SnagsScreen, SnagsScreen.ABOUT, more_keys=("f8",))
