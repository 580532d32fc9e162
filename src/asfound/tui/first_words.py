"""What the first screen says, told once: for the screen itself, and for the frame drawn before it can be opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.actions.last_backup import BackupState
from asfound.actions.resume import WhereWasI
from asfound.actions.summary import JobSummary
from asfound.tui.entry import ScreenEntry
from asfound.tui.first_frame import FirstRow, FirstWords
from asfound.tui.keys import BOOK, Key
from asfound.tui.widgets.key_line import HELP
from asfound.tui.words import count, day_words, moment_with_year

START_KEYS = (
    Key("enter", "", "go to the chosen row", "go there"),
    Key("x", "stop_work", "stop adding, sorting or printing", "stop"),
    Key("a", "app.bring_in", "add photos and clips from a folder or card", "add photos"),
    Key("e", "hand_over", "end of the day: write a note for the next working day", "hand over|note"),
    Key("c", "back_up", "copy the archive to the same stick or disk as last time; asks where if there was none"),
    Key("C", "back_up_elsewhere", "copy the archive to another stick or disk"),
    Key("o", "app.open_book", BOOK[0].does, "book"),
    Key("q", "app.quit", "", "leave"),
    BOOK[1],
)

ORDER = ("walk", "sort", "spots", "days", "tags", "gaps", "fit_next", "bags", "log_", "machine")
NEXT, WHERE_LEFT, REFIT, MEANINGS, LAST = "Next step", "Where I was", "Refit", "Direction", "Done last"
BACKUP = "Backup"
CAUTION = "Caution"
OFF_LAST, STILL_OPEN, NEXT_UP = "Came off last", "Still open", "Comes next"
LEADS_TO = {
    "refit": "fit_next",
    "where left": "log_",
    "off last": "log_",
    "still open": "fit_next",
    "comes next": "fit_next",
}
"""Where rows lead that are no screens of their own."""


def first_words(summary: JobSummary, entries: Mapping[str, ScreenEntry], *, bright: bool = False) -> FirstWords:
    """What the whole screen says, in which of the two looks."""
    rows = [FirstRow("next", "", NEXT, next_words(summary))]
    backup = FirstRow("backup", "c", BACKUP, backup_words(summary.backup))
    rows += [backup] if summary.backup.is_due else []
    rows += _where_left(summary)
    rows += [FirstRow("caution", "", CAUTION, summary.cautions)] if summary.cautions else []
    rows += [
        FirstRow(name, entry.key, entry.title, state_words(name, summary) or entry.in_short)
        for name, entry in sorted(entries.items(), key=lambda one: _place(one[0]))
        if entry.key
    ]
    rows += [] if summary.backup.is_due else [backup]
    rows += _to_be_known(summary)
    foot = [key.hint() for key in START_KEYS if key.short and key.action != "stop_work"]
    hints = tuple((hint.shown, hint.words) for hint in (*foot, HELP))
    return FirstWords(f"asfound: {summary.name}", tuple(rows), hints, bright)


def _where_left(summary: JobSummary) -> Iterator[FirstRow]:
    """Where the work was left."""
    was = summary.was
    if was is None:
        return
    yield FirstRow("where left", "", WHERE_LEFT, last_day_words(was))
    left = (
        FirstRow("off last", "", OFF_LAST, off_last_words(was)),
        FirstRow("still open", "", STILL_OPEN, still_open_words(was)),
        FirstRow("comes next", "", NEXT_UP, ", ".join(was.next_up)),
    )
    yield from (row for row in left if row.words and summary.off)


def _to_be_known(summary: JobSummary) -> Iterator[FirstRow]:
    """What stands below the places."""
    if summary.off:
        yield FirstRow("refit", "", REFIT, refit_words(summary))
    if summary.meanings:
        yield FirstRow("meanings", "", MEANINGS, summary.meanings)
    if summary.last_step:
        yield FirstRow("last", "", LAST, f"{summary.last_step}; u takes it back")


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
    if not summary.tags and summary.walk_open and not summary.off:
        return "walk"  # while everything is still as it was found
    if not summary.tags:  # the few gaps of a record without numbers can wait; the numbers tell which tags it is for
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
    if place == "walk":
        return f"walk round: {walk_words(summary)}"
    if place == "tags":
        return refit_words(summary) if summary.off else "nothing waits; type a number to find it"
    return "open the spots and type tag numbers on their pictures"


def backup_words(state: BackupState) -> str:
    """When the last backup was; after a day's work, that it is time for one."""
    last = f"last {moment_with_year(state.last.at)}" if state.last is not None else ""
    if state.is_due:
        return f"work of {count(state.days, 'day')} is in no backup; c makes one{last and '; ' + last}"
    if state.last is None:
        return "none yet; c makes one, on a stick or another disk"
    return f"{last}, {state.last.place}" if not state.days else f"{last}; what came since is not in it"


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


def walk_words(summary: JobSummary) -> str:
    """How many pictures of the walk round are open, and until when they can be taken."""
    if summary.walk_open:
        until = "lift out" if summary.off else "anything comes off"
        return f"{summary.walk_open} of {summary.walk_items} still to photograph before {until}"
    if summary.walk_lost:
        return f"{summary.walk_lost} of {summary.walk_items} not photographed before lift out"
    return f"all {summary.walk_items} answered" if summary.walk_items else ""


def state_words(name: str, summary: JobSummary) -> str:
    """What a place holds, in words."""
    if name == "walk":
        return walk_words(summary)
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
