"""Tags from a table: one row for each thing, its ends and what is known of when it came off and went back.

Columns that could tell the answer (a code made from the colours, a corrected time) are never read.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Mapping
from datetime import datetime
from functools import partial
from pathlib import Path

from asfound.actions import fitting, log, quick_line, resolve, tag_card
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.table_import import Described, ImportReport, Row, Table, TakenRow, import_table, parts, read_day
from asfound.actions.tag import EndWords, TagWords
from asfound.core.log.heads import LEAVE_OUT, ReadHead, read_heads
from asfound.core.log.tag_fields import LETTERS, OF_END, OF_TAG
from asfound.core.log.tag_readers import colour_question
from asfound.core.words import fold, plain_words
from asfound.errors import AsfoundError, AskFirst, Misused
from asfound.model.field_rows import FieldRow
from asfound.model.tags import NO_CAP, EndLetter, Tag
from asfound.store import bags, tags

TAG_COLUMNS = {row.column: row for row in OF_TAG.values() if row.column and row.words != "bag"}
END_COLUMNS = {
    row.column.format(letter.lower()): (row, letter) for letter in LETTERS for row in OF_END.values() if row.column
}
STRIPE = "{}_stripe"
"""Beside the column of the main colour."""

OTHER_COLUMNS = ("tag", "bag", "refit_after", "refit_before", "tagged_on", "off_on")
_PASSED_OVER = frozenset({"row", "a_iec", "b_iec", "true_time", "day", "shows"})
"""A row's own count, and answers that must be worked out."""

COLUMNS = ("tag", *TAG_COLUMNS, *END_COLUMNS, "a_stripe", "b_stripe", *OTHER_COLUMNS[1:])
"""Everything that a head can be read as."""

_STATE = re.compile(r"state_(\d{4})_(\d{2})_(\d{2})")
_REFITTED = {"by hand": "by hand", "hand-tight": "by hand", "tight": "tight", "tight and marked": "marked",
             "marked": "marked", "checked": "checked", "refitted": ""}  # fmt: skip
_NOT_REFITTED = frozenset({"", "not fitted", "off", "n/a"})
_LOOSE_TAPE = re.compile(
    r"tape at the (?P<place>[\w ]+?) end (?:was )?(?:found loose|is lost|lost|came off|gone)", re.I
)


def import_tags(
    archive: Archive,
    path: Path,
    *,
    is_dry_run: bool = False,
    said: Mapping[str, str] | None = None,
    as_shown: bool = False,
) -> ImportReport:
    """Bring tags in from a CSV; lists in a cell are parted by ";".

    A sheet may have heads of its own: what they most likely mean is shown, and taken only when somebody said that it is
    right. What no column is for is kept in the note, with its head.

    Parameters
    ----------
    said : mapping or None
        Heads to the columns that they are, or to "-" for what is left out.
    as_shown : bool
        Whether the rest is as the preview shows it.

    Raises
    ------
    AskFirst
        If heads were guessed or are not known, nobody said that it is right so, and it is no dry run.
    Misused
        If a head or a column that was said is none.

    A row speaks of the known thing with its number; the second row with a number of the second such thing. Empty cells
    take nothing back.
    """
    reader = _RowReader(archive)
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
        choose=partial(_choose, path=path, said=said or {}, is_sure=as_shown or is_dry_run),
    )


def _choose(table: Table, *, path: Path, said: Mapping[str, str], is_sure: bool) -> list[ReadHead]:
    """What each head is read as; asked first where that was guessed."""
    folded = {fold(head): column.strip() for head, column in said.items()}
    for head, column in said.items():
        if fold(head) not in map(fold, table.names):
            raise Misused(f'{path.name} has no column "{head}"; it has: {", ".join(table.heads)}')
        if column.strip() != LEAVE_OUT and not _is_known(column.strip()):
            raise Misused(f'"{column}" is no column; "{head}" can be read as one of: {", ".join(COLUMNS)}, or -')
    samples = {name: next((row[name] for _line, row in table.rows if row.get(name)), "") for name in table.names}
    heads = read_heads(dict(zip(table.names, table.heads, strict=True)), samples, folded, _is_known)
    if "tag" not in (one.column for one in heads):
        raise Misused(
            f"{path.name} has no column for the number; its first line names: {', '.join(table.heads)}. "
            "Say which it is: --column HEAD=tag"
        )
    unsure = [one for one in heads if one.how == "meant" or (one.how == "kept" and one.sample)]
    if unsure and not is_sure:
        told = "; ".join(f'"{one.shown}" is {one.words}' for one in unsure)
        raise AskFirst(
            f"{path.name} has heads of its own: {told}.",
            "Look at it with --dry-run. If it is right, say --as-shown; else map a head: --column HEAD=COLUMN",
        )
    return heads


class _RowReader:
    """Takes rows one after the other, counting how often each number was met."""

    def __init__(self, archive: Archive) -> None:
        self.archive = archive
        self.zone = archive.job.zone
        self.met: Counter[str] = Counter()

    def take(self, row: Row) -> TakenRow:
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
        taken = TakenRow(tag.tag_id, f"{number} {tag.name}".strip())
        for letter in LETTERS[: tag.ends]:
            self._take_end(row, tag, letter, taken)
        of_b = [column for column, (_row, letter) in END_COLUMNS.items() if letter == "B"]
        if tag.ends == 1 and any(row.get(column) not in (None, "", "n/a") for column in of_b):
            taken.left_out.append("it has one end, so what is said of end B is left out")
        self._take_events(row, tag)
        self.met[number] += 1
        return taken

    def finish(self, row: Row, taken: TakenRow) -> None:
        tag = tags.get_tag(self.archive.store, taken.key)
        labels = parts(row.get("bag", ""))
        known = set(bags.labels_of_tag(self.archive.store, tag.tag_id)) if labels else set()
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
        return TagWords(
            **{field.name: read_cell(field, column, row.get(column, "")) for column, field in TAG_COLUMNS.items()}
        )

    def _take_end(self, row: Row, tag: Tag, letter: EndLetter, taken: TakenRow) -> None:
        said = {
            field.name: read_cell(field, column, row.get(column, ""))
            for column, (field, of) in END_COLUMNS.items()
            if of == letter
        }
        colour = "/".join(filter(None, (str(said["colour"] or ""), *parts(row.get(STRIPE.format(letter.lower()), "")))))
        if question := colour_question(colour):
            taken.left_out.append(f"end {letter}: {question}")
        loose = _LOOSE_TAPE.search(row.get("note", ""))
        if loose is not None and set(plain_words(loose["place"])) <= set(plain_words(str(said["place"] or ""))):
            said["tape_lost"] = True
        if row.get(f"capped_{letter.lower()}", "").casefold() == NO_CAP:
            said["capped_with"] = NO_CAP
        tag_actions.change_end(self.archive, tag, letter, EndWords(**said | {"colour": colour or None}))

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


def read_cell(field: FieldRow, column: str, cell: str) -> tag_actions.Value | None:
    """What a cell says of a field; None where it says nothing.

    Raises
    ------
    Misused
        If it cannot be read.
    """
    if field.words == "count":
        if cell not in ("", *field.choices):
            raise Misused(f'"{cell}" {column}: a thing has {" or ".join(field.choices)}')
        return int(cell) if cell else None
    if field.words == "cap":
        if cell.casefold() not in ("yes", "no", "n/a", ""):
            raise Misused(f'{column}: "{cell}" is neither yes, no nor n/a')
        return {"yes": True, "no": False}.get(cell.casefold())
    if field.words == "tape":
        return True if cell.casefold() == "yes" else None
    return cell or None


def _is_known(column: str) -> bool:
    stripes = (STRIPE.format(letter.lower()) for letter in LETTERS)
    known = (*TAG_COLUMNS, *END_COLUMNS, *stripes, *OTHER_COLUMNS, *_PASSED_OVER)
    return column in known or _STATE.fullmatch(column) is not None


def _describe(archive: Archive) -> Described:
    history: dict[int, list[str]] = defaultdict(list)
    for line in log.list_lines(archive):
        if line.tag_id is not None and line.kind in ("off", "refitted"):
            history[line.tag_id].append(f"{line.kind}{f', {line.how}' if line.how else ''} {_day(line.at)}")
    return {
        tag_id: {**{one.full_label: one.words for one in card.fields}, "log": "; ".join(history[tag_id])}
        for tag_id, card in tag_card.read_cards(archive).items()
    }


def _day(at: datetime) -> str:
    return f"{at:%Y-%m-%d}"
