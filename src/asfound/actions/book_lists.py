"""Bags, belts, snags, fluids, gaps and the log in the words of the book."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from asfound.actions import bags, gaps, log, resume, snags
from asfound.actions.archive import Archive
from asfound.actions.bag_list import bags_as_listed
from asfound.actions.fluids import list_fluids
from asfound.actions.log_list import ListedLine, as_listed
from asfound.actions.snag_list import snags_as_listed
from asfound.actions.tag_card import CardField, TagCard
from asfound.actions.to_buy import list_to_buy
from asfound.actions.values import list_values
from asfound.core.log.away import thing_of
from asfound.core.log.fluids import Fluid, fluid_key
from asfound.core.log.gap_advice import in_parts, told
from asfound.core.sheets.book.content import BagEntry, DayEntry, GapPart, SnagEntry
from asfound.model.log import BagGroup, LogLine

FOLD_FROM = 4
"""So many gaps of one kind are one line."""

Chosen = Callable[[int], bool]
"""Whether a thing is in the book; asked of 0, whether everything is."""


class BookLists:
    """Everything of a job that is no thing with a number, or is told apart from it."""

    def __init__(self, archive: Archive, cards: Mapping[int, TagCard], chosen: Chosen) -> None:
        self._archive = archive
        self._cards = cards
        self._chosen = chosen
        self._zone = ZoneInfo(archive.job.zone)
        self._lines = [line for line in log.list_lines(archive) if chosen(line.tag_id or 0)]

    def bags(self) -> list[BagEntry]:
        """Bags in the order in which they were entered."""
        found = [bag for bag in bags.list_bags(self._archive) if self._chosen(0) or any(map(self._chosen, bag.tag_ids))]
        return [
            BagEntry(
                label=bag.label,
                name=bag.name,
                inside=tuple(filter(None, (bag.contents, *(_group(group) for group in bag.groups)))),
                place=bag.place,
                tags=", ".join(listed.labels),
                out=_count(bag.count_out),
                back=_count(bag.count_back),
                note=bag.note,
            )
            for listed in bags_as_listed(self._archive, found)
            for bag in (listed.bag,)
        ]

    def belts(self) -> list[tuple[str, str, tuple[tuple[str, str], ...]]]:
        """Belts by number: label, name, and what was noted."""
        return [
            (
                card.label,
                card.tag.name or card.tag.kind,
                tuple((one.label.removeprefix("belt "), one.words) for one in card.fields if _is_of_belt(one)),
            )
            for tag_id, card in self._cards.items()
            if self._chosen(tag_id) and (card.belt is not None or card.tag.kind == "belt")
        ]

    def snags(self) -> list[SnagEntry]:
        """Snags in the order in which they were entered."""
        return [
            SnagEntry(
                label=snag.label,
                about=f"{listed.card.label} {listed.card.called}" if listed.card else snag.place,
                what=snag.what,
                buy=snag.buy,
                is_bought=bool(snag.bought_at),
                is_open=snag.is_open,
                closed=snag.closed_how,
            )
            for listed in snags_as_listed(self._archive, snags.list_snags(self._archive))
            for snag in (listed.snag,)
            if self._chosen(snag.tag_id or 0)
        ]

    def fluids(self) -> Sequence[tuple[str, ...]]:
        """Rows of what was drained: day, what, into, looks, note with what was filled in since."""
        back = {fluid_key(fluid.name): fluid for fluid in list_fluids(self._archive)}
        return [
            (
                self._day(line.at),
                " ".join(filter(None, (line.amount, line.what))),
                line.container,
                line.looks,
                ", ".join(
                    filter(None, (self._about(line.tag_id), line.note, _back_in(back.get(fluid_key(line.what)), line)))
                ),
            )
            for line in self._standing("drained")
        ]

    def sent_out(self) -> Sequence[tuple[str, ...]]:
        """Rows of what was sent out: thing, to whom, day, day it came back or is promised for, note."""
        back: dict[tuple[int | None, str], list[LogLine]] = defaultdict(list)
        for line in self._standing("came back"):
            back[thing_of(line)].append(line)
        rows = []
        for line in self._standing("sent out"):
            returned = next((one for one in back[thing_of(line)] if one.at >= line.at), None)
            notes = [one.note for one in (line, returned) if one is not None and one.note]
            promised = f"NOT BACK{f', promised for {line.promised}' if line.promised else ''}"
            came = promised if returned is None else self._day(returned.at)
            about = self._about(line.tag_id) or line.what
            rows.append((about, line.by_whom, self._day(line.at), came, "; ".join(notes)))
        return rows

    def to_buy(self) -> Sequence[str]:
        """What is to be bought and has not arrived, a line each."""
        return [words for item, words in list_to_buy(self._archive) if self._chosen(item.tag_id or 0)]

    def values(self) -> Sequence[tuple[str, str]]:
        """Values of things without a number: the thing and which value, and what the manual says and was reached."""
        loose = [one for one in list_values(self._archive) if one.value.tag_id is None]
        return [(f"{one.value.thing}, {one.value.what}", one.words) for one in loose if self._chosen(0)]

    def gaps(self) -> list[GapPart]:
        """Gaps by what can still be done about them; many of one kind are one line."""
        found = [gap for gap in gaps.find_gaps(self._archive) if self._chosen(gap.tag_id or 0)]
        names = gaps.gap_names(self._archive)
        parts = in_parts(found)
        return [
            GapPart(heading, tuple(line for line, _many in told(some, names, fold_from=FOLD_FROM)))
            for heading, some in parts.items()
            if some
        ]

    def days(self) -> list[DayEntry]:
        """The log by day, with the note of each."""
        by_day: dict[str, list[tuple[str, str, str, str]]] = defaultdict(list)
        for listed in as_listed(self._archive, self._lines):
            by_day[self._day(listed.line.at)].append(self._row(listed))
        notes = resume.list_handovers(self._archive)
        return [DayEntry(day, notes.get(day, ""), tuple(by_day.get(day, ()))) for day in sorted({*by_day, *notes})]

    def last_note(self) -> tuple[str, str]:
        """The note handed over at the latest and its day; both empty when there is none."""
        notes = resume.list_handovers(self._archive)
        day = max(notes, default="")
        return notes.get(day, ""), day

    def moments(self) -> Iterable[str]:
        """The days of which the log tells."""
        return (self._day(line.at) for line in self._lines)

    def _row(self, listed: ListedLine) -> tuple[str, str, str, str]:
        line = listed.line
        time = "" if line.is_day_only else f"{line.at.astimezone(self._zone):%H:%M}"
        words = ", ".join((listed.happened, *listed.words))
        return time, listed.label, listed.name, f"{words} [not so]" if line.is_struck else words

    def _standing(self, kind: str) -> list[LogLine]:
        return [line for line in self._lines if line.kind == kind and not line.is_struck]

    def _about(self, tag_id: int | None) -> str:
        card = self._cards.get(tag_id or 0)
        return "" if card is None else f"{card.label} {card.called}"

    def _day(self, at: datetime) -> str:
        return f"{at.astimezone(self._zone):%Y-%m-%d}"


def _is_of_belt(field: CardField) -> bool:
    of_whole = not field.end and field.name in ("size", "how_it_sat", "route", "flow")
    return of_whole or field.name.startswith("belt_")


def _back_in(fluid: Fluid | None, drained: LogLine) -> str:
    """What became of a fluid that was drained: filled, left out, or not filled."""
    if fluid is None or drained not in fluid.drained:
        return "filled since"
    if fluid.left_out is not None:
        return f"left out: {fluid.left_out.note}"
    return f"filled: {fluid.in_words}" if fluid.filled else "NOT FILLED"


def _group(group: BagGroup) -> str:
    counts = [
        f"{count} {word}" for count, word in ((group.count_out, "out"), (group.count_back, "back")) if count is not None
    ]
    said = ", ".join(counts)
    return f"{group.text} ({said})" if said else group.text


def _count(count: int | None) -> str:
    return "" if count is None else str(count)
