"""One list of what to buy: parts to be replaced, broken ones, what snags ask for, and what else a person put on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from asfound.core.log.away import find_broken
from asfound.core.words import plain_words
from asfound.model.log import LogLine, Snag
from asfound.model.purchases import Purchase
from asfound.model.tags import Tag

WORN = "condition replace"

State = Literal["to order", "ordered", "arrived"]


@dataclass(frozen=True, slots=True)
class BuyItem:
    """One thing to buy.

    Attributes
    ----------
    what : str
        What to buy, in the person's words where there are any; empty for a tag that says it by its own name.
    why : str
        Why it is on the list: "condition replace", "broken 2025-11-03", "snag N6"; empty where a person put it there.
    snag : Snag or None
    bought : Purchase or None
        What was written down of buying it.
    """

    what: str
    why: str
    tag_id: int | None = None
    snag: Snag | None = None
    bought: Purchase | None = None

    @property
    def state(self) -> State:
        """How far it is."""
        if self.bought is not None and self.bought.arrived_on:
            return "arrived"
        if self.snag is not None and self.snag.bought_at:
            return "arrived"
        return "ordered" if self.bought is not None and self.bought.ordered_on else "to order"

    @property
    def buying_words(self) -> str:
        """Part number, price, shop, ordered, arrived."""
        if self.bought is None:
            return ""
        one = self.bought
        number = f"part number {one.part_number}" if one.part_number else ""
        shop = f"from {one.shop}" if one.shop else ""
        days = [f"{word} {day}" for word, day in (("ordered", one.ordered_on), ("arrived", one.arrived_on)) if day]
        return ", ".join(filter(None, (number, one.price, shop, *days)))


def find_to_buy(
    tags: Iterable[Tag], lines: Iterable[LogLine], snags: Iterable[Snag], purchases: Iterable[Purchase]
) -> list[BuyItem]:
    """The list: tags in the order given, then snags, then what a person put on it; what arrived is on it too.

    A tag is on it while its condition is "replace", or since it was broken, until the log says "new part". Where an
    open snag of the same tag names that very part to buy, by a word of its name or its kind, the snag's words stand for
    both; a clamp for a hose is not the hose.
    """
    tags = list(tags)
    lines, purchases, snags = list(lines), list(purchases), list(snags)
    of_tag = {one.tag_id: one for one in purchases if one.tag_id is not None}
    of_snag = {one.snag_id: one for one in purchases if one.snag_id is not None}
    asking = [snag for snag in snags if snag.is_open and snag.buy]
    renewed = {line.tag_id for line in lines if line.kind == "new part" and not line.is_struck}
    reasons = {tag.tag_id: why for tag in tags if (why := _reason(tag, lines))}
    called = {tag.tag_id: set(plain_words(f"{tag.name} {tag.kind}")) for tag in tags}
    naming = [snag for snag in asking if not called.get(snag.tag_id or 0, set()).isdisjoint(plain_words(snag.buy))]
    covered = {snag.tag_id for snag in naming} - of_tag.keys()
    items = [
        BuyItem(_what(of_tag.get(tag_id)), reasons.get(tag_id, ""), tag_id, bought=of_tag.get(tag_id))
        for tag_id in {**reasons, **of_tag}
        if tag_id not in covered and (tag_id in reasons or tag_id not in renewed)
    ]
    items += [
        BuyItem(snag.buy, _and(f"snag {snag.label}", reasons.get(snag.tag_id or 0) if snag in naming else ""),
                snag.tag_id, snag, of_snag.get(snag.snag_id))
        for snag in asking
    ]  # fmt: skip
    return items + [
        BuyItem(one.what, "", bought=one) for one in purchases if one.tag_id is None and one.snag_id is None
    ]


def _reason(tag: Tag, lines: Iterable[LogLine]) -> str:
    mine = [line for line in lines if line.tag_id == tag.tag_id and not line.is_struck]
    broken = find_broken(mine).get(tag.tag_id)
    if broken is not None and broken.kind == "broken":
        return f"broken {broken.at:%Y-%m-%d}"
    is_worn = plain_words(tag.condition)[:1] in (("replace",), ("renew",))
    return WORN if is_worn and not any(line.kind == "new part" for line in mine) else ""


def _what(bought: Purchase | None) -> str:
    return bought.what if bought is not None else ""


def _and(*words: str | None) -> str:
    return ", ".join(filter(None, words))


def name_items(items: Iterable[BuyItem], names: Mapping[int, str]) -> list[tuple[BuyItem, str]]:
    """Each with the words for it: what to buy, for which thing, why, and how far it is."""
    told = []
    for item in items:
        tag = names.get(item.tag_id or 0, "")
        head = _and(item.what, f"for {tag}" if item.what and tag else tag)
        told.append((item, _and(f"{head}{f' ({item.why})' if item.why else ''}", item.buying_words)))
    return told
