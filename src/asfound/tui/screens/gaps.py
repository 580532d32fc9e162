"""What the record lacks, while it can still be filled."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from asfound.actions.gaps import answer_gap, find_gaps
from asfound.core.log.tag_fields import BY_KEY
from asfound.model.log import Gap, GapKind
from asfound.tui.cards import label_of
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoTo, ShowPicture, WriteTag
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count

CLOSED_BY_WORDS = {
    GapKind.NO_PLACE: "place",
    GapKind.TAPE_LOST: "tape_lost",
    GapKind.NOT_CAPPED: "capped",
    GapKind.COLOUR_DIFFERS: "colour",
    GapKind.NO_FLOW: "flow",
    GapKind.NO_BAG: "bag",
    GapKind.NOTHING_NOTED: "kind",
    GapKind.FIT_LOOP: "fit_after",
}
"""Gaps that no picture closes, with the field of the tag that does."""


class GapsScreen(ListScreen):
    ABOUT = "What the record lacks. A filled mark ● can still be closed by looking at the machine; ○ cannot any more."
    KEYS = (
        Key(
            "enter",
            "",
            "go to where you fix it: the tag's field, the picture, the log or the bag",
            "fix it",
        ),
        Key("a", "answer", 'close it with a reason, or with "no second end" or "new tape"', "answer it"),
        Key("f", "filter", "show only gaps you can still close, or all", "closable only"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 4

    def __init__(self) -> None:
        super().__init__()
        self.only_closable = False
        self.entries: Sequence[Gap] = ()

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("", 1), Column("What", 29), Column("For", 8), Column("Why", 16, share=1)],
            empty="No gaps found.\nNew gaps appear here as photos, tags and the log grow.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        closable = sum(gap.mendable for gap in self.entries)
        if self.only_closable or not self.entries:
            return f"Gaps that can still be closed: {closable or 'none'}" if self.only_closable else "Gaps"
        return f"Gaps: ● {closable} can still be closed, ○ {len(self.entries) - closable} too late"

    def words_of_key(self, key: Key) -> str | None:
        return "all gaps" if key.action == "filter" and self.only_closable else key.short

    def reload(self) -> None:
        self.entries = find_gaps(self.archive)
        # The key is the gap and not its place in the list: what a step back brings back is then the chosen one.
        rows = [
            Row(gap, ("●" if gap.mendable else "○", str(gap.kind), self.subject(gap), gap.why))
            for gap in self.entries
            if gap.mendable or not self.only_closable
        ]
        self.list_rows.set_rows(rows)

    def subject(self, gap: Gap) -> str:
        """What a gap is about, told apart from others of the same number."""
        if gap.tag_id is not None:
            return f"{label_of(self.archive, gap.tag_id)}{gap.end or ''}"
        return gap.number or (f"bag {gap.bag}" if gap.bag else gap.thing or gap.file)

    @property
    def chosen(self) -> Gap | None:
        return self.chosen_of(self.entries, lambda gap: gap)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        gap = self.chosen
        return (gap.tag_id, gap.end or "") if gap is not None and gap.tag_id is not None else None

    def detail(self) -> str:
        gap = self.chosen
        if gap is None:
            return ""
        subject = self.subject(gap)
        begins = gap.why.casefold().startswith((subject.casefold(), f"number {subject}"))
        return gap.why if begins or not subject else f"{subject}: {gap.why}"

    def action_filter(self) -> None:
        self.only_closable = not self.only_closable
        self.reload()
        self.refresh_lines()

    def action_answer(self) -> None:
        gap = self.chosen
        if gap is None:
            return
        subject = self.subject(gap)

        def answered(words: str) -> None:
            closed = self.attempt(lambda: answer_gap(self.archive, gap, words))
            if closed is not None:
                self.changed(f'{subject}: "{words}". {count(len(closed), "gap")} closed. u takes it back.')

        self.ask(f"{subject}, {gap.kind}: why it stays open".removeprefix(", "), answered)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        gap = self.chosen
        assert gap is not None
        if gap.picture_id is not None:
            self.post_message(ShowPicture(gap.picture_id))
        elif gap.tag_id is not None and gap.kind in CLOSED_BY_WORDS:
            self.post_message(WriteTag(gap.tag_id, at=field_of(gap)))
        elif gap.tag_id is not None and gap.kind == GapKind.TIGHT_TOO_SOON:
            self.post_message(GoTo("tags", row=gap.tag_id, words=gap.why))
        elif gap.tag_id is not None:
            self.show_thing(gap.tag_id, gap.end)
        elif gap.kind == GapKind.WALK_ROUND:
            self.post_message(GoTo("walk", row=gap.thing))
        elif gap.bag:
            self.post_message(GoTo("bags", row=gap.bag))
        elif gap.number:
            self.open_number_box(gap.number)
        else:
            self.say(gap.why)


def field_of(gap: Gap) -> str:
    """The field of a tag's form in which a gap is closed."""
    name = CLOSED_BY_WORDS[gap.kind]
    ends = f"{name} {gap.end or 'A'}"
    return ends if ends in BY_KEY else name


SCREEN = ScreenEntry("g", "Gaps", GapsScreen, GapsScreen.ABOUT)
