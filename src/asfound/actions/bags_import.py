"""Bags from a table, one row for each, or one for each group of fasteners in a bag."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from asfound.actions import bags, resolve
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.bags import BagWords, GroupWords
from asfound.actions.table_import import Described, ImportReport, Row, TakenRow, import_table, parts, read_count
from asfound.errors import AsfoundError, Misused

_BAG_COLUMNS = frozenset(
    "bag label for_tags place contents thread length_mm across_flats_mm head_mark count_out count_back note".split()
)


def import_bags(archive: Archive, path: Path, *, is_dry_run: bool = False) -> ImportReport:
    """Bring bags in: bag, label, for_tags, place, contents, thread, length_mm, head_mark, count_out, count_back, note.

    A row with a thread is one group of fasteners in its bag; a second row of a bag is a second group.
    """

    def take(row: Row) -> TakenRow:
        if not row["bag"]:
            raise Misused("it names no bag")
        counts = {name: read_count(row.get(name, ""), name) for name in ("count_out", "count_back")}
        words = BagWords(name=row.get("label") or None, place=row.get("place") or None, note=row.get("note") or None)
        if row.get("thread"):
            texts = {name: row.get(name) or None for name in ("thread", "length_mm", "across_flats_mm", "head_mark")}
            groups = [GroupWords(row.get("contents") or row["thread"], **texts, **counts)]  # type: ignore[arg-type]
            bag = bags.save_bag(archive, row["bag"], words, groups=groups)
        else:
            counted = replace(words, count_out=counts["count_out"], count_back=counts["count_back"])
            bag = bags.save_bag(archive, row["bag"], replace(counted, contents=row.get("contents") or None))
        return TakenRow(bag.bag_id, f"bag {bag.label}")

    def finish(row: Row, taken: TakenRow) -> None:
        for number in parts(row.get("for_tags", "")):
            try:
                bags.save_bag(archive, row["bag"], tags=[resolve.get_tag(archive, number).tag])
            except AsfoundError as error:
                taken.left_out.append(f"for_tags {number}: {error}")

    return import_table(
        archive,
        path,
        words=f"bags from {path.name} brought in",
        columns=_BAG_COLUMNS.__contains__,
        needed=("bag",),
        take=take,
        finish=finish,
        describe=lambda: _describe_bags(archive),
        is_dry_run=is_dry_run,
    )


def _describe_bags(archive: Archive) -> Described:
    numbers = {tag.tag_id: tag.number for tag in tag_actions.list_tags(archive)}
    return {
        bag.bag_id: {
            "for": bag.name,
            "inside": bag.inside,
            "place": bag.place,
            "out": "" if bag.count_out is None else str(bag.count_out),
            "back": "" if bag.count_back is None else str(bag.count_back),
            "tags": ", ".join(numbers[tag_id] for tag_id in bag.tag_ids),
            "note": bag.note,
        }
        for bag in bags.list_bags(archive)
    }
