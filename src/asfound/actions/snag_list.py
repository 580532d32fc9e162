"""Snags as they are listed: each with the thing, the bag and the picture it is tied to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from asfound.actions import bags, snags
from asfound.actions.archive import Archive
from asfound.actions.tag_card import TagCard, read_cards
from asfound.model.log import Bag, Snag
from asfound.model.pictures import Picture
from asfound.store.pictures import get_picture


@dataclass(frozen=True, slots=True)
class ListedSnag:
    """A snag and what it is tied to; None for what it is not tied to."""

    snag: Snag
    card: TagCard | None
    bag: Bag | None
    picture: Picture | None

    @property
    def tie(self) -> str:
        """The thing, the bag and the place in words; empty for none."""
        thing, bag = self.card.label if self.card else "", f"bag {self.bag.label}" if self.bag else ""
        return ", ".join(filter(None, (thing, bag, self.snag.place)))

    @property
    def to_buy(self) -> str:
        """What is still to be bought; empty for nothing."""
        return self.snag.buy if self.snag.is_open and not self.snag.bought_at else ""


def list_ties(archive: Archive) -> list[ListedSnag]:
    """Every snag with its ties, open ones first, in the order in which they were entered."""
    return snags_as_listed(archive, sorted(snags.list_snags(archive), key=lambda snag: not snag.is_open))


def snags_as_listed(archive: Archive, some: Iterable[Snag]) -> list[ListedSnag]:
    """Snags with what they are tied to."""
    cards, by_id = read_cards(archive), {bag.bag_id: bag for bag in bags.list_bags(archive)}
    return [
        ListedSnag(
            snag,
            cards.get(snag.tag_id or 0),
            by_id.get(snag.bag_id or 0),
            get_picture(archive.store, snag.picture_id) if snag.picture_id is not None else None,
        )
        for snag in some
    ]
