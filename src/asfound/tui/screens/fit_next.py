"""What to fit next: what is free now, and what still waits for what."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from asfound.actions.fit_list import ListedStep, list_fit_steps
from asfound.actions.log import mark_refitted
from asfound.core.log.looks import look_words
from asfound.core.refit.steps import OwnStep
from asfound.tui.cards import card_line
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoTo
from asfound.tui.keys import BOOK, NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.value_line import VALUE, ask_value
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count


class FitNextScreen(ListScreen):
    ABOUT = (
        "The way back, in order. ● is free to fit now, ○ waits for what is named beside it, ! is on but not recorded "
        "as right. The order is a draft: last off, first on, then your own rules. The service manual comes first."
    )
    KEYS = (
        Key("enter", "", "how it was; on a hold: what is open at it", "how it was|look"),
        Key("x,r", "on('by hand')", "it is on, by hand; moves to the next", "on, by hand"),
        Key("c,X", "on('tight')", "it is on and tight", "tight"),
        Key("f", "filter", "show only what is free now, or all", "free now"),
        NARROW,
        UNDO,
        Key("apostrophe", "app.look_over_this", "compare a refitted thing: now beside as found"),
        VALUE,
        *BOOK,
    )
    DETAIL_ROWS = 6

    def __init__(self) -> None:
        super().__init__()
        self.only_free = False
        self.entries: Sequence[ListedStep] = ()

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
            "Press t for the tags; o there logs that one came off.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        steps = [entry for entry in self.entries if not entry.said]
        free = sum(entry.is_free for entry in steps)
        again = len(self.entries) - len(steps)
        told = f", {again} to look at again" if again else ""
        return f"Fit next: {count(free, 'step')} free now of {len(steps)}{told}" if self.entries else "Fit next"

    def words_of_key(self, key: Key) -> str | None:
        return "all" if key.action == "filter" and self.only_free else key.short

    def reload(self) -> None:
        self.entries = list_fit_steps(self.archive)
        rows = []
        for entry in self.entries:
            if self.only_free and not entry.is_free:
                continue
            loose = f"by hand so far: {', '.join(entry.loose)}" if entry.loose else ""
            after = said_words(entry) or ", ".join(entry.missing) or loose
            mark = "!" if entry.said else "●" if entry.is_free else "○"
            bags = ", ".join(entry.card.bags) if entry.card and not entry.said else ""
            rows.append(Row(key_of(entry), (mark, label_of_step(entry), words_of_step(entry), bags, after)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> ListedStep | None:
        return self.chosen_of(self.entries, key_of)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.card.tag.tag_id, "") if chosen is not None and chosen.card is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        if entry.hold is not None:
            return f"{words_of_step(entry)}. enter shows what the record says is open at it."
        waits = f"waits for {', '.join(entry.missing)}" if entry.missing else "free to fit now"
        if entry.card is None:
            return f"{entry.name}: {waits}"
        about = card_line(self.archive, entry.card.tag.tag_id, "")
        return f"{entry.card.label}: {said_words(entry) or waits} · {about}\n{' '.join(entry.card.cautions)}".strip()

    def action_filter(self) -> None:
        self.only_free = not self.only_free
        self.reload()
        self.refresh_lines()

    def action_value(self) -> None:
        entry = self.chosen
        if entry is None or entry.card is None:
            self.say("This row has no thing; a value is of a thing.")
            return
        ask_value(self, entry.card.tag, entry.card.label)

    def action_on(self, how: str) -> None:
        entry = self.chosen
        if entry is None or entry.card is None:
            self.say(no_thing_words(entry))
            return
        mine, place = entry.card, self.list_rows.index
        waits = f" It was meant to wait for {', '.join(entry.missing)}." if entry.missing else ""
        words = f"{mine.label} is on, {how}.{waits} u takes it back."
        if self.act(lambda: mark_refitted(self.archive, mine.tag, how=how), words):
            self.list_rows.choose(min(place, len(self.list_rows.rows) - 1))

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is not None and entry.card is not None:
            self.show_thing(entry.card.tag.tag_id)
        elif entry is not None and entry.hold is not None:
            self.post_message(GoTo("hold", row=entry.hold))
        else:
            self.say(no_thing_words(entry))


def key_of(entry: ListedStep) -> tuple[object, ...]:
    """What makes a row the same one after the list was read anew."""
    return entry.step, entry.said


def label_of_step(entry: ListedStep) -> str:
    """What stands in the column of the numbers."""
    if entry.card is not None:
        return entry.card.label
    return "hold" if entry.hold is not None or (isinstance(entry.step, OwnStep) and entry.step.is_hold) else "step"


def words_of_step(entry: ListedStep) -> str:
    """A step in words."""
    return entry.name if entry.hold is None else f"stop and look: {entry.hold}"


def said_words(entry: ListedStep) -> str:
    """What was said of a thing that is on; empty for a step."""
    line = entry.said
    return "" if line is None else look_words(line) + (f" (end {line.end})" if line.end else "")


def no_thing_words(entry: ListedStep | None) -> str:
    """Why nothing can be marked as on."""
    if entry is None:
        return "Nothing waits to be fitted."
    if entry.hold is not None:
        return "Enter shows what is open at this hold."
    return f"{entry.name}: write that down on the command line, with asfound fit."


SCREEN = ScreenEntry("n", "Fit next", FitNextScreen, FitNextScreen.ABOUT, more_keys=("F", "f5"))
