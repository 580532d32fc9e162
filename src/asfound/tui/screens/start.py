"""The first screen: what is open now, and the next step."""

from __future__ import annotations

from collections.abc import Mapping

from textual.app import ComposeResult
from textual.widgets import Static

from asfound.actions.resume import WhereWasI, hand_over, note_of_today
from asfound.actions.summary import JobSummary, summarize
from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.first_frame import TITLE_COLUMNS, FirstWords
from asfound.tui.going import GoTo
from asfound.tui.keys import BOOK, Key
from asfound.tui.widgets.key_line import HELP
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, day_words, moment_with_year, width_of


class StartScreen(ArchiveScreen):
    ABOUT = "What is open in this job. The first row is the next step: Enter takes it."
    KEYS = (
        Key("enter", "", "go to the chosen row", "go there"),
        Key("x", "stop_work", "stop adding, sorting or printing after the file at hand", "stop"),
        Key("a", "bring_in", "add photos and clips from a folder or card", "add photos"),
        Key("e", "hand_over", "end of the day: hand over what to know when work goes on", "hand over|note"),
        Key("o", "app.open_book", BOOK[0].does, "book"),
        Key("q", "app.quit", "", "leave"),
        BOOK[1],
    )
    DEFAULT_CSS = """
    StartScreen RowList { padding: 1 0 0 0; }
    StartScreen > #detail { padding: 0 1; background: $panel-darken-1; height: auto; max-height: 3; display: none; }
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
        return kept.title if kept else title_words(summarize(self.archive))

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
        rows = [Row(_name_of(row, self.session.entries), row) for row in words.rows]
        rows_widget = self.query_one(RowList)
        rows_widget.set_rows(rows, choose=rows_widget.chosen.key if rows_widget.chosen else "next")

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        name = str(event.row.key)
        if name == "next":
            name = next_place(summarize(self.archive))
        if name == "add":
            self.action_bring_in()
        elif name == "last":
            self.say("u takes it back.")
        elif name == "meanings":
            self.say("Change it at the prompt: asfound job set --front, --left or --turning.")
        else:
            self.post_message(GoTo(ELSEWHERE.get(name, name)))

    def action_hand_over(self) -> None:
        def answered(note: str) -> None:
            self.act(lambda: hand_over(self.archive, note), f'Handed over: "{note}". u takes it back.')

        self.ask("To know when work goes on", answered, words=note_of_today(self.archive))

    def action_stop_work(self) -> None:
        if self.session.background.goes_on:
            self.session.background.stop()
            self.say("Stopping after this one. What is in stays in.")


ORDER = ("sort", "spots", "days", "tags", "gaps", "fit_next", "bags", "log_", "machine")
ELSEWHERE = {
    "refit": "fit_next",
    "where left": "log_",
    "off last": "log_",
    "still open": "fit_next",
    "comes next": "fit_next",
}
"""Where rows lead that are no screens of their own."""
NEXT, WHERE_LEFT, REFIT, MEANINGS, LAST = "Next step", "Where I was", "Refit", "Which way", "Done last"
OFF_LAST, STILL_OPEN, NEXT_UP = "Came off last", "Still open", "Comes next"
BEFORE_WORDS = 2 + 3 + 2 + TITLE_COLUMNS + 2 + 1
"""Cells of a row that its words do not get."""


def title_words(summary: JobSummary) -> str:
    """The top line."""
    return f"asfound: {summary.name}"


def first_words(summary: JobSummary, entries: Mapping[str, ScreenEntry], *, bright: bool = False) -> FirstWords:
    """What the whole screen says, in which of the two looks."""
    places = sorted((name for name, entry in entries.items() if entry.key), key=_place)
    rows = [("", NEXT, next_words(summary))]
    if summary.was is not None:
        rows.append(("", WHERE_LEFT, last_day_words(summary.was)))
        left = (
            (OFF_LAST, off_last_words(summary.was)),
            (STILL_OPEN, still_open_words(summary.was)),
            (NEXT_UP, ", ".join(summary.next_up)),
        )
        rows += [("", title, words) for title, words in left if words and summary.off]
    rows += [
        (entries[name].key, entries[name].title, state_words(name, summary) or entries[name].in_short)
        for name in places
    ]
    if summary.off:
        rows.append(("", REFIT, refit_words(summary)))
    if summary.meanings:
        rows.append(("", MEANINGS, summary.meanings))
    if summary.last_step:
        rows.append(("", LAST, f"{summary.last_step}; u takes it back"))
    foot = [key.hint() for key in StartScreen.KEYS if key.short and key.action != "stop_work"]
    hints = tuple((hint.shown, hint.words) for hint in (*foot, HELP))
    return FirstWords(title_words(summary), tuple(rows), hints, bright)


def _name_of(row: tuple[str, str, str], entries: Mapping[str, ScreenEntry]) -> str:
    """What a row stands for: a screen by its name, or one of the words here."""
    special = {NEXT: "next", WHERE_LEFT: "where left", REFIT: "refit", MEANINGS: "meanings", LAST: "last"}
    special |= {OFF_LAST: "off last", STILL_OPEN: "still open", NEXT_UP: "comes next"}
    return special.get(row[1]) or next((name for name, entry in entries.items() if entry.title == row[1]), "next")


def _place(name: str) -> tuple[int, str]:
    return (ORDER.index(name) if name in ORDER else len(ORDER), name)


def next_place(summary: JobSummary) -> str:
    """Where the next step is taken."""
    if not summary.pictures:
        return "add"
    if summary.refitted and summary.next_up:  # on the way back the hands are at the machine; proposals can wait
        return "fit_next"
    if summary.to_sort:
        return "sort"
    if not summary.tags:  # the few gaps of a record without numbers can wait; the numbers are what it is for
        return "spots"
    return "gaps" if summary.gaps_closable else "tags"


def next_words(summary: JobSummary) -> str:
    """The next step, in words."""
    place = next_place(summary)
    if place == "add":
        return "add the photos from your phone"
    if place == "fit_next":
        return "fit what is free now"
    if place == "sort":
        return f"look at {count(summary.to_sort, 'proposal')}: spots, pairs, pins"
    if place == "gaps":
        return f"close {count(summary.gaps_closable, 'gap')} while they can still be closed"
    if place == "tags":
        return refit_words(summary) if summary.off else "nothing waits; type a number to find it"
    return "go through the spots and type the numbers of the tags on their pictures"


def last_day_words(was: WhereWasI) -> str:
    """Where the work was left: the last day that the log tells of."""
    note = f' "{was.note}"' if was.note else ""
    return f"{day_words(was.day)}: {count(len(was.lines), 'line')} in the log{note}"


def off_last_words(was: WhereWasI) -> str:
    """What came off last; empty while nothing did."""
    return f"{day_words(was.off_day)}: {', '.join(was.came_off_last)}" if was.off_day else ""


def still_open_words(was: WhereWasI) -> str:
    """What is open, in counts."""
    still_open = (
        f"{len(was.still_off)} off" if was.still_off else "",
        f"{len(was.by_hand)} by hand only" if was.by_hand else "",
        count(len(was.open_snags), "snag") if was.open_snags else "",
        f"{count(len(was.to_count), 'bag')} to count" if was.to_count else "",
    )
    return ", ".join(filter(None, still_open))


def refit_words(summary: JobSummary) -> str:
    """How much is back, with a bar."""
    done = round(16 * summary.refitted / summary.off) if summary.off else 0
    return f"{'█' * done}{'░' * (16 - done)} {summary.refitted} of {summary.off} back on"


def state_words(name: str, summary: JobSummary) -> str:
    """What a place holds, in words."""
    if name == "sort":
        unsorted = f", {count(summary.unsorted, 'picture')} not sorted yet" if summary.unsorted else ""
        return f"{count(summary.to_sort, 'proposal')} to look at{unsorted}"
    if name == "spots":
        without = f", {summary.spots_without_name} without a name" if summary.spots_without_name else ""
        return count(summary.spots, "spot") + without
    if name == "days":
        last = f", last added {moment_with_year(summary.last_dump_at)}" if summary.last_dump_at else ""
        return f"{count(summary.pictures, 'picture')}, {count(summary.clips, 'clip')}{last}"
    if name == "tags":
        without = f", {summary.tags_without_picture} without a picture" if summary.tags_without_picture else ""
        return count(summary.tags, "tag") + without
    if name == "gaps":
        closable = f", {summary.gaps_closable or 'none'} can still be closed" if summary.gaps else ""
        return count(summary.gaps, "gap") + closable
    return ""


SCREEN = ScreenEntry("", "Start", StartScreen, StartScreen.ABOUT)
