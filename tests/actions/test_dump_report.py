"""What a dump says of itself, from the files it met."""

from __future__ import annotations

from datetime import datetime

import pytest

from asfound.actions.dump_report import AddedFile, DumpReport, KnownFile, RefusedFile
from asfound.model.capture import Taken, TimeDoubt, TimeSource

AT = datetime(2025, 10, 11, 9, 0)


def added(
    file: str, hour: int | None, camera: str = "P1", doubt: TimeDoubt | None = None, frames: int = 0
) -> AddedFile:
    taken = None if hour is None else Taken(AT.replace(hour=hour), 120, TimeSource.EXIF_ORIGINAL, doubt)
    return AddedFile(file, "photo", 1, None, taken, camera, frames)


def test_report_of_nothing_says_nothing():
    report = DumpReport(1)

    assert (report.done, report.frames, report.span, report.impossible_times) == (0, 0, None, [])
    assert report.cameras == {}


def test_every_file_that_was_dealt_with_counts_once():
    report = DumpReport(1, total=5)
    report.added += [added("a", 9), added("b", 10, frames=3), added("c", 11, frames=2)]
    report.known.append(KnownFile("d", 1, None))
    report.refused.append(RefusedFile("e", "card/e", "no picture"))

    assert (report.done, report.total, report.frames) == (5, 5, 5)


def test_span_is_from_the_first_to_the_last_time_that_can_be_right():
    report = DumpReport(1)
    report.added += [
        added("late", 17),
        added("early", 8),
        added("never set", 1, doubt=TimeDoubt.NEVER_SET),
        added("to come", 23, doubt=TimeDoubt.TO_COME),
        added("came twice", 18, doubt=TimeDoubt.REPEATED_HOUR),
        added("none", None),
    ]

    assert report.span == (AT.replace(hour=8), AT.replace(hour=18))
    assert report.impossible_times == ["never set", "to come"]


def test_files_are_counted_by_camera_where_one_is_told():
    report = DumpReport(1)
    report.added += [added("a", 9), added("b", 9), added("c", 9, camera="K1"), added("d", 9, camera="")]

    assert report.cameras == {"P1": 2, "K1": 1}


@pytest.mark.parametrize(("hour", "source"), [(9, TimeSource.EXIF_ORIGINAL), (None, TimeSource.UNKNOWN)])
def test_file_says_where_its_time_was_read(hour: int | None, source: TimeSource):
    assert added("a", hour).time_source is source
