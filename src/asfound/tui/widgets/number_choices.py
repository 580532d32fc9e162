"""What a typed number, or words of a name, could mean: the rows of the number box, without the box."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial

from asfound.actions.ends import FindEntry
from asfound.tui.words import fit_words, moment_words, split_number, width_of

MOST_SHOWN = 5

Finder = Callable[[str], list[FindEntry]]
"""Gives the tag ends that answer to typed words, the best first."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A row of the number box.

    Attributes
    ----------
    words : str
        What would be typed to mean it.
    line : callable
        Gives its text for a width in cells.
    entry : FindEntry or None
        The tag end that it stands for; None for one that does not exist yet.
    """

    words: str
    line: Callable[[int], str]
    entry: FindEntry | None

    def is_of(self, number: str, end: str | None) -> bool:
        """Whether it is an end, or this end, of a thing with exactly this number."""
        return self.entry is not None and number in names_of(self.entry) and end in (None, self.entry.end.end)

    @property
    def name(self) -> str:
        """As it is spoken of: ``112 B``."""
        number, end = split_number(self.words)
        return f"{number} {end}" if end else number


class NumberChoices:
    """All rows for what is typed, the marked one, and the one that is shown when nobody marked any.

    Parameters
    ----------
    typed : str
        A number, with the letter of its end or without, or words of a name.
    find : callable
        See `Finder`.
    pinning_keys : collection of str
        Keys that pin. Where there are any, the ends of exactly the typed number come first, a number that nothing has
        is offered as a new one, and the first end that no picture shows is marked.
    """

    def __init__(self, typed: str = "", find: Finder = lambda words: [], pinning_keys: Collection[str] = ()) -> None:
        entries = find(typed) if typed.strip() else []
        self.rows = [Choice(exact_words(entry), partial(entry_words, entry), entry) for entry in entries]
        self.index = 0
        self.is_marked_by_hand = False
        self._best = self.rows[0] if self.rows else None
        self._pinning_keys = pinning_keys
        if pinning_keys and typed.strip():
            self._put_meant_first(typed, entries, find)

    @property
    def shown(self) -> list[Choice]:
        """The rows for which there is room."""
        return self.rows[:MOST_SHOWN]

    @property
    def hidden(self) -> int:
        """How many rows there is no room for."""
        return max(0, len(self.rows) - MOST_SHOWN)

    def mark(self, index: int) -> None:
        """Mark a row by its place; after the last comes the first."""
        if self.rows:
            self.index = index % len(self.shown)
            self.is_marked_by_hand = True

    def meant(self, key: str) -> Choice | None:
        """What a key acts on: the marked row; to be shown, the best one with a picture unless a row was marked."""
        return self.rows[self.index] if self.rows and self.is_exact(key) else self._best

    def is_exact(self, key: str) -> bool:
        """Whether a key means the marked row, and not only what was typed."""
        return key in self._pinning_keys or self.is_marked_by_hand

    def _put_meant_first(self, typed: str, entries: Sequence[FindEntry], find: Finder) -> None:
        number, end = split_number(typed)
        meant = [row for row in self.rows if row.is_of(number, end)]
        meant.sort(key=lambda row: (row.entry.tag.order, row.entry.end.end) if row.entry else (0, ""))
        others = [row for row in self.rows if row not in meant]
        of_number = entries if meant or number == typed else find(number)
        if not meant and number[:1].isdigit() and not any(number in names_of(one) for one in of_number):
            letters = [end] if end else ["A", "B"]
            meant = [Choice(f"{number}{one.lower()}", partial(new_words, number, one), None) for one in letters]
        self.rows = [*meant, *others]
        unpinned = [place for place, row in enumerate(meant[:MOST_SHOWN]) if row.entry is None or not row.entry.pins]
        self.index = unpinned[0] if unpinned else 0


def names_of(entry: FindEntry) -> tuple[str, str]:
    """Both ways to type a thing's number: ``12``, and ``12.2`` where it must be told from others."""
    return entry.tag.number, f"{entry.tag.number}.{entry.tag.order}"


def new_words(number: str, end: str, width: int) -> str:
    """The row of an end of a number that does not exist yet."""
    return fit_words(f"{fit_words(f'{number} {end}', 7)}  a new number, end {end}", width)


def exact_words(entry: FindEntry) -> str:
    """What one would type to mean exactly this end of exactly this thing."""
    order = f".{entry.tag.order}" if entry.tag.order > 1 else ""
    end = entry.end.end.lower() if entry.tag.ends == 2 else ""
    return f"{entry.tag.number}{order}{end}"


def entry_words(entry: FindEntry, width: int) -> str:
    """A tag end in one line: number, name, place, when its picture was taken, and whether that is a guess."""
    one_ended = entry.tag.ends == 1
    order = f".{entry.tag.order}" if entry.tag.order > 1 else ""
    number = fit_words(entry.tag.number + order + ("" if one_ended else f" {entry.end.end}"), 7)
    picture = moment_words(entry.as_found_at) if entry.as_found else "no picture"
    picture += f", a guess, {entry.guess:.0%}" if entry.guess is not None else ""
    place = entry.end.place or entry.spot_name
    state = f" ({entry.state})" if entry.state else ""
    middle = ", ".join(filter(None, (f"{entry.tag.name or entry.tag.kind}{state}", place)))
    room = max(8, width - width_of(number) - len(picture) - 4)
    return f"{number}  {fit_words(middle, room)}  {picture}"
