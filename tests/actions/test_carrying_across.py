"""Pins carried along pairs of which one picture is in no spot."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.actions import carrying, carrying_across
from asfound.actions.archive import Archive
from asfound.actions.carrying_across import LEAST_SAID, SURE_PAIR, carry_across, pictures_of_one_place
from asfound.actions.known import known_pictures
from asfound.actions.pin import Box, pin_tag
from asfound.actions.progress import quiet
from asfound.core.match import IN_USE
from asfound.core.match.carry import CarriedPin, HandPin
from asfound.store import pins, spots
from asfound.store.spots import StoredLikeness
from tests.four_pictures import four_pictures
from tests.small_changes import tag_of

archive = pytest.fixture(four_pictures)

HAND = HandPin((3, "A"), 1, 0.3, 0.5)
GUESS = CarriedPin((3, "A"), 3, 0.4, 0.6, None, None, 0.8, True, "near", None, None, 1, 1.0)


def alike(archive: Archive, *pairs: tuple[int, int, int, float]) -> None:
    """Pictures a and b with so many agreeing matches and such a probability of one place."""
    rows = [StoredLikeness(a, b, agreeing, probability, 0.1, 1.0, None) for a, b, agreeing, probability in pairs]
    with archive.store.transaction():
        spots.save_likenesses(archive.store, IN_USE, rows)


def grouped(archive: Archive, spot_of: dict[int, int]) -> None:
    with archive.store.transaction():
        spots.save_membership(archive.store, archive.job.job_id, spot_of, {})


def test_pair_counts_when_one_of_it_is_in_no_spot(archive: Archive) -> None:
    first, second = sorted({spot.spot_id for spot in spots.list_spots(archive.store, archive.job.job_id)})
    grouped(archive, {1: first, 2: first, 4: second})
    alike(archive, (1, 2, 90, 0.99), (1, 3, 40, 0.95), (1, 4, 80, 0.99))

    assert pictures_of_one_place(archive, {1, 3}) == {1: {3: 0.95}, 3: {1: 0.95}}


def test_pair_that_is_not_sure_does_not_count(archive: Archive) -> None:
    grouped(archive, {})
    alike(archive, (1, 3, 40, SURE_PAIR - 0.01), (1, 4, 7, 0.99))

    assert pictures_of_one_place(archive, {1}) == {}


def test_those_that_share_most_come_first_and_no_more_than_so_many(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    grouped(archive, {})
    alike(archive, (1, 2, 20, 0.95), (1, 3, 60, 0.95), (1, 4, 40, 0.95))
    monkeypatch.setattr(carrying_across, "MOST_PARTNERS", 2)

    assert list(pictures_of_one_place(archive, {1})[1]) == [3, 4]


@pytest.mark.parametrize(("confidence", "said"), [(0.8, [0.8 * 0.95]), (LEAST_SAID, [])])
def test_doubt_of_the_pair_multiplies_into_each_pin(
    archive: Archive, monkeypatch: pytest.MonkeyPatch, confidence: float, said: list[float]
) -> None:
    grouped(archive, {})
    alike(archive, (1, 3, 40, 0.95))
    monkeypatch.setattr(carrying_across, "_carried", lambda *_: [replace(GUESS, confidence=confidence)])

    carried = carry_across(archive, known_pictures(archive), [HAND])

    assert [pin.confidence for pin in carried] == pytest.approx(said)


def test_pin_on_a_picture_in_no_spot_is_proposed_elsewhere(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    grouped(archive, {})
    alike(archive, (1, 3, 40, 0.95))
    monkeypatch.setattr(carrying_across, "_carried", lambda *_: [GUESS])
    pin_tag(archive, tag_of(archive, "17"), "A", known_pictures(archive)[1], Box(0.3, 0.5))

    carrying.carry_stale(archive, quiet)

    (one,) = pins.find_proposals(archive.store, 3, "A")
    assert (one.picture_id, one.how, one.confidence) == (3, "near", pytest.approx(0.76))
