"""Snags as they are listed: what each is tied to, and what is still to be bought for it."""

from __future__ import annotations

import pytest

from asfound.actions import snags
from asfound.actions.archive import Archive
from asfound.actions.bags import save_bag
from asfound.actions.known import known_pictures
from asfound.actions.snag_list import ListedSnag, list_ties
from asfound.actions.snags import SnagTies
from asfound.errors import Misused, NotFound
from tests.four_pictures import four_pictures
from tests.small_changes import tag_of

archive = pytest.fixture(four_pictures)


def only(archive: Archive) -> ListedSnag:
    (listed,) = list_ties(archive)
    return listed


def test_snag_tells_thing_bag_and_place_in_one_line(archive: Archive):
    ties = SnagTies(
        tag=tag_of(archive, "17"), bag=save_bag(archive, "B4"), picture=known_pictures(archive)[2], place="port bearer"
    )
    snags.add_snag(archive, "clamp rusted", ties)

    listed = only(archive)

    assert listed.tie == "17, bag B4, port bearer"
    assert listed.picture == known_pictures(archive)[2]


def test_snag_of_nothing_is_tied_to_nothing(archive: Archive):
    snags.add_snag(archive, "smells of fuel")

    listed = only(archive)

    assert (listed.tie, listed.card, listed.bag, listed.picture) == ("", None, None, None)


def test_what_is_bought_or_closed_is_bought_no_more(archive: Archive):
    snag = snags.add_snag(archive, "clamp rusted", SnagTies(buy="clamp 32 mm"))
    assert only(archive).to_buy == "clamp 32 mm"

    snags.mark_bought(archive, snag)
    assert only(archive).to_buy == ""

    snags.close_snag(archive, snags.get_snag(archive, "1"), "new clamp on")
    assert only(archive).snag.closed_how == "new clamp on"
    with pytest.raises(Misused, match="asks for nothing to buy"):
        snags.mark_bought(archive, snags.add_snag(archive, "smells of fuel"))


def test_open_ones_stand_first_each_in_the_order_of_entry(archive: Archive):
    for what in ("one", "two", "three"):
        snags.add_snag(archive, what)
    snags.close_snag(archive, snags.get_snag(archive, "snag 1"))

    assert [listed.snag.what for listed in list_ties(archive)] == ["two", "three", "one"]
    snags.reopen_snag(archive, snags.get_snag(archive, "N1"))
    assert [listed.snag.what for listed in list_ties(archive)] == ["one", "two", "three"]
    with pytest.raises(NotFound, match="no snag 9"):
        snags.get_snag(archive, "9")
