"""What the photos themselves tell is lacking."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from asfound.core.log.gap_advice import WHAT_TO_DO
from asfound.core.log.record import CameraClock, Record, Shot
from asfound.core.log.shot_gaps import find_near_duplicates, find_shots_of_nothing, find_unchecked_clocks
from asfound.model.log import GapKind
from tests.core.log.makers import end, tag

START = datetime(2025, 10, 18, 9, 0)
CHANGED = datetime(2025, 10, 26, 3, 0)
PHONE = CameraClock(1, "P1", tells_offset=True)
POCKET = CameraClock(2, "K1")


def shot(at: int, *, tied: bool = True) -> Shot:
    """A photo taken so many minutes after the start."""
    return Shot(at, f"1_{at}.jpg", 1, START + timedelta(minutes=at), tied)


def test_burst_is_one_gap_and_names_the_sharpest():
    record = Record(tags=(), shots=(shot(3), shot(1), shot(2)), bursts=((3, 1, 2), (2, 99)))

    (gap,) = find_near_duplicates(record)

    assert gap.file == "1_1.jpg"
    assert gap.why.startswith(
        "1_1.jpg, 1_2.jpg and 1_3.jpg show nearly the same: put the others behind the sharpest, 1_3"
    )


@pytest.mark.parametrize(
    ("tied", "found"),
    [
        ("yyyynyyyyy", [4]),
        ("yyyyyyyyyn", [9]),
        ("nyyyyyyyyy", []),
        ("yyyyynnyyyyyy", []),
        ("ynynynynyn", []),
        ("yyn", []),
    ],
    ids=["between", "last", "first, from afar", "two in a row", "no series", "too few"],
)
def test_lone_photo_without_a_tag_is_out_of_place(tied: str, found: list[int]):
    shots = tuple(shot(at, tied=mark == "y") for at, mark in enumerate(tied))

    assert [gap.picture_id for gap in find_shots_of_nothing(Record(tags=(), shots=shots))] == found


def test_tape_read_where_nothing_is_pinned_may_be_the_lost_one():
    lost = Record(
        tags=(tag(31), tag(32)),
        ends=(end(31, "B", "tank", tape_lost=True),),
        shots=(shot(1, tied=False), shot(2), shot(3, tied=False)),
        read_numbers=((1, "31"), (2, "31"), (3, "32")),
    )

    (gap,) = find_shots_of_nothing(lost)

    assert (gap.picture_id, "end B of 31" in gap.why) == (1, True)
    assert not list(find_shots_of_nothing(replace(lost, ends=())))


def unchecked(*clocks: CameraClock, changes: tuple[datetime, ...] = (CHANGED,)) -> list[str]:
    """Files of the gaps, with a photo of each camera before the clocks changed and two after."""
    days = (0, 10, 11)
    shots = tuple(
        Shot(10 * clock.camera_id + day, f"{clock.name}_{day}.jpg", clock.camera_id, START + timedelta(days=day))
        for clock in clocks
        for day in days
    )
    record = Record(tags=(), shots=shots, clocks=clocks, clock_changes=changes)
    return [gap.file for gap in find_unchecked_clocks(record)]


def test_clock_is_to_be_compared_in_each_stretch_between_changes():
    assert unchecked(PHONE, POCKET) == ["K1_0.jpg", "K1_10.jpg"]
    assert unchecked(PHONE, POCKET, changes=()) == ["K1_0.jpg"]
    assert unchecked(PHONE, replace(POCKET, compared_since=(None,))) == ["K1_10.jpg"]
    assert unchecked(PHONE, replace(POCKET, compared_since=(CHANGED,))) == ["K1_0.jpg"]
    assert unchecked(PHONE, replace(POCKET, compared_since=(None, CHANGED))) == []


def test_clock_of_a_lone_camera_or_of_one_that_writes_its_offset_is_left_alone():
    assert unchecked(POCKET) == []
    assert unchecked(PHONE, replace(PHONE, camera_id=3, name="P3")) == []


def test_where_no_camera_writes_its_offset_one_of_them_is_what_the_others_are_compared_with():
    assert unchecked(replace(PHONE, tells_offset=False), POCKET, changes=()) == ["K1_0.jpg"]


def test_every_kind_of_gap_says_what_to_do_about_many():
    assert WHAT_TO_DO.keys() == set(GapKind)
    assert all(words.endswith(".") and "safe" not in words for words in WHAT_TO_DO.values())
