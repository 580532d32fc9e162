"""Snags from a table, one row for each."""

from __future__ import annotations

from pathlib import Path

from asfound.actions import bags, resolve, snags
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.snags import SnagTies
from asfound.actions.table_import import Described, ImportReport, Row, TakenRow, import_table, read_day
from asfound.core.words import plain_words
from asfound.errors import AsfoundError, Misused
from asfound.model.tags import Tag

_SNAG_COLUMNS = frozenset("snag found_on tag bag place what buy state".split())
_STATES = {"open": False, "": False, "closed": True}


def import_snags(archive: Archive, path: Path, *, is_dry_run: bool = False) -> ImportReport:
    """Bring snags in: snag, found_on, tag, bag, place, what, buy, state (open or closed)."""

    def take(row: Row) -> TakenRow:
        state = row.get("state", "").casefold()
        if state not in _STATES:
            raise Misused(f'state: "{state}" is neither open nor closed')
        snag = snags.find_snag(archive, row["snag"])
        if snag is None:
            at, is_day_only = read_day(row["found_on"], archive.job.zone) if row.get("found_on") else (None, False)
            snag = snags.add_snag(archive, row["what"], label=row["snag"], at=at, is_day_only=is_day_only)
        elif row["what"] != snag.what:
            raise Misused(f'there is a snag {snag.label} already: "{snag.what}"')
        taken = TakenRow(snag.snag_id, f"snag {snag.label}")
        snags.tie_snag(archive, snag, _ties(archive, row, taken))
        if _STATES[state] and snag.is_open:
            snags.close_snag(archive, snag)
        return taken

    return import_table(
        archive,
        path,
        words=f"snags from {path.name} brought in",
        columns=_SNAG_COLUMNS.__contains__,
        needed=("snag", "what"),
        take=take,
        finish=lambda _row, _taken: None,
        describe=lambda: _describe_snags(archive),
        is_dry_run=is_dry_run,
    )


def _ties(archive: Archive, row: Row, taken: TakenRow) -> SnagTies:
    tag = bag = None
    if row.get("tag"):
        try:
            tag = _tag_by_words(archive, row["tag"], f"{row.get('place', '')} {row['what']}")
        except AsfoundError as error:
            taken.left_out.append(f"tag {row['tag']}: {error}")
    if row.get("bag"):
        try:
            bag = bags.get_bag(archive, row["bag"])
        except AsfoundError as error:
            taken.left_out.append(f"bag {row['bag']}: {error}")
    return SnagTies(tag, None, bag, row.get("place") or None, row.get("buy") or None)


def _tag_by_words(archive: Archive, number: str, words: str) -> Tag:
    """The tag with this number; of several, the one whose name and places the words of the snag speak of."""
    found = resolve.find_tags(archive, number)
    ends = tag_actions.list_ends(archive)
    said = set(plain_words(words))

    def shared(tag: Tag) -> int:
        places = " ".join(end.place for end in ends.get(tag.tag_id, ()))
        return len(said & set(plain_words(f"{tag.name} {places}")))

    ranked = sorted((ref.tag for ref in found), key=shared, reverse=True)
    if len(ranked) > 1 and shared(ranked[0]) > shared(ranked[1]):
        return ranked[0]
    return resolve.get_tag(archive, number).tag


def _describe_snags(archive: Archive) -> Described:
    numbers = {tag.tag_id: tag.number for tag in tag_actions.list_tags(archive)}
    return {
        snag.snag_id: {
            "what": snag.what,
            "tag": numbers.get(snag.tag_id or 0, ""),
            "place": snag.place,
            "buy": snag.buy,
            "state": "open" if snag.is_open else "closed",
        }
        for snag in snags.list_snags(archive)
    }
