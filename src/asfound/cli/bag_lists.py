"""Bags and snags, for people and for scripts."""

from __future__ import annotations

from typing import Any

from asfound.actions.archive import Archive
from asfound.actions.tag import list_tags
from asfound.cli.json_documents import moment
from asfound.cli.parts import console
from asfound.cli.places import padded
from asfound.core.codes.fasteners import describe_fasteners
from asfound.model.log import Bag, Snag
from asfound.model.tags import Tag
from asfound.store.pictures import get_picture


def print_bag(archive: Archive, bag: Bag, became: str = "") -> None:
    """A bag with all that is known of it."""
    out = console()
    out.print("  ".join(filter(None, (f"Bag {bag.label}", bag.name, became))), style="bold")
    for name, value in (
        ("for", _numbers(archive, bag)),
        ("is at", bag.place),
        ("holds", bag.contents),
        *((("group"), f"{group.text}{_counts(group.count_out, group.count_back)}") for group in bag.groups),
        ("count", _counts(bag.count_out, bag.count_back).strip(" ()")),
        ("note", bag.note),
    ):
        if value:
            out.print(f"  {name:<6} {value}")
    for line in dict.fromkeys(describe_fasteners(bag.inside).lines):
        out.print(f"  {line}", style="dim")


def bag_line(archive: Archive, bag: Bag) -> str:
    """A bag on one line of a list."""
    counts = _counts(bag.count_out, bag.count_back).strip(" ()") or "not counted"
    words = "  ".join(filter(None, (bag.name or bag.inside, bag.place, f"for {_numbers(archive, bag) or 'nothing'}")))
    return f"{padded(bag.label, 5, at_right=True)}  {counts:<22}  {words}"


def bag_document(archive: Archive, bag: Bag) -> dict[str, Any]:
    """A bag of `bags --json`."""
    numbers = {tag.tag_id: tag.number for tag in list_tags(archive)}
    return {
        "bag": bag.label,
        "name": bag.name,
        "tags": [numbers[tag_id] for tag_id in bag.tag_ids],
        "place": bag.place,
        "contents": bag.contents,
        "groups": [
            {
                "what": group.what,
                "thread": group.thread,
                "length_mm": group.length_mm,
                "across_flats_mm": group.across_flats_mm,
                "head_mark": group.head_mark,
                "count_out": group.count_out,
                "count_back": group.count_back,
            }
            for group in bag.groups
        ],
        "count_out": bag.count_out,
        "count_back": bag.count_back,
        "note": bag.note,
    }


def snag_line(snag: Snag, tags: dict[int, Tag], zone: str) -> str:
    """A snag on one line of a list."""
    tag = tags.get(snag.tag_id or 0)
    state = "open" if snag.is_open else "closed"
    buy = f"buy: {snag.buy}{' (bought)' if snag.bought_at else ''}" if snag.buy else ""
    named = f"{tag.number} {tag.name or tag.kind}" if tag else ""
    words = "  ".join(filter(None, (named, snag.place, snag.what, buy, snag.closed_how)))
    return f"{snag.label:>5}  {state:<6}  {snag.found_at:%Y-%m-%d}  {words}"


def snag_document(archive: Archive, snag: Snag, tags: dict[int, Tag], bags: dict[int, Bag]) -> dict[str, Any]:
    """A snag of `snags --json`."""
    tag, bag = tags.get(snag.tag_id or 0), bags.get(snag.bag_id or 0)
    picture = get_picture(archive.store, snag.picture_id) if snag.picture_id else None
    return {
        "snag": snag.label,
        "found": moment(snag.found_at),
        "tag": tag.number if tag else None,
        "order": tag.order if tag else None,
        "picture": picture.picture_id if picture else None,
        "file": picture.file if picture else None,
        "bag": bag.label if bag else None,
        "place": snag.place,
        "what": snag.what,
        "buy": snag.buy,
        "bought": bool(snag.bought_at),
        "open": snag.is_open,
        "closed_how": snag.closed_how,
    }


def _counts(out: int | None, back: int | None) -> str:
    said = [f"{count} {word}" for count, word in ((out, "out"), (back, "back")) if count is not None]
    short = f", {out - back} short" if out is not None and back is not None and back < out else ""
    return f" ({', '.join(said)}{short})" if said else ""


def _numbers(archive: Archive, bag: Bag) -> str:
    known = {tag.tag_id: tag for tag in list_tags(archive)}
    return ", ".join(f"{known[i].number} {known[i].name or known[i].kind}" for i in bag.tag_ids)
