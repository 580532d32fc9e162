"""Which picture of an end shows best how it was found."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.find.as_found import Sighting, rank_as_found
from tests.strategies import sightings

PLAIN = Sighting(1, 100.0, 0.5, 0.5, None, None, "hand")
OFF = 1000.0


def order(given_sightings: list[Sighting], off_utc_s: float | None = OFF) -> list[int]:
    return [ranked.picture_id for ranked in rank_as_found(given_sightings, off_utc_s)]


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ({"source": "carried", "confirmed": False, "scale": 1.0}, {"taken_utc_s": 2000.0, "scale": 90.0}),
        ({"scale": 1.0}, {"source": "read", "confirmed": False, "scale": 9.0}),
        ({"source": "carried", "confirmed": True}, {"source": "carried", "confirmed": False}),
        ({"scale": 400.0}, {"scale": 100.0}),
        ({"w_frac": 0.4, "h_frac": 0.4}, {"w_frac": 0.1, "h_frac": 0.1}),
        ({"sharpness": 400.0}, {"sharpness": 50.0}),
        ({"scale": 400.0, "sharpness": 100.0}, {"scale": 100.0, "sharpness": 200.0}),
        ({}, {"x_frac": 0.01}),
        ({}, {"y_frac": 0.97}),
        ({"confirmed": False, "confidence": 0.9}, {"confirmed": False, "confidence": 0.3}),
        ({"taken_utc_s": 50.0}, {"taken_utc_s": 60.0}),
        ({}, {"taken_utc_s": None}),
        ({"taken_utc_s": None}, {"taken_utc_s": 2000.0}),
        ({"confirmed": False, "gone": False}, {"confirmed": False, "gone": True, "scale": 50.0}),
        ({"confirmed": False, "gone": True}, {"taken_utc_s": 2000.0, "gone": False}),
    ],
)
def test_better_picture_goes_first(better: dict, worse: dict) -> None:
    first, second = replace(PLAIN, picture_id=2, **better), replace(PLAIN, picture_id=1, **worse)

    assert order([first, second]) == order([second, first]) == [2, 1]


def test_picture_after_removal_is_never_as_found() -> None:
    ranked = rank_as_found([replace(PLAIN, taken_utc_s=OFF + 1), replace(PLAIN, picture_id=2, taken_utc_s=OFF)], OFF)

    assert [(one.picture_id, one.stage, one.is_as_found) for one in ranked] == [
        (2, "before", True),
        (1, "after", False),
    ]
    assert ranked[1].reason == "after it came off, pinned by hand"


def test_a_person_who_confirmed_the_pin_saw_the_thing_there() -> None:
    assert rank_as_found([replace(PLAIN, source="carried", gone=True)], OFF)[0].stage == "before"


def test_without_a_time_off_every_picture_may_be_as_found() -> None:
    (ranked,) = rank_as_found([replace(PLAIN, taken_utc_s=None)], None)

    assert ranked.is_as_found
    assert ranked.reason == "nothing says that it came off, pinned by hand"


def test_reason_says_what_is_good_and_bad() -> None:
    near = replace(PLAIN, picture_id=1, scale=400.0, sharpness=900.0)
    far = replace(
        PLAIN, picture_id=2, scale=50.0, sharpness=20.0, x_frac=0.02, source="carried", confirmed=False, confidence=0.5
    )

    reasons = [ranked.reason for ranked in rank_as_found([near, far], OFF)]

    assert reasons == [
        "from before it came off, pinned by hand, close, sharp",
        "from before it came off, pin carried on, not confirmed, far off, blurred, near the picture's edge",
    ]


def test_no_pictures_no_order() -> None:
    assert rank_as_found([], OFF) == []


@given(st.lists(sightings, max_size=8), st.none() | st.floats(0, 100), st.data())
def test_order_is_total_and_independent_of_the_start(
    seen: list[Sighting], off_utc_s: float | None, data: st.DataObject
) -> None:
    ranked = rank_as_found(seen, off_utc_s)
    shuffled = rank_as_found(data.draw(st.permutations(seen)), off_utc_s)

    assert [one.picture_id for one in ranked] == [one.picture_id for one in shuffled]
    assert sorted(one.picture_id for one in ranked) == sorted(one.picture_id for one in seen)
    stages = ["before", "undated", "gone", "after"]
    assert [stages.index(one.stage) for one in ranked] == sorted(stages.index(one.stage) for one in ranked)
