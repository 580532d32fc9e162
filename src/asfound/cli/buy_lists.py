"""What is to be bought, for people and for scripts: one list, whoever put it there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from asfound.actions.archive import Archive
from asfound.actions.tag_card import read_cards
from asfound.cli.parts import console, print_json
from asfound.core.log.to_buy import BuyItem


def print_to_buy(archive: Archive, found: Sequence[tuple[BuyItem, str]], *, as_json: bool) -> None:
    """A line each: how far it is, what, for which thing, and why."""
    if as_json:
        print_json([_document(archive, item) for item, _words in found])
        return
    for item, words in found:
        console().print(f"{item.state:<9} {words}")
    if not found:
        console().print("Nothing is written down to be bought.")


def _document(archive: Archive, item: BuyItem) -> dict[str, Any]:
    card = read_cards(archive).get(item.tag_id or 0)
    bought = item.bought
    return {
        "tag": card.tag.number if card else None,
        "order": card.tag.order if card else None,
        "snag": item.snag.label if item.snag else None,
        "what": item.what or (card.called if card else ""),
        "why": item.why,
        "state": item.state,
        "part_number": bought.part_number if bought else "",
        "price": bought.price if bought else "",
        "shop": bought.shop if bought else "",
        "ordered": bought.ordered_on if bought else "",
        "arrived": bought.arrived_on if bought else "",
    }
