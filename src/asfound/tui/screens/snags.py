"""Snags: everything broken, stuck, missing, to buy, to decide or to clean, on one list."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions import snags
from asfound.actions.known import known_tags
from asfound.actions.snag_list import ListedSnag, list_ties
from asfound.actions.snags import SnagTies
from asfound.actions.tag_card import read_cards
from asfound.actions.to_buy import list_to_buy, note_purchase
from asfound.core.log.to_buy import BuyItem
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoTo, ShowPicture
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, day_words

OPEN, TO_BUY, ALL = "open", "to buy", "all"
FILTERS = (OPEN, TO_BUY, ALL)
FILTER_KEY = {OPEN: "only open", TO_BUY: "only to buy", ALL: "all"}
TITLES = {OPEN: "Open snags", TO_BUY: "To buy", ALL: "Every snag"}


class SnagsScreen(ListScreen):
    ABOUT = (
        "What is broken, stuck, missing, to buy, decide or clean. Each has its tag, bag or place. f switches between "
        "open, to buy and all; to buy has parts to replace and your own lines too."
    )
    KEYS = (
        Key("enter", "", "the picture, tag or bag it belongs to", "go to it|go"),
        Key("a", "add", "a new snag; begin with a number to link it to that tag", "new"),
        Key("x", "close", "close it: asks how it was settled; on a closed one: open it again", "close it|close"),
        Key("c", "buy", "enter what to buy for it, that it is ordered, or bought", "buy"),
        Key("f", "filter", "show the open ones, what to buy, or all", "only to buy"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.filter = OPEN
        self.entries: list[ListedSnag] = []
        self.others: list[tuple[BuyItem, str]] = []
        """What is to be bought and no snag asks for, with the words for it; listed among what is to be bought."""

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
            empty="No snags here.\nPress a and type what is wrong: 17 clamp rusted through.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        still = sum(entry.snag.is_open for entry in self.entries)
        return f"{TITLES[self.filter]}: {still} open of {count(len(self.entries), 'snag')}" if self.entries else "Snags"

    def words_of_key(self, key: Key) -> str | None:
        return (
            FILTER_KEY[FILTERS[(FILTERS.index(self.filter) + 1) % len(FILTERS)]]
            if key.action == "filter"
            else key.short
        )

    def reload(self) -> None:
        self.entries = list_ties(self.archive)
        rows = []
        for entry in self.entries:
            snag = entry.snag
            if (self.filter == OPEN and not snag.is_open) or (self.filter == TO_BUY and not entry.to_buy):
                continue
            cells = (
                "□" if snag.is_open else "✓",
                snag.label,
                entry.tie,
                snag.what,
                buy_words(entry),
                found_words(entry),
            )
            rows.append(Row(snag.label, cells))
        if self.filter == TO_BUY:
            self.others = [one for one in list_to_buy(self.archive) if one[0].snag is None]
            cards = read_cards(self.archive)
            for item, words in self.others:
                card = cards.get(item.tag_id or 0)
                cells = ("□", "", card.label if card else "", words, item.state, "")
                rows.append(Row(words, cells))
        self.list_rows.set_rows(rows)

    def show_all(self) -> None:
        self.filter = ALL
        self.reload()

    @property
    def chosen(self) -> ListedSnag | None:
        return self.chosen_of(self.entries, lambda entry: entry.snag.label)

    @property
    def chosen_item(self) -> BuyItem | None:
        """What is to be bought, where the row is of no snag."""
        found = self.chosen_of(self.others, lambda one: one[1]) if self.filter == TO_BUY else None
        return found[0] if found is not None else None

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen, item = self.chosen, self.chosen_item
        if item is not None and item.tag_id is not None:
            return item.tag_id, ""
        return (chosen.card.tag.tag_id, "") if chosen is not None and chosen.card is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            found = self.chosen_of(self.others, lambda one: one[1]) if self.filter == TO_BUY else None
            return f"{found[0].state}: {found[1]}" if found is not None else ""
        snag = entry.snag
        buy = f" To buy: {buy_words(entry)}." if buy_words(entry) else ""
        dealt = ", ".join(filter(None, (snag.closed_how, snag.closed_at[:10])))
        closed = "" if snag.is_open else f" Closed: {dealt}."
        tie = f" ({entry.tie})" if entry.tie else ""
        return f"Snag {snag.label}{tie}, found {found_words(entry)}: {snag.what}.{buy}{closed}"

    def action_filter(self) -> None:
        self.filter = FILTERS[(FILTERS.index(self.filter) + 1) % len(FILTERS)]
        self.reload()
        self.refresh_lines()

    def action_add(self) -> None:
        def answered(words: str) -> None:
            made = self.attempt(lambda: snags.write_snag(self.archive, words))
            if made is not None:
                self.changed(f"Snag {made.label}: {words}. u takes it back.")
                self.list_rows.choose_key(made.label)

        self.ask("What is wrong (number first)", answered)

    def action_close(self) -> None:
        entry = self.chosen
        if entry is None:
            return
        snag = entry.snag
        if not snag.is_open:
            words = f"Snag {snag.label} is open again. u takes it back."
            self.act(lambda: snags.reopen_snag(self.archive, snag), words)
            return

        def answered(how: str) -> None:
            words = f"Snag {snag.label} is closed: {how}. u takes it back."
            self.act(lambda: snags.close_snag(self.archive, snag, how), words)

        self.ask(f"Snag {snag.label}, how was it settled", answered, words="done")

    def action_buy(self) -> None:
        entry, item = self.chosen, self.chosen_item
        if item is not None:
            self._buy_item(item)
        if entry is None:
            return
        snag, wanted = entry.snag, buy_words(entry)
        if wanted:
            words = f"Bought: {wanted}. The snag stays open. u takes it back."
            self.act(lambda: snags.mark_bought(self.archive, snag), words)
            return

        def answered(what: str) -> None:
            words = f"To buy for snag {snag.label}: {what}. u takes it back."
            self.act(lambda: snags.tie_snag(self.archive, snag, SnagTies(buy=what)), words)

        self.ask(f"Snag {snag.label}, what to buy", answered)

    def _buy_item(self, item: BuyItem) -> None:
        """What was to order is ordered today; what was ordered is here."""
        about = known_tags(self.archive)[item.tag_id] if item.tag_id is not None else item.what
        today = f"{self.archive.now():%Y-%m-%d}"
        said = {"arrived_on": today} if item.state == "ordered" else {"ordered_on": today}
        became = "is here" if item.state == "ordered" else "is ordered"
        words = f"{item.what or 'The part'} {became}, {today}. u takes it back."
        self.act(lambda: note_purchase(self.archive, about, **said), words)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry, item = self.chosen, self.chosen_item
        if item is not None and item.tag_id is not None:
            self.show_thing(item.tag_id)
        if entry is None:
            return
        if entry.picture is not None:
            self.post_message(ShowPicture(entry.picture.picture_id))
        elif entry.card is not None:
            self.show_thing(entry.card.tag.tag_id)
        elif entry.bag is not None:
            self.post_message(GoTo("bags", row=entry.bag.label))
        else:
            place = f"to a place only, {entry.tie}" if entry.tie else "to nothing"
            self.say(f"This snag is linked {place}. Begin a new one with a number to link it to that tag.")


def buy_words(entry: ListedSnag) -> str:
    """What was asked to be bought and was not yet, also for a snag that is closed."""
    return "" if entry.snag.bought_at else entry.snag.buy


def found_words(entry: ListedSnag) -> str:
    """The day on which it was found."""
    return day_words(entry.snag.found_at.date())


SCREEN = ScreenEntry("p", "Snags", SnagsScreen, SnagsScreen.ABOUT, more_keys=("f8",))
