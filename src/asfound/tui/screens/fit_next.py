"""What to fit next: what is free now, and what still waits for what."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.cards import card_line
from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.records import FitEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count


class FitNextScreen(ListScreen):
    ABOUT = (
        "The way back, in order. ● is free to fit now, ○ waits for what stands beside it, ! is on and was not called "
        "right when it was looked over. The order is a draft: last "
        "off, first on, then your own rules. The machine's service manual comes before it."
    )
    KEY_WORDS = {
        "enter": "how it was; on a hold: what is open at it",
        "'": "look over a thing that is on: how it is now beside how it was",
        "x or r": "it is on, by hand; goes on to the next",
        "c or X": "it is on and tight",
        "f": "only what is free now, and back",
        "o": "the printed book, in the system's viewer; asks where to print it while there is none",
        "P": "print the book anew: all of it on paper, as a PDF",
        "u": "takes the last step back",
        **NARROW,
    }
    BINDINGS = [
        Binding("x,r", "on('by hand')", "on, by hand", show=False),
        Binding("c,X", "on('tight')", "on and tight", show=False),
        Binding("o", "app.open_book", "open the book", show=False),
        Binding("P", "app.print_book", "print the book", show=False),
        Binding("f", "filter", "free now", show=False),
    ]
    DETAIL_ROWS = 6

    def __init__(self) -> None:
        super().__init__()
        self.only_free = False
        self.entries: list[FitEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("", 1),
                Column("Tag", 6),
                Column("Part", 16, share=3),
                Column("Bag", 6, from_width=70),
                Column("Waits for", 10, share=2),
            ],
            empty="Nothing is written down as off, so nothing waits to be fitted.\n"
            "Press t for the tags; o there writes down that one came off.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        steps = [entry for entry in self.entries if not entry.said]
        free = sum(not entry.waits_for for entry in steps)
        again = len(self.entries) - len(steps)
        told = f", {again} to look at again" if again else ""
        return f"Fit next: {count(free, 'step')} free now of {len(steps)}{told}" if self.entries else "Fit next"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("enter", "enter", "how it was", "look"),
            Hint("x", "x", "on, by hand"),
            Hint("c", "c", "tight"),
            Hint("f", "f", "all" if self.only_free else "free now"),
            Hint("slash", "/", "narrow"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.entries = self.service.fit_steps()
        rows = []
        for entry in self.entries:
            if self.only_free and entry.waits_for:
                continue
            after = entry.said or entry.waits_for or (f"by hand so far: {entry.loose}" if entry.loose else "")
            mark = "!" if entry.said else "○" if entry.waits_for else "●"
            rows.append(Row(key_of(entry), (mark, entry.label, entry.words, entry.bag, after)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> FitEntry | None:
        return self.chosen_of(self.entries, key_of)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.tag_id, "") if chosen is not None and chosen.tag_id is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        if entry.tag_id is None:
            return f"{entry.words}. enter shows what the record says is open at it."
        waits = entry.said or (f"waits for {entry.waits_for}" if entry.waits_for else "free to fit now")
        cautions = " ".join(self.service.card(entry.tag_id).cautions)
        return f"{entry.label}: {waits} · {card_line(self.service, entry.tag_id, '')}\n{cautions}".strip()

    def action_filter(self) -> None:
        self.only_free = not self.only_free
        self.reload()
        self.refresh_lines()

    def action_on(self, how: str) -> None:
        entry = self.chosen
        if entry is None or entry.tag_id is None:
            self.say("Enter shows what is open at this hold." if entry else "Nothing waits to be fitted.")
            return
        tag_id, place = entry.tag_id, self.list_rows.index
        waits = f" It was to wait for {entry.waits_for}." if entry.waits_for else ""
        if self.act(
            lambda: self.service.mark_refitted(tag_id, how), f"{entry.label} is on, {how}.{waits} u takes it back."
        ):
            self.list_rows.choose(min(place, len(self.list_rows.rows) - 1))

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is not None and entry.tag_id is not None:
            self.show_thing(entry.tag_id)
        elif entry is not None:
            self.archive_app.go("hold", row=entry.hold)


def key_of(entry: FitEntry) -> tuple[object, ...]:
    """What makes a row the same one after the list was read anew."""
    return entry.hold, entry.tag_id, entry.said


SCREEN = ScreenEntry("n", "Fit next", FitNextScreen, FitNextScreen.ABOUT, more_keys=("F", "f5"))
