"""Where work stops: what the record says is open before lift out, before lift in and before first start."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult

from asfound.actions import fit, fluids, log, settings
from asfound.actions.hold_list import ListedHold, list_open_at_holds
from asfound.actions.known import known_tags, states
from asfound.core.refit.hold_points import HoldLine
from asfound.core.refit.steps import HoldPoint
from asfound.model.tags import Tag
from asfound.tui.cards import label_of
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoTo
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, moment_with_year, wrap_words

WHO = "who looked"
BEFORE_WORDS = 6
"""Cells of a row that its words do not get: both marks, the gap, the scroll bar."""
NOTHING_KNOWN = "Nothing is known to be open. That is only what the record knows: look yourself."


class HoldScreen(ListScreen):
    ABOUT = (
        "Before lift out, before lift in, before first start. Each of the three lists what the record says is "
        "open; □ is open, ? the record cannot tell, ! is a caution. An empty list says only that "
        "nothing is known to be open. Look for yourself, have a second person look, and follow the service manual, "
        "local law and licensed practice."
    )
    KEYS = (
        Key("left_square_bracket,right_square_bracket", "step({by})", "the hold before, after", "hold"),
        Key("enter", "", "go to where you fix it: the tag, the bag, the snag; of a fluid, enter it here", "fix it|fix"),
        Key("o", "off", "the thing of this row came off now", "off now"),
        Key("c,X", "on('tight')", "it is on and tight", "on, tight|tight"),
        Key("y", "looked", "record that everything here was looked at; asks who looked", "I looked|looked"),
        Key("x,r", "on('by hand')", "it is on, by hand", "on, by hand|on"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 4

    def __init__(self) -> None:
        super().__init__()
        self.holds: Sequence[ListedHold] = ()
        self.index = -1
        self._due: set[HoldPoint] = set()
        """Holds whose cautions stand first, for they were not shown before today."""

    def body(self) -> ComposeResult:
        yield RowList([Column("", 1), Column("What", 20, share=1)], empty=NOTHING_KNOWN, titles=False)
        yield self.detail_line()

    @property
    def hold(self) -> ListedHold:
        return self.holds[self.index]

    def name_of_list(self) -> str:
        if not self.holds:
            return "Holds"
        hold = self.hold
        looked = looked_words(hold)
        return f"Hold {hold.point}: {len(hold.lines) or 'nothing known to be'} open{looked}"

    def words_of_key(self, key: Key) -> str | None:
        is_way_out = self.index == 0  # before the lift out things come off; afterwards they go on
        if (key.action == "off" and not is_way_out) or (key.action.startswith("on(") and is_way_out):
            return None
        if key.action == "step({by})":
            return f"hold {self.index + 1} of {len(self.holds)}|{self.index + 1}/{len(self.holds)}"
        return key.short

    def reload(self) -> None:
        self.holds = list_open_at_holds(self.archive)
        points = [hold.point for hold in self.holds]
        if self.session.wanted_row in points:
            self.index = points.index(HoldPoint(str(self.session.wanted_row)))
        if self.index < 0:
            # The first one that nobody has looked at is what comes next; nothing comes out any more once things are in.
            first = 1 if "refitted" in states(self.archive).values() else 0
            self.index = next((place for place in range(first, len(points)) if not self.holds[place].looked), first)
        hold = self.hold
        shown = hold.point.phase, self.archive.now().date().isoformat()
        if shown not in self.session.cautions_shown and fit.are_cautions_due(self.archive, hold.point.phase):
            self._due.add(hold.point)
            self.session.cautions_shown.add(shown)
        # By what a row says, not by its place: of a step taken back the row that came back is to be the chosen one.
        rows = [Row(one, (mark(one), one.why)) for one in hold.lines] or [Row("nothing", ("", NOTHING_KNOWN))]
        cautions = [
            Row(("caution", index, line), ("" if line else "!", text))
            for index, words in enumerate((*hold.cautions, hold.words))
            for line, text in enumerate(wrap_words(words, max(20, self.app.size.width - BEFORE_WORDS)))
        ]
        self.list_rows.set_rows([*cautions, *rows] if hold.point in self._due else [*rows, *cautions])

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.holds:
            self.call_after_refresh(self.reload)

    @property
    def chosen(self) -> HoldLine | None:
        row = self.list_rows.chosen
        return row.key if row is not None and isinstance(row.key, HoldLine) else None

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
            self.say("No more holds that way.")
            return
        self.index = index
        self._due.clear()
        self.reload()
        self.list_rows.choose(0)
        self.refresh_lines()
        self.say("")

    # Putting right

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        row = self.chosen
        if row is None:
            self.say("A caution: nothing to fix here. Follow the service manual, local law and licensed practice.")
        elif row.snag:
            self.post_message(GoTo("snags", row=row.snag))
        elif row.bag:
            self.post_message(GoTo("bags", row=row.bag))
        elif row.fluid:
            self._ask_fluid(row.fluid)
        elif row.tag_id is not None:
            self.post_message(GoTo("tags", row=row.tag_id))
        else:
            self.say("Look at the machine. : writes down what was done, y that somebody looked.")

    def _ask_fluid(self, fluid: str) -> None:
        def answered(text: str) -> None:
            line = self.attempt(lambda: fluids.write_fluid_words(self.archive, fluid, text))
            if line is not None:
                said = " ".join(filter(None, (line.kind, line.amount, line.note)))
                self.changed(f"{fluid} {said}. u takes it back.")

        self.ask(f"{fluid}: how much was filled; or bled, leaks looked at, left out WHY", answered)

    @property
    def _tag(self) -> Tag | None:
        row = self.chosen
        if row is None or row.tag_id is None:
            self.say("This row has no tag; enter goes to where you fix it.")
            return None
        return known_tags(self.archive)[row.tag_id]

    def action_off(self) -> None:
        tag = self._tag
        if tag is not None:
            words = f"{label_of(self.archive, tag.tag_id)} came off. u takes it back."
            self.act(lambda: log.mark_off(self.archive, tag), words)

    def action_on(self, how: str) -> None:
        tag = self._tag
        if tag is not None:
            words = f"{label_of(self.archive, tag.tag_id)} is on, {how}. u takes it back."
            self.act(lambda: log.mark_refitted(self.archive, tag, how=how), words)

    def action_looked(self) -> None:
        hold = self.hold
        still = f", {count(len(hold.lines), 'row')} open" if hold.lines else ""

        def answered(who: str) -> None:
            settings.remember(self.archive, WHO, who)
            fit.cautions_due(self.archive, hold.point.phase)  # whoever looked has read them
            words = f"Hold {hold.point}: looked at by {who}{still}. Recorded as their word. u takes it back."
            self.act(lambda: fit.pass_hold(self.archive, hold.point, who), words)

        self.ask(
            f"Hold {hold.point}{still}. Who looked", answered, words=settings.remembered(self.archive, WHO) or "me"
        )


def looked_words(hold: ListedHold) -> str:
    """Who looked at a hold and when, for the top line; empty while nobody said so."""
    by = f" by {hold.by_whom}" if hold.by_whom else ""
    return f", looked at {moment_with_year(hold.looked_at)}{by}" if hold.looked_at else ""


def mark(row: HoldLine) -> str:
    """What stands before a row: whether the record is sure."""
    return "□" if row.is_sure else "?"


SCREEN = ScreenEntry("h", "Holds", HoldScreen, HoldScreen.ABOUT, more_keys=("f7",))
