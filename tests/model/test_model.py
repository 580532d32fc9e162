"""The few things that the nouns say of themselves."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, is_dataclass
from datetime import UTC, datetime
from types import ModuleType
from typing import Any

import pytest

from asfound.model import capture, log, pictures, tags
from asfound.model.capture import OF_WRONG_CLOCK, TimeDoubt, TimeSource
from asfound.model.log import HAPPENINGS, LOOK_ANSWERS, NOT_SO, Bag, BagGroup, Gap, GapKind, Snag
from asfound.model.pictures import Camera, ClockCorrection
from asfound.model.tags import FLOWS, KINDS, LINE_KINDS, ONE_ENDED_KINDS, SIDES

NOW = datetime(2025, 10, 18, 9, 42, tzinfo=UTC)


def nouns(module: ModuleType) -> list[Any]:
    return [one for one in vars(module).values() if is_dataclass(one) and one.__module__ == module.__name__]


@pytest.mark.parametrize("noun", [noun for module in (capture, log, pictures, tags) for noun in nouns(module)])
def test_nouns_are_never_changed_and_carry_nothing_else(noun: Any):
    one = noun.__new__(noun)

    with pytest.raises(FrozenInstanceError):
        setattr(one, fields(noun)[0].name, 1)
    assert not hasattr(one, "__dict__")


@pytest.mark.parametrize(
    ("group", "text"),
    [
        (BagGroup(1, 1, "bolts"), "bolts"),
        (BagGroup(1, 1, "bolts", thread="M10"), "bolts, M10"),
        (BagGroup(1, 1, "bolts", thread="M10", length_mm="35"), "bolts, M10 x 35"),
        (BagGroup(1, 1, "bolts", thread="M10", length_mm="35;40", head_mark="10.9"), "bolts, M10 x 35 and 40, 10.9"),
        (BagGroup(1, 1, "studs", length_mm="60"), "studs, 60"),
        (BagGroup(1, 1, "", head_mark="8.8"), "8.8"),
    ],
)
def test_group_of_fasteners_is_said_as_the_trade_says_it(group: BagGroup, text: str):
    assert group.text == text


def test_what_is_in_a_bag_is_said_in_one_line():
    groups = (BagGroup(1, 1, "bolts", thread="M8"), BagGroup(2, 1, "washers"))

    def bag(contents: str, groups: tuple[BagGroup, ...]) -> Bag:
        return Bag(1, 1, "B4", "flange", contents, "shelf", None, None, "note", groups)

    assert bag("2 dowels", groups).inside == "2 dowels, bolts, M8, washers"
    assert bag("", groups).inside == "bolts, M8, washers"
    assert bag("2 dowels", ()).inside == "2 dowels"
    assert bag("", ()).inside == ""


@pytest.mark.parametrize(("closed_at", "is_open"), [("", True), ("2025-11-02", False)])
def test_snag_is_open_until_a_day_says_otherwise(closed_at: str, is_open: bool):
    snag = Snag(1, 1, "1", NOW, False, None, None, None, "", "torn", "", "", closed_at, "")

    assert snag.is_open is is_open


@pytest.mark.parametrize(
    ("more", "subject", "about"),
    [
        ({"number": "17", "tag_id": 3, "end": "B"}, "17", "tag 3 B"),
        ({"number": "17", "tag_id": 3}, "17", "tag 3"),
        ({"number": "17", "tag_id": 3, "picture_id": 9}, "17", "tag 3"),
        ({"bag": "B4"}, "B4", "bag B4"),
        ({"number": "34"}, "34", "number 34"),
        ({"picture_id": 9, "file": "P1_0009.jpg"}, "P1_0009.jpg", "picture 9"),
    ],
)
def test_gap_is_named_by_a_person_and_found_again_by_its_answer(more: dict[str, Any], subject: str, about: str):
    gap = Gap(GapKind.ONE_END, "why", **more)

    assert (gap.subject, gap.about) == (subject, about)


CAMERA = Camera(
    1,
    1,
    "K1",
    (ClockCorrection(None, -240.0), ClockCorrection(datetime(2025, 10, 26, 3), -3840.0)),
)


@pytest.mark.parametrize(
    ("local", "seconds"),
    [
        (None, -240.0),
        (datetime(2025, 10, 26, 2, 59, 59), -240.0),
        (datetime(2025, 10, 26, 3), -3840.0),
        (datetime(2026, 1, 1), -3840.0),
    ],
)
def test_last_correction_that_has_begun_counts(local: datetime | None, seconds: float):
    assert CAMERA.correction_s(local) == seconds


def test_camera_of_which_nobody_said_anything_is_taken_at_its_word():
    assert Camera(1, 1, "K1", ()).correction_s(NOW.replace(tzinfo=None)) == 0.0
    late = Camera(1, 1, "K1", (ClockCorrection(datetime(2025, 10, 26, 3), 5.0),))
    assert late.correction_s(None) == late.correction_s(datetime(2025, 10, 1)) == 0.0


def test_lists_of_words_agree_with_each_other():
    assert set(ONE_ENDED_KINDS | LINE_KINDS) <= set(KINDS)
    assert not ONE_ENDED_KINDS & LINE_KINDS
    for words in (KINDS, FLOWS, HAPPENINGS, LOOK_ANSWERS, tuple(SIDES), tuple(SIDES.values())):
        assert len(set(words)) == len(words)
        assert all(word == word.strip().lower() or word in FLOWS for word in words)
    assert NOT_SO not in HAPPENINGS, "a strike is no happening"
    assert {TimeDoubt.NEVER_SET, TimeDoubt.RESET, TimeDoubt.TO_COME} == OF_WRONG_CLOCK


def test_sources_of_a_time_are_told_best_first():
    assert [source.value for source in TimeSource] == [
        "exif-original",
        "exif-digitized",
        "gps",
        "xmp",
        "clip-key",
        "clip-header",
        "file-name",
        "exif-edited",
        "file-time",
        "unknown",
    ]
