"""One list of what to buy, with part numbers, what was ordered and what arrived."""

from __future__ import annotations

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.tag import list_tags
from asfound.actions.tag_card import read_cards
from asfound.core.log.away import find_broken
from asfound.core.log.to_buy import WORN, BuyItem, find_to_buy, name_items
from asfound.core.words import fold
from asfound.errors import NotFound
from asfound.model.log import Snag
from asfound.model.purchases import Purchase
from asfound.model.tags import Tag
from asfound.store import purchases

About = Tag | Snag | str
"""A tag that is to be replaced, a snag that asks for something, or words for what is of neither."""


def list_to_buy(archive: Archive, *, arrived: bool = False) -> list[tuple[BuyItem, str]]:
    """The list with the words for each; what arrived is left out unless asked for."""
    items = find_to_buy(
        list_tags(archive),
        log.list_lines(archive),
        snags.list_snags(archive),
        purchases.list_purchases(archive.store, archive.job.job_id),
    )
    names = {tag_id: f"{card.label} ({card.called})" for tag_id, card in read_cards(archive).items()}
    return [(item, words) for item, words in name_items(items, names) if arrived or item.state != "arrived"]


def list_not_renewed(archive: Archive) -> dict[int, str]:
    """Tags that were cut, broken or to be replaced, and of which nothing says that they were repaired or are new."""
    found = {
        tag_id: f"{line.kind} on {line.at:%Y-%m-%d}" for tag_id, line in find_broken(log.list_lines(archive)).items()
    }
    for item, _words in list_to_buy(archive, arrived=True):
        if item.tag_id is not None and WORN in item.why:
            found.setdefault(item.tag_id, "to be replaced")
    return found


def note_purchase(archive: Archive, about: About, **words: str | None) -> None:
    """Put something on the list, or write down its part number, price, shop, that it was ordered or arrived.

    What arrived for a snag counts as bought there too. Parts of which nothing is said stay as they are.
    """
    known = _find(archive, about)
    name = about if isinstance(about, str) else about.number if isinstance(about, Tag) else about.label
    said = {key: word.strip() for key, word in words.items() if word is not None}
    with archive.step(f"{name} on the list to buy"):
        purchase_id = known.purchase_id if known else _add(archive, about)
        if isinstance(about, str) and known is None:
            said.setdefault("what", " ".join(about.split()))
        purchases.change_purchase(archive.store, purchase_id, **said)
        if isinstance(about, Snag):
            if said.get("what"):
                snags.tie_snag(archive, about, snags.SnagTies(buy=said["what"]))
            if said.get("arrived_on") and about.buy and not about.bought_at:
                snags.mark_bought(archive, about)


def about_part(archive: Archive, tag: Tag, what: str) -> About:
    """What a part bought for a tag is on the list: the entry that has these words already, else one of its own.

    A part of a tag is not the tag: that its clamp is bought says nothing of a tag that is to be replaced.
    """
    for snag in snags.list_snags(archive):
        if snag.is_open and snag.tag_id == tag.tag_id and fold(snag.buy) == fold(what):
            return snag
    mine = next(
        (one for one in purchases.list_purchases(archive.store, archive.job.job_id) if one.tag_id == tag.tag_id), None
    )
    if mine is not None and fold(mine.what) == fold(what):
        return tag
    return f"{what} for {tag.number}"


def drop_purchase(archive: Archive, about: About) -> None:
    """Take what was written down of it off the list; a condition, a broken part or a snag puts it there again."""
    known = _find(archive, about)
    if known is None:
        raise NotFound("You have written nothing about that on the list to buy; see: asfound buy")
    with archive.step("off the list to buy"):
        purchases.remove_purchase(archive.store, known.purchase_id)


def _find(archive: Archive, about: About) -> Purchase | None:
    for one in purchases.list_purchases(archive.store, archive.job.job_id):
        if isinstance(about, Tag) and one.tag_id == about.tag_id:
            return one
        if isinstance(about, Snag) and one.snag_id == about.snag_id:
            return one
        if isinstance(about, str) and one.tag_id is None and one.snag_id is None and fold(one.what) == fold(about):
            return one
    return None


def _add(archive: Archive, about: About) -> int:
    tag_id = about.tag_id if isinstance(about, Tag) else None
    snag_id = about.snag_id if isinstance(about, Snag) else None
    return purchases.add_purchase(archive.store, archive.job.job_id, tag_id=tag_id, snag_id=snag_id)
