"""Where work stops: what the record says is open before lift out, before lift in and before first start."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.records import HoldEntry, HoldRow
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, wrap_words

WHO = "who looked"
BEFORE_WORDS = 6
"""Cells of a row that its words do not get: both marks, the gap, the scroll bar."""
NOTHING_KNOWN = "Nothing is known to be open. That is only what the record knows: look yourself."


class HoldScreen(ListScreen):
    ABOUT = (
        "Before lift out, before lift in, before first start. Each of the three lists what the record says is "
        "open; □ is written down as open, ? the record cannot tell, ! is a caution. An empty list says only that "
        "nothing is known to be open. Look for yourself, have a second person look, and follow the service manual, "
        "local law and licensed practice."
    )
    KEY_WORDS = {
        "[ ]": "the hold before, after",
        "enter": "go to where the row is mended: the tag, the bag, the snag",
        "o": "the thing of this row came off now",
        "x or r": "it is on, by hand",
        "c or X": "it is on and tight",
        "y": "I looked at everything here: asks who looked, and writes that down",
        "u": "takes the last step back",
        **NARROW,
    }
    BINDINGS = [
        Binding("left_square_bracket", "step(-1)", "hold before", show=False),
        Binding("right_square_bracket", "step(1)", "next hold", show=False),
        Binding("o", "off", "came off", show=False),
        Binding("x,r", "on('by hand')", "on, by hand", show=False),
        Binding("c,X", "on('tight')", "on and tight", show=False),
        Binding("y", "looked", "I looked", show=False),
    ]
    DETAIL_ROWS = 4

    def __init__(self) -> None:
        super().__init__()
        self.holds: list[HoldEntry] = []
        self.index = -1
        self._due: set[str] = set()
        """Holds whose cautions stand first, for they were not shown before today."""

    def body(self) -> ComposeResult:
        yield RowList([Column("", 1), Column("What", 20, share=1)], empty=NOTHING_KNOWN, titles=False)
        yield self.detail_line()

    @property
    def hold(self) -> HoldEntry:
        return self.holds[self.index]

    def name_of_list(self) -> str:
        if not self.holds:
            return "Holds"
        hold = self.hold
        looked = f", looked at {hold.looked}" if hold.looked else ""
        return f"Hold {hold.name}: {len(hold.rows) or 'nothing known to be'} open{looked}"

    def hints(self) -> Sequence[Hint]:
        which = f"{self.index + 1} of {len(self.holds)}"
        # Before the lift out things come off; afterwards they go on.
        is_way_out = self.index == 0
        happened = [Hint("o", "o", "off now")] if is_way_out else [Hint("c", "c", "on, tight", "tight")]
        return [
            Hint("right_square_bracket", "[ ]", f"hold {which}", which.replace(" of ", "/")),
            Hint("enter", "enter", "mend it", "mend"),
            *happened,
            Hint("y", "y", "I looked", "looked"),
            *([] if is_way_out else [Hint("x", "x", "on, by hand", "on")]),
            Hint("slash", "/", "narrow"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.holds = self.service.holds()
        names = [hold.name for hold in self.holds]
        if self.archive_app.wanted_row in names:
            self.index = names.index(str(self.archive_app.wanted_row))
        if self.index < 0:
            # The first one that nobody has looked at is what comes next; nothing comes out any more once things are in.
            first = 1 if self.service.summary().refitted else 0
            self.index = next((place for place in range(first, len(names)) if not self.holds[place].looked), first)
        hold = self.hold
        if hold.are_due:
            self._due.add(hold.name)
            self.service.cautions_shown(hold.name)
        # By what a row says, not by its place: of a step taken back the row that came back is to be the chosen one.
        rows = [Row(one, (mark(one), one.why)) for one in hold.rows] or [Row("nothing", ("", NOTHING_KNOWN))]
        cautions = [
            Row(("caution", index, line), ("" if line else "!", text))
            for index, words in enumerate((*hold.cautions, hold.words))
            for line, text in enumerate(wrap_words(words, max(20, self.app.size.width - BEFORE_WORDS)))
        ]
        self.list_rows.set_rows([*cautions, *rows] if hold.name in self._due else [*rows, *cautions])

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.holds:
            self.call_after_refresh(self.reload)

    @property
    def chosen(self) -> HoldRow | None:
        row = self.list_rows.chosen
        return row.key if row is not None and isinstance(row.key, HoldRow) else None

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.tag_id, "") if chosen is not None and chosen.tag_id is not None else None

    def detail(self) -> str:
        row = self.list_rows.chosen
        is_caution = row is not None and isinstance(row.key, tuple)  # those stand there whole
        return row.cells[1] if row is not None and not is_caution else ""

    def action_step(self, by: int) -> None:
        index = self.index + by
        if not 0 <= index < len(self.holds):
            self.say("There is no other hold that way.")
            return
        self.index = index
        self._due.clear()
        self.reload()
        self.list_rows.choose(0)
        self.refresh_lines()
        self.say("")

    # Mending

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        row = self.chosen
        if row is None:
            self.say("This is to be read, not mended; follow the service manual, local law and licensed practice.")
        elif row.snag:
            self.archive_app.go("snags", row=row.snag)
        elif row.bag:
            self.archive_app.go("bags", row=row.bag)
        elif row.tag_id is not None:
            self.archive_app.go("tags", row=row.tag_id)
        else:
            self.say("Nothing to write here leads on: look at the machine. y says that somebody looked.")

    @property
    def _tag_id(self) -> int | None:
        row = self.chosen
        if row is None or row.tag_id is None:
            self.say("This row is about no numbered thing; enter goes to where it is mended.")
            return None
        return row.tag_id

    def action_off(self) -> None:
        tag_id = self._tag_id
        if tag_id is not None:
            label = self.service.card(tag_id).label
            self.act(lambda: self.service.mark_off(tag_id), f"{label} came off. u takes it back.")

    def action_on(self, how: str) -> None:
        tag_id = self._tag_id
        if tag_id is not None:
            label = self.service.card(tag_id).label
            self.act(lambda: self.service.mark_refitted(tag_id, how), f"{label} is on, {how}. u takes it back.")

    def action_looked(self) -> None:
        hold = self.hold
        still = f", {count(len(hold.rows), 'row')} open" if hold.rows else ""

        def answered(who: str) -> None:
            self.service.remember(WHO, who)
            words = f"Hold {hold.name}: looked at by {who}{still}. That is their word; u takes it back."
            self.act(lambda: self.service.look_at_hold(hold.name, who), words)

        self.ask(f"Hold {hold.name}{still}. Who looked", answered, words=self.service.remembered(WHO) or "me")


def mark(row: HoldRow) -> str:
    """What stands before a row: whether the record is sure."""
    return "□" if row.is_sure else "?"


SCREEN = ScreenEntry("h", "Holds", HoldScreen, HoldScreen.ABOUT, more_keys=("f7",))
