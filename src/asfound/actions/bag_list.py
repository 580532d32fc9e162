"""Bags as they are listed: each with the things that its fasteners belong to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from asfound.actions import bags
from asfound.actions.archive import Archive
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.pins.numbering import sort_key
from asfound.model.log import Bag


@dataclass(frozen=True, slots=True)
class ListedBag:
    """A bag, and the things it is for in the order in which that was said."""

    bag: Bag
    things: tuple[TagCard, ...]

    @property
    def labels(self) -> tuple[str, ...]:
        """The numbers of the things, as they are typed."""
        return tuple(card.label for card in self.things)

    @property
    def words(self) -> str:
        """What it is called; while it has no name, what is in it."""
        return self.bag.name or self.bag.inside


def list_bags_by_label(archive: Archive, *, to_count: bool = False) -> list[ListedBag]:
    """Bags in order of their labels; with `to_count` only those not counted back, or that came back short."""
    found = (bag for bag in bags.list_bags(archive) if bag.is_to_count or not to_count)
    return bags_as_listed(archive, sorted(found, key=lambda bag: sort_key(bag.label)))


def bags_as_listed(archive: Archive, some: Iterable[Bag]) -> list[ListedBag]:
    """Bags with the things they are for."""
    cards = read_cards(archive)
    return [ListedBag(bag, tuple(cards[tag_id] for tag_id in bag.tag_ids if tag_id in cards)) for bag in some]
