"""Tags from a table: one row for each thing, its ends and what is known of when it came off and went back.

Columns that could tell the answer (a code made from the colours, a corrected time) are never read.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from datetime import datetime
from pathlib import Path

from asfound.actions import bags, fitting, log, quick_line, resolve, tag_card
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.table_import import Described, ImportReport, Row, Taken, import_table, parts, read_day
from asfound.actions.tag import EndWords, TagWords
from asfound.core.words import plain_words
from asfound.errors import AsfoundError, Misused
from asfound.model.tags import EndLetter, Tag
from asfound.store import tags

TAG_FIELDS = {
    "kind": "kind", "name": "name", "note": "note", "flow": "flow", "size": "size", "route": "route",
    "how_it_sat": "how_it_sat", "hazard": "hazard", "condition": "condition", "goes_with": "goes_with",
    "lookalike": "look_alike",
}  # fmt: skip
"""Column to field of the tag."""

_OTHERS = ("tag", "ends", "bag", "refit_after", "refit_before", "tagged_on", "off_on")
_OF_END = (
    "end_{}_place",
    "end_{}_note",
    "{}_base",
    "{}_stripe",
    "{}_terminal",
    "capped_{}",
    "clock_{}",
    "tape_lost_{}",
    "side_{}",
)
_END_COLUMNS = {pattern.format(letter) for pattern in _OF_END for letter in "ab"}
_PASSED_OVER = frozenset({"row", "a_iec", "b_iec", "true_time", "day", "shows"})
"""A row's own count, and answers that must be worked out."""

_STATE = re.compile(r"state_(\d{4})_(\d{2})_(\d{2})")
_YES_NO = {"yes": True, "no": False, "n/a": None, "": None}
_REFITTED = {"by hand": "by hand", "hand-tight": "by hand", "tight": "tight", "tight and marked": "marked",
             "marked": "marked", "checked": "checked", "refitted": ""}  # fmt: skip
_NOT_REFITTED = frozenset({"", "not fitted", "off", "n/a"})
_LOOSE_TAPE = re.compile(
    r"tape at the (?P<place>[\w ]+?) end (?:was )?(?:found loose|is lost|lost|came off|gone)", re.I
)


def import_tags(archive: Archive, path: Path, *, is_dry_run: bool = False) -> ImportReport:
    """Bring tags in from a CSV; lists in a cell are parted by ";".

    A row speaks of the known thing with its number; the second row with a number of the second such thing. Empty cells
    take nothing back.
    """
    reader = _Reader(archive)
    return import_table(
        archive,
        path,
        words=f"tags from {path.name} brought in",
        columns=_is_known,
        needed=("tag",),
        take=reader.take,
        finish=reader.finish,
        describe=lambda: _describe(archive),
        is_dry_run=is_dry_run,
    )


class _Reader:
    """Takes rows one after the other, counting how often each number was met."""

    def __init__(self, archive: Archive) -> None:
        self.archive = archive
        self.zone = archive.job.zone
        self.met: Counter[str] = Counter()

    def take(self, row: Row) -> Taken:
        number = tag_actions.check_number(self.archive, row["tag"])
        known = tags.find_tags_by_number(self.archive.store, self.archive.job.job_id, number)
        words = self._tag_words(row)
        place_in_file = self.met[number]
        if place_in_file < len(known):
            tag = tag_actions.change_tag(self.archive, known[place_in_file], words)
        else:
            tag = tag_actions.add_tag(self.archive, number, words)
            if row.get("tagged_on"):
                at, _day = read_day(row["tagged_on"], self.zone)
                tags.change_tag(self.archive.store, tag.tag_id, created_at=at.isoformat())
        taken = Taken(tag.tag_id, f"{number} {tag.name}".strip())
        letters: tuple[EndLetter, ...] = ("A", "B")
        for letter in letters[: tag.ends]:
            self._take_end(row, tag, letter, taken)
        if tag.ends == 1 and any(row.get(pattern.format("b")) not in (None, "", "n/a") for pattern in _OF_END):
            taken.left_out.append("it has one end, so what is said of end B stays out")
        self._take_events(row, tag)
        self.met[number] += 1
        return taken

    def finish(self, row: Row, taken: Taken) -> None:
        tag = tags.get_tag(self.archive.store, taken.key)
        labels = parts(row.get("bag", ""))
        known = {bag.label for bag in bags.list_bags(self.archive) if tag.tag_id in bag.tag_ids} if labels else set()
        for label in labels:
            if label not in {*known, tag.bag}:
                quick_line.put_in_bag(self.archive, tag, label)
        for column, rule in (("refit_after", fitting.fit_after), ("refit_before", fitting.fit_before)):
            for number in parts(row.get(column, "")):
                try:
                    rule(self.archive, tag, [resolve.get_tag(self.archive, number).tag])
                except AsfoundError as error:
                    taken.left_out.append(f"{column} {number}: {error}")

    def _tag_words(self, row: Row) -> TagWords:
        said = {field: row[column] for column, field in TAG_FIELDS.items() if row.get(column)}
        ends = row.get("ends", "")
        if ends not in ("", "1", "2"):
            raise Misused(f'"{ends}" ends: a thing has 1 or 2')
        return TagWords(ends=int(ends) if ends else None, **said)

    def _take_end(self, row: Row, tag: Tag, letter: EndLetter, taken: Taken) -> None:
        side = letter.lower()

        def cell(pattern: str) -> str:
            return row.get(pattern.format(side), "")

        colour = "/".join(filter(None, (cell("{}_base"), *parts(cell("{}_stripe")))))
        if question := tag_actions.colour_question(colour):
            taken.left_out.append(f"end {letter}: {question}")
        capped = cell("capped_{}").casefold()
        if capped not in _YES_NO:
            raise Misused(f'capped_{side}: "{capped}" is neither yes, no nor n/a')
        place = cell("end_{}_place")
        loose = _LOOSE_TAPE.search(row.get("note", ""))
        is_lost = loose is not None and set(plain_words(loose["place"])) <= set(plain_words(place))
        words = EndWords(
            place=place or None,
            how_it_sat=cell("end_{}_note") or None,
            colour=colour or None,
            capped=_YES_NO[capped],
            terminal=cell("{}_terminal") or None,
            clock=cell("clock_{}") or None,
            side=cell("side_{}") or None,
            tape_lost=True if is_lost or cell("tape_lost_{}").casefold() == "yes" else None,
        )
        tag_actions.change_end(self.archive, tag, letter, words)

    def _take_events(self, row: Row, tag: Tag) -> None:
        known = [(line.kind, line.at) for line in log.list_lines(self.archive, tag) if not line.is_struck]
        if row.get("off_on"):
            at, is_day_only = read_day(row["off_on"], self.zone)
            if ("off", at) not in known:
                bag = next(iter(parts(row.get("bag", ""))), "")
                log.mark_off(self.archive, tag, bag=bag, at=at, is_day_only=is_day_only)
        for column, state in row.items():
            match = _STATE.fullmatch(column)
            if match and state.casefold() not in _NOT_REFITTED:
                if state.casefold() not in _REFITTED:
                    raise Misused(f'{column}: "{state}" is none of: {", ".join(_REFITTED)}, not fitted')
                at, is_day_only = read_day("-".join(match.groups()), self.zone)
                how = _REFITTED[state.casefold()]
                if ("refitted", at) not in known:
                    log.mark_refitted(self.archive, tag, how=how, at=at, is_day_only=is_day_only)


def _is_known(column: str) -> bool:
    return (
        column in TAG_FIELDS
        or column in _OTHERS
        or column in _END_COLUMNS
        or column in _PASSED_OVER
        or _STATE.fullmatch(column) is not None
    )


def _describe(archive: Archive) -> Described:
    history: dict[int, list[str]] = defaultdict(list)
    for line in log.list_lines(archive):
        if line.tag_id is not None and line.kind in ("off", "refitted"):
            history[line.tag_id].append(f"{line.kind}{f', {line.how}' if line.how else ''} {_day(line.at)}")
    return {
        tag_id: {**dict(card.fields), "log": "; ".join(history[tag_id])}
        for tag_id, card in tag_card.read_cards(archive).items()
    }


def _day(at: datetime) -> str:
    return f"{at:%Y-%m-%d}"
