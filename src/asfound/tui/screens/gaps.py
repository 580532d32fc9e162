"""What the record lacks, while it can still be filled."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.service import GapEntry
from asfound.tui.widgets.key_line import Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count


class GapsScreen(ArchiveScreen):
    ABOUT = "What the record lacks. A filled mark ● can still be closed by looking at the machine; ○ cannot any more."
    KEY_WORDS = {"enter": "go to the picture or the tag", "f": "only gaps that can still be closed, and back"}
    BINDINGS = [Binding("f", "filter", "can be closed", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self.only_closable = False
        self.entries: list[GapEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("", 1), Column("What", 18), Column("For", 8), Column("Why", 20, share=1)],
            empty="Nothing is lacking.",
        )

    def where(self) -> str:
        return "Gaps that can still be closed" if self.only_closable else "Gaps"

    def hints(self) -> Sequence[Hint]:
        words = "all gaps" if self.only_closable else "can be closed"
        return [Hint("enter", "enter", "go there"), Hint("f", "f", words), Hint("escape", "esc", "back")]

    def reload(self) -> None:
        entries = self.entries = self.service.gaps()
        rows = []
        for index, entry in enumerate(entries):
            if self.only_closable and not entry.closable:
                continue
            gap = entry.gap
            subject = f"{gap.number}{gap.end or ''}" if gap.number else (f"bag {gap.bag}" if gap.bag else "")
            rows.append(Row(index, ("●" if entry.closable else "○", str(gap.kind), subject, gap.why)))
        self.query_one(RowList).set_rows(rows)
        closable = sum(entry.closable for entry in entries)
        if entries:
            self.say(f"● {count(closable, 'gap')} can still be closed   ○ {len(entries) - closable} cannot any more")

    def action_filter(self) -> None:
        self.only_closable = not self.only_closable
        self.reload()
        self.refresh_lines()

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        gap = self.entries[int(str(event.row.key))].gap
        if gap.picture_id is not None:
            self.archive_app.show_picture(gap.picture_id)
        elif gap.number:
            found = self.service.find(f"{gap.number}{gap.end or ''}")
            if found:
                self.show_found(gap.number, found[0])
            else:
                self.say(f"{gap.why}. There is no picture to show.")
        else:
            self.say(gap.why)


SCREEN = ScreenEntry("g", "Gaps", GapsScreen, GapsScreen.ABOUT)
