"""Where pictures of doubtful time stand among the others."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from asfound.core.capture.likely_order import in_likely_order
from asfound.model.capture import TimeDoubt, TimeSource
from asfound.model.pictures import Picture

ZONE = ZoneInfo("Europe/Amsterdam")
"""Its clocks went back from 03:00 to 02:00 on 2025-10-26 (directive 2000/84/EC: last Sunday of October, 01:00 UTC)."""


def picture(
    at: int, file: str, utc: str | None, doubt: TimeDoubt | None = None, *, local: str | None = None, dump: int = 1
) -> Picture:
    """Taken at a moment in UTC, or of which only the clocks' time is known."""
    moment = None if utc is None else datetime.fromisoformat(utc).replace(tzinfo=UTC)
    said = None if local is None else datetime.fromisoformat(local)
    return Picture(
        *(at, 1, "photo", file, None, 1, 800, 600, 1, None, said or moment, None, moment or said),
        *(None if moment is None else moment.timestamp(), TimeSource.EXIF_ORIGINAL, doubt),
        *(None, None, None, None, dump, None),
    )


def order(*pictures: Picture, accepted: tuple[int, ...] = ()) -> list[int]:
    return [one.picture_id for one in in_likely_order(pictures, ZONE, accepted)]


def test_pictures_of_sure_time_stand_as_they_were_taken():
    assert order(picture(1, "P1_0001.jpg", "2025-10-19 10:00"), picture(2, "P1_0002.jpg", "2025-10-18 10:00")) == [2, 1]


def test_hour_that_came_twice_is_told_by_the_files_beside_it():
    early = picture(1, "P1_0001.jpg", "2025-10-26 00:10")
    between = picture(3, "P1_0003.jpg", "2025-10-26 00:50")
    late = picture(4, "P1_0005.jpg", "2025-10-26 02:10")
    twice = {"doubt": TimeDoubt.REPEATED_HOUR, "local": "2025-10-26 02:30"}
    assert order(late, between, early, picture(2, "P1_0002.jpg", None, **twice)) == [1, 2, 3, 4]
    assert order(late, between, early, picture(2, "P1_0004.jpg", None, **twice)) == [1, 3, 2, 4]
    assert order(late, between, early, picture(2, "scan.jpg", None, **twice)) == [1, 2, 3, 4]


def test_picture_without_time_stands_after_the_file_before_it_on_the_card():
    first, third = picture(1, "P1_0001.jpg", "2025-10-18 10:00"), picture(3, "P1_0003.jpg", "2025-10-18 12:00")
    others = picture(7, "K1_0001.jpg", "2025-10-18 11:00")
    assert order(picture(2, "P1_0002.jpg", None), third, others, first) == [1, 2, 7, 3]
    assert order(picture(2, "P1_0000.jpg", None), third, others, first) == [2, 1, 7, 3]
    assert order(picture(2, "P1_0900.jpg", None), third, first) == [1, 3, 2], "too far away to tell"
    assert order(picture(2, "P1_0002.jpg", None, dump=2), third, first) == [1, 3, 2], "another card"


def test_time_of_the_file_counts_where_its_neighbours_agree():
    first, third = picture(1, "P1_0001.jpg", "2025-10-18 10:00"), picture(3, "P1_0003.jpg", "2025-10-18 12:00")
    other = picture(4, "K1_0001.jpg", "2025-10-18 11:00")
    fits = picture(2, "P1_0002.jpg", "2025-10-18 11:30", TimeDoubt.FILE_TIME)
    copied = picture(2, "P1_0002.jpg", "2026-02-01 20:00", TimeDoubt.FILE_TIME)
    assert order(third, fits, first, other) == [1, 4, 2, 3]
    assert order(third, copied, first, other) == [1, 2, 4, 3]
    assert order(third, copied, first, other, accepted=(2,)) == [1, 4, 3, 2], "a person's word goes before"


def test_clock_that_was_never_set_counts_for_nothing_beside_a_name_or_a_neighbour():
    first, third = picture(1, "P1_0001.jpg", "2025-10-18 10:00"), picture(3, "P1_0003.jpg", "2025-10-18 12:00")
    never = TimeDoubt.NEVER_SET
    assert order(third, first, picture(2, "IMG_20251018_123000.jpg", "1980-01-01 00:00", never)) == [1, 2, 3]
    assert order(third, first, picture(2, "P1_0002.jpg", "1980-01-01 00:00", never)) == [1, 2, 3]
    coming = picture(2, "P1_0002.jpg", "2031-01-01 00:00", TimeDoubt.TO_COME)
    assert order(third, first, coming) == [1, 2, 3]


def test_several_without_time_keep_the_order_of_their_numbers():
    first = picture(1, "P1_0001.jpg", "2025-10-18 10:00")
    lost = [picture(at, f"P1_000{at}.jpg", None) for at in (4, 3, 2)]
    assert order(*lost, first) == [1, 2, 3, 4]


def test_moments_of_one_second_stay_in_the_order_given():
    same = [picture(at, f"P1_000{9 - at}.jpg", "2025-10-18 10:00") for at in (1, 2, 3)]
    lost = picture(9, "K1_0001.jpg", None)
    assert order(*same, lost) == [1, 2, 3, 9]
    assert order(same[0], picture(8, "P1_0009.jpg", "2025-10-18 09:00")) == [8, 1]
