"""What carrying pins writes down: the surest guess for each picture, never over a person's word, never out of turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from asfound.actions import carrying
from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures
from asfound.actions.pin import Box, pin_tag, reject_proposal
from asfound.actions.progress import quiet
from asfound.core.match.carry import CarriedPin
from asfound.model.pictures import Picture
from asfound.model.tags import Pin
from asfound.store import pins, spots
from tests.four_pictures import four_pictures
from tests.small_changes import tag_of

archive = pytest.fixture(four_pictures)

GUESS = CarriedPin((3, "A"), 2, 0.4, 0.6, None, None, 0.8, True, "depth", None, None, 1, 2.0)
"""Tag 17 has the identity 3; pictures 1 and 2 are one spot, 3 and 4 the other."""


class Geometry:
    """Stands in for the geometry: gives what a test says, and keeps what it was asked."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *guesses: CarriedPin) -> None:
        self.asked: list[tuple[list[int], list[int]]] = []
        self.guesses = guesses
        self.meanwhile: list[object] = []
        monkeypatch.setattr(carrying, "_carry", self.carry)

    def carry(self, archive: Archive, members: Sequence[Picture], mine: Sequence[Pin]) -> list[CarriedPin]:
        self.asked.append(([one.picture_id for one in members], [pin.pin_id for pin in mine]))
        for act in self.meanwhile:
            act()  # type: ignore[operator]
        keys = {(pin.tag_id, pin.end) for pin in mine}
        return [one for one in self.guesses if one.key in keys]


def put(archive: Archive, picture_id: int, x: float = 0.3) -> Pin:
    return pin_tag(archive, tag_of(archive, "17"), "A", known_pictures(archive)[picture_id], Box(x, 0.5))


def guessed(archive: Archive) -> list[tuple[int, float, float]]:
    return [(one.picture_id, one.x_frac, one.confidence) for one in pins.find_proposals(archive.store, 3, "A")]


def test_pin_is_carried_to_the_other_pictures_of_its_spot_once(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    geometry = Geometry(monkeypatch, GUESS)
    pin = put(archive, 1)

    assert carrying.carry_stale(archive, quiet) == 1
    assert guessed(archive) == [(2, 0.4, 0.8)]
    assert geometry.asked == [([1, 2], [pin.pin_id])]

    assert carrying.carry_stale(archive, quiet) == 0, "nothing changed since"
    assert len(geometry.asked) == 1


def test_all_that_geometry_says_is_kept(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    Geometry(monkeypatch, replace(GUESS, w_frac=0.1, h_frac=0.2, gone=True, hidden=False, how="chain"))
    put(archive, 1)

    carrying.carry_stale(archive, quiet)

    (one,) = pins.find_proposals(archive.store, 3, "A")
    assert (one.w_frac, one.h_frac, one.gone, one.hidden, one.how) == (0.1, 0.2, True, False, "chain")
    assert (one.source, one.end, one.tag_id) == ("carried", "A", 3)


def test_of_several_guesses_for_a_picture_the_surest_stays_and_none_outside_of_it(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
):
    Geometry(
        monkeypatch,
        replace(GUESS, x_frac=0.1, confidence=0.5),
        replace(GUESS, x_frac=0.2, confidence=0.7),
        replace(GUESS, x_frac=1.2, confidence=0.9, inside=False),
        replace(GUESS, y_frac=-0.1, confidence=0.9, inside=False),
    )
    put(archive, 1)

    carrying.carry_stale(archive, quiet)

    assert guessed(archive) == [(2, 0.2, 0.7)]


def test_nothing_is_guessed_where_a_person_pinned_it_but_its_scale_is_learned(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
):
    Geometry(monkeypatch, GUESS)
    put(archive, 1)
    put(archive, 2)

    carrying.carry_stale(archive, quiet)

    assert guessed(archive) == []
    assert pins.find_scales(archive.store, 3, "A") == {1: 1.0, 2: 2.0}


def test_refused_guess_does_not_come_back(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    Geometry(monkeypatch, GUESS)
    pin = put(archive, 1)
    carrying.carry_stale(archive, quiet)
    reject_proposal(archive, tag_of(archive, "17"), "A", known_pictures(archive)[2])

    put(archive, 1, x=0.35)
    assert carrying.carry_stale(archive, quiet) == 1

    assert guessed(archive) == []
    assert [one.pin_id for one in pins.find_pins(archive.store, 3, "A")] == [pin.pin_id]


def test_pin_set_while_it_is_carried_is_carried_again(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    geometry = Geometry(monkeypatch, GUESS)
    put(archive, 1)
    geometry.meanwhile.append(lambda: put(archive, 1, x=0.9))

    carrying.carry_stale(archive, quiet)
    assert guessed(archive) == [], "a guess from where the pin was is worth nothing"
    assert pins.stale_ends(archive.store) == [(3, "A")]

    geometry.meanwhile.clear()
    assert carrying.carry_stale(archive, quiet) == 1
    assert guessed(archive) == [(2, 0.4, 0.8)]


def test_pin_on_a_picture_in_no_spot_stays_there_and_waits_no_more(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    geometry = Geometry(monkeypatch, GUESS)
    with archive.store.transaction():
        spots.place_picture(archive.store, 1, None)
    put(archive, 1)

    assert carrying.carry_stale(archive, quiet) == 1

    assert geometry.asked == []
    assert pins.stale_ends(archive.store) == []


def test_ends_of_two_spots_are_carried_each_within_its_own(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    geometry = Geometry(monkeypatch)
    first, second = put(archive, 1), put(archive, 3)
    told: list[tuple[str, int, int]] = []

    carrying.carry_stale(archive, lambda words, done, total: told.append((words, done, total)))

    assert geometry.asked == [([1, 2], [first.pin_id]), ([3, 4], [second.pin_id])]
    assert told == [("carrying pins", 0, 2), ("carrying pins", 1, 2)]


def test_scale_of_a_guess_outside_the_picture_is_not_believed(archive: Archive, monkeypatch: pytest.MonkeyPatch):
    Geometry(monkeypatch, replace(GUESS, inside=False), replace(GUESS, scale=None), replace(GUESS, from_id=None))
    put(archive, 1)

    carrying.carry_stale(archive, quiet)

    assert pins.find_scales(archive.store, 3, "A") == {}
