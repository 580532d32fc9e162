"""Bags and snags, for people and for scripts."""

from __future__ import annotations

from typing import Any

from asfound.actions.bag_list import ListedBag
from asfound.actions.snag_list import ListedSnag
from asfound.cli.json_documents import moment
from asfound.cli.parts import console
from asfound.cli.places import padded
from asfound.core.codes.fasteners import describe_fasteners


def print_bag(listed: ListedBag, became: str = "") -> None:
    """A bag with all that is known of it."""
    out, bag = console(), listed.bag
    out.print("  ".join(filter(None, (f"Bag {bag.label}", bag.name, became))), style="bold")
    for name, value in (
        ("for", _numbers(listed)),
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


def bag_line(listed: ListedBag) -> str:
    """A bag on one line of a list."""
    bag = listed.bag
    counts = _counts(bag.count_out, bag.count_back).strip(" ()") or "not counted"
    words = "  ".join(filter(None, (listed.words, bag.place, f"for {_numbers(listed) or 'nothing'}")))
    return f"{padded(bag.label, 5, at_right=True)}  {counts:<22}  {words}"


def bag_document(listed: ListedBag) -> dict[str, Any]:
    """A bag of `bags --json`."""
    bag = listed.bag
    return {
        "bag": bag.label,
        "name": bag.name,
        "tags": [card.tag.number for card in listed.things],
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


def snag_line(listed: ListedSnag) -> str:
    """A snag on one line of a list."""
    snag, card = listed.snag, listed.card
    state = "open" if snag.is_open else "closed"
    buy = f"buy: {snag.buy}{' (bought)' if snag.bought_at else ''}" if snag.buy else ""
    named = f"{card.label} {card.called}" if card else ""
    words = "  ".join(filter(None, (named, snag.place, snag.what, buy, snag.closed_how)))
    return f"{snag.label:>5}  {state:<6}  {snag.found_at:%Y-%m-%d}  {words}"


def snag_document(listed: ListedSnag) -> dict[str, Any]:
    """A snag of `snags --json`."""
    snag, bag, picture = listed.snag, listed.bag, listed.picture
    tag = listed.card.tag if listed.card else None
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


def _numbers(listed: ListedBag) -> str:
    return ", ".join(f"{card.label} {card.called}" for card in listed.things)
