"""The first screen: what is open now, and the next step."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from asfound.actions.last_backup import backup_state
from asfound.actions.resume import hand_over, note_of_today
from asfound.actions.summary import summarize
from asfound.tui.backup import ask_where, back_up
from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.first_frame import TITLE_COLUMNS, FirstWords
from asfound.tui.first_words import LEADS_TO, START_KEYS, first_words, next_place
from asfound.tui.going import AskForFolder, GoTo
from asfound.tui.keys import Key
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, width_of

BEFORE_WORDS = 2 + 3 + 2 + TITLE_COLUMNS + 2 + 1
"""Cells of a row that its words do not get."""


class StartScreen(ArchiveScreen):
    ABOUT = "What is open in this job. The first row is the next step: Enter takes it."
    KEYS = START_KEYS
    DEFAULT_CSS = """
    StartScreen RowList { padding: 1 0 0 0; }
    StartScreen > #detail { padding: 0 1; background: $panel-darken-1; height: auto; max-height: 9; display: none; }
    """

    _sorting_was_begun = False

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("", 3, is_fixed=True), Column("", TITLE_COLUMNS, is_fixed=True), Column("", 20, share=1)],
            titles=False,
        )
        yield Static(id="detail", markup=False)

    def on_row_list_moved(self, event: RowList.Moved) -> None:
        """What is too long for its row can be read below the list."""
        words = event.row.cells[-1] if event.row is not None else ""
        detail = self.query_one("#detail", Static)
        detail.display = width_of(words) > self.app.size.width - BEFORE_WORDS
        detail.update(words)

    def where(self) -> str:
        kept = self.session.first_words
        return kept.title if kept else f"asfound: {self.archive.job.name}"

    def tells_back(self) -> bool:
        return False  # this is where it leads

    def words_of_key(self, key: Key) -> str | None:
        # While work goes on its end takes the place of the book.
        hidden = "app.open_book" if self.session.background.goes_on else "stop_work"
        return None if key.action == hidden else key.short

    def reload(self) -> None:
        kept = self.session.first_words
        if kept is not None:
            # What was said last time stands until the screen is drawn; only then is there time to look anew.
            self._show(kept)
            self.call_after_refresh(self._look_anew)
            return
        summary = summarize(self.archive)
        self._show(first_words(summary, self.session.entries))
        if summary.unsorted and not self._sorting_was_begun:
            self._sorting_was_begun = True
            self.session.background.sort()
        if not summary.pictures and not self.session.background.goes_on:
            self.say("This job holds no pictures yet. Press a to add the phone's folder.")

    def _look_anew(self) -> None:
        self.session.first_words = None
        self.reload()
        self.refresh_lines()

    def _show(self, words: FirstWords) -> None:
        rows = [Row(row.name, (row.key, row.title, row.words)) for row in words.rows]
        rows_widget = self.query_one(RowList)
        rows_widget.set_rows(rows, choose=rows_widget.chosen.key if rows_widget.chosen else "next")

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        name = str(event.row.key)
        if name == "next":
            name = next_place(summarize(self.archive))
        if name == "add":
            self.post_message(AskForFolder())
        elif name == "backup":
            self.action_back_up()
        elif name == "last":
            self.say("u takes it back.")
        elif name == "caution":
            self.say("These are for this phase of the work, and the list is not full; the book has all phases.")
        elif name == "meanings":
            self.say("Change it on the command line: asfound job set --front, --left or --turning")
        else:
            self.post_message(GoTo(LEADS_TO.get(name, name)))

    def action_hand_over(self) -> None:
        def answered(note: str) -> None:
            days = backup_state(self.archive).days
            unsaved = f" Work of {count(days, 'day')} is in no backup: c makes one." if days else ""
            self.act(lambda: hand_over(self.archive, note), f'Handed over: "{note}". u takes it back.{unsaved}')

        self.ask("Note for the next working day", answered, words=note_of_today(self.archive))

    def action_back_up(self) -> None:
        back_up(self)

    def action_back_up_elsewhere(self) -> None:
        ask_where(self)

    def action_stop_work(self) -> None:
        if self.session.background.goes_on:
            self.session.background.stop()
            self.say("Stopping after this file. What is in is kept.")


SCREEN = ScreenEntry("", "Start", StartScreen, StartScreen.ABOUT)
