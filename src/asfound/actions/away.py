"""What was sent out: to whom, promised for when, and what it came back with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.tag_card import read_cards
from asfound.core.log.away import find_away, thing_of
from asfound.errors import Misused
from asfound.model.log import LogLine
from asfound.model.tags import Tag
from asfound.store import events


@dataclass(frozen=True, slots=True)
class AwayEntry:
    """Something that is away.

    Attributes
    ----------
    name : str
        The tag with its name, or the words for a thing without a number.
    is_late : bool
        Whether the day that it was promised for is past.
    """

    line: LogLine
    name: str
    is_late: bool

    @property
    def words(self) -> str:
        """In one line: "cylinder head, sent to engine shop on 2025-11-08, promised for 2025-12-20"."""
        to = f" to {self.line.by_whom}" if self.line.by_whom else ""
        promised = f"promised for {self.line.promised}" if self.line.promised else ""
        late = "which is past" if self.is_late else ""
        sent = f"sent{to} on {self.line.at:%Y-%m-%d}"
        return ", ".join(filter(None, (self.name, sent, promised, late, self.line.note)))


def write_sent(
    archive: Archive,
    about: Tag | str,
    *,
    to_whom: str = "",
    promised: str = "",
    note: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down that a tag, or a thing without a number, was sent out.

    Raises
    ------
    Misused
        If `promised` is no day.
    """
    if promised and _day(promised) is None:
        raise Misused(f'"{promised}" is not a date; write it like 2025-12-20.')
    log_words = {"by_whom": to_whom, "promised": promised, "note": note}
    return _write(archive, about, "sent out", log_words, at or archive.now(), is_day_only=is_day_only)


def write_back(
    archive: Archive,
    about: Tag | str,
    *,
    with_what: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down that it came back, and with what: a new size, a new part."""
    log_words = {"note": with_what, "by_whom": by_whom}
    return _write(archive, about, "came back", log_words, at or archive.now(), is_day_only=is_day_only)


def back_oddity(archive: Archive, about: Tag | str) -> str:
    """What is odd about something coming back now: nothing says that it was away. Asked before it is written down."""
    away = list_away(archive)
    if any(thing_of(one.line) == _thing(about) for one in away):
        return ""
    named = ", ".join(one.name for one in away) or "nothing"
    called = about if isinstance(about, str) else about.number
    return f"{called} is not recorded as sent out; sent out are: {named}."


def list_away(archive: Archive) -> tuple[AwayEntry, ...]:
    """What is away, in the order in which it went."""
    cards, today = read_cards(archive), archive.now().date()
    entries = []
    for line in find_away(log.list_lines(archive)):
        card = cards.get(line.tag_id or 0)
        promised = _day(line.promised)
        name = f"{card.label} ({card.called})" if card else line.what
        entries.append(AwayEntry(line, name, promised is not None and promised < today))
    return tuple(entries)


def _write(
    archive: Archive, about: Tag | str, kind: str, words: dict[str, str], at: datetime, *, is_day_only: bool
) -> LogLine:
    tag_id, what = _thing(about) if isinstance(about, Tag) else (None, " ".join(about.split()))
    with archive.step(f"{about if isinstance(about, str) else about.number} {kind}"):
        event_id = events.add_event(
            archive.store,
            tag_id,
            kind,
            at,
            archive.now(),
            job_id=archive.job.job_id,
            is_day_only=is_day_only,
            what=what,
            by_whom=words.get("by_whom", ""),
            promised=words.get("promised", ""),
            note=words.get("note", ""),
        )
    return log.get_line(archive, event_id)


def _thing(about: Tag | str) -> tuple[int | None, str]:
    return (about.tag_id, "") if isinstance(about, Tag) else (None, " ".join(about.casefold().split()))


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
