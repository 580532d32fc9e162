"""Capture times: check values with their sources, and properties."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.capture.camera import name_camera
from asfound.core.capture.exif import parse_exif, parse_exif_offset, parse_exif_time, parse_orientation
from asfound.core.capture.moments import parse_fraction, parse_rfc3339, render_rfc3339
from asfound.core.capture.names import parse_name_time
from asfound.core.capture.times import (
    SECONDS_1904_TO_1970,
    TimeHints,
    choose_taken,
    parse_clip_header,
    parse_clip_key,
    settle_in_zone,
)
from asfound.core.capture.xmp import parse_xmp_time
from asfound.model.capture import Taken, TimeDoubt, TimeSource

from .utc import utc_of

AMSTERDAM = ZoneInfo("Europe/Amsterdam")
MOMENT_12 = datetime(2025, 10, 18, 7, 42, 11, tzinfo=UTC)


def test_exif_time_with_offset_and_fraction():
    """CIPA DC-008: sub-seconds are a decimal fraction; RFC 3339."""
    taken = parse_exif({0x9003: "2025:10:18 09:42:11", 0x9011: "+02:00", 0x9291: "07"}).taken

    assert taken is not None
    assert render_rfc3339(taken.local, taken.offset_minutes) == "2025-10-18T09:42:11.07+02:00"
    assert utc_of(taken) == datetime(2025, 10, 18, 7, 42, 11, 70000, tzinfo=UTC)
    assert taken.source is TimeSource.EXIF_ORIGINAL


@pytest.mark.parametrize(
    "nothing",
    [
        "    :  :     :  :  ",
        "0000:00:00 00:00:00",
        "",
        " " * 19,
        "\0" * 20,
        b"\0\xff\xfe",
        None,
        7,
        "2025:13:40 09:00:00",
    ],
)
def test_blank_and_zero_times_are_unknown(nothing: object):
    """CIPA DC-008, DateTime."""
    assert parse_exif_time(nothing) is None
    assert parse_exif({0x9003: nothing}).taken is None


@pytest.mark.parametrize("written", ["2025:10:18 09:42:11\0", b"2025:10:18 09:42:11\0\xff", "2025-10-18 09:42:11"])
def test_exif_time_survives_what_writers_do_to_it(written: object):
    """The form is that of CIPA DC-008; ends and hyphens as some writers leave them, from memory."""
    assert parse_exif_time(written) == datetime(2025, 10, 18, 9, 42, 11)


def test_clip_header_counts_from_1904():
    """ISO/IEC 14496-12, mvhd; the largest 32-bit count by arithmetic."""
    assert timedelta(days=66 * 365 + 17).total_seconds() == SECONDS_1904_TO_1970
    taken = parse_clip_header(3_843_618_131)
    last = parse_clip_header(4_294_967_295)

    assert taken is not None
    assert utc_of(taken) == MOMENT_12
    assert taken.doubt is None
    assert last is not None
    assert utc_of(last) == datetime(2040, 2, 6, 6, 28, 15, tzinfo=UTC)


def test_clip_header_zero_is_unknown_not_1904():
    """The practice of ExifTool: a count of 0 is a time that was never set."""
    assert parse_clip_header(0) is None
    assert parse_clip_header(None) is None
    assert choose_taken(TimeHints(clip_header=0)) is None


def test_clip_header_counted_from_1970_is_read_so_and_doubted():
    """The practice of ExifTool; the moment by arithmetic."""
    taken = parse_clip_header(1_760_773_331, AMSTERDAM)

    assert taken is not None
    assert utc_of(taken) == MOMENT_12
    assert taken.doubt is TimeDoubt.COUNTED_FROM_1970
    assert taken.local == datetime(2025, 10, 18, 9, 42, 11)


def test_clip_header_of_64_bits_cannot_overflow():
    """ISO/IEC 14496-12, mvhd of version 1 (from memory)."""
    assert parse_clip_header(2**64 - 1) is None


def test_clip_key_without_colon_is_the_same_moment():
    """QuickTime metadata key com.apple.quicktime.creationdate."""
    taken = parse_clip_key("2025-10-18T09:42:11+0200")

    assert taken is not None
    assert utc_of(taken) == MOMENT_12
    assert (taken.local.hour, taken.offset_minutes) == (9, 120)


def test_leap_second_and_unknown_offset():
    """RFC 3339, 5.8 and 4.3; RFC 9557, 2.2."""
    leap = parse_rfc3339("1990-12-31T23:59:60Z")
    unknown = parse_rfc3339("2025-10-18T07:42:11-00:00")

    assert leap is not None
    assert leap.local == datetime(1991, 1, 1)
    assert unknown is not None
    assert unknown.offset_minutes is None
    assert parse_rfc3339("2025-10-18t07:42:11z") == unknown
    assert parse_rfc3339("2025-10-18T07:42:11+00:00").offset_minutes == 0  # type: ignore[union-attr]


def test_clip_key_in_utc_is_shown_in_the_zone():
    """RFC 3339 for the form; Amsterdam is two hours ahead in October by the IANA zone data."""
    taken = parse_clip_key("2025-10-18T07:42:11Z", AMSTERDAM)

    assert taken is not None
    assert (taken.local, taken.offset_minutes) == (datetime(2025, 10, 18, 9, 42, 11), 120)
    assert taken.offset_from_zone


@pytest.mark.parametrize(
    ("local", "doubt"),
    [
        (datetime(2025, 10, 26, 2, 30), TimeDoubt.REPEATED_HOUR),
        (datetime(2026, 3, 29, 2, 30), TimeDoubt.SKIPPED_HOUR),
    ],
)
def test_hours_of_the_clock_change_are_flagged_not_guessed(local: datetime, doubt: TimeDoubt):
    """IANA zone data: Amsterdam."""
    settled = settle_in_zone(Taken(local, None, TimeSource.EXIF_ORIGINAL), AMSTERDAM)

    assert settled.doubt is doubt
    assert settled.offset_minutes is None
    assert settled.local == local


@pytest.mark.parametrize(
    ("local", "minutes"),
    [(datetime(2025, 10, 26, 1, 59), 120), (datetime(2025, 10, 26, 3, 0), 60), (datetime(2026, 3, 29, 3, 0), 120)],
)
def test_hours_beside_the_clock_change_are_sure(local: datetime, minutes: int):
    """IANA zone data: Amsterdam."""
    settled = settle_in_zone(Taken(local, None, TimeSource.EXIF_ORIGINAL), AMSTERDAM)

    assert (settled.offset_minutes, settled.doubt, settled.offset_from_zone) == (minutes, None, True)


def test_offset_in_the_file_beats_the_zone():
    taken = Taken(datetime(2025, 10, 26, 2, 30), 60, TimeSource.EXIF_ORIGINAL)

    assert settle_in_zone(taken, AMSTERDAM) == taken


def test_times_are_believed_in_order():
    """Original, digitised, GPS, XMP, clip key, clip header, file name; then, doubted, the last edit and the file's."""
    edited = {0x0132: "2025:12:01 10:00:00"}
    by_gps = {**edited, 0x8825: {7: (8.0, 0.0, 0.0), 29: "2025:10:13"}}
    exif = parse_exif({0x9004: "2025:10:11 10:00:00", **by_gps}).taken
    xmp = parse_xmp_time(b'exif:DateTimeOriginal="2025-10-12T09:00:00"')
    hints = TimeHints(exif, xmp, "2025-10-12T10:00:00+02:00", 3_843_618_131, "20251014_100000.mp4", MOMENT_12)
    sources = []
    for blank in (
        {},
        {"exif": parse_exif(by_gps).taken},
        {"exif": parse_exif(edited).taken},
        {"xmp": None},
        {"clip_key": ""},
        {"clip_header": 0},
        {"file_name": "x.mp4"},
        {"exif": None},
        {"file_time": None},
    ):
        hints = TimeHints(**{name: getattr(hints, name) for name in hints.__slots__} | blank)
        taken = choose_taken(hints, AMSTERDAM)
        sources.append(None if taken is None else taken.source)

    assert sources == [
        TimeSource.EXIF_DIGITIZED,
        TimeSource.GPS,
        TimeSource.XMP,
        TimeSource.CLIP_KEY,
        TimeSource.CLIP_HEADER,
        TimeSource.FILE_NAME,
        TimeSource.EXIF_EDITED,
        TimeSource.FILE_TIME,
        None,
    ]


def test_file_time_is_doubtful():
    aware = choose_taken(TimeHints(file_time=MOMENT_12), AMSTERDAM)
    naive = choose_taken(TimeHints(file_time=datetime(2025, 10, 18, 9, 42, 11)), AMSTERDAM)

    assert aware is not None
    assert naive is not None
    assert aware.doubt is naive.doubt is TimeDoubt.FILE_TIME
    assert utc_of(aware) == utc_of(naive) == MOMENT_12


NAME_TIME = datetime(2025, 10, 18, 9, 42, 11)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("20251018_094211.jpg", NAME_TIME),
        ("IMG_20251018_094211.jpg", NAME_TIME),
        ("VID_20251018_094211_01.mp4", NAME_TIME),
        ("20251018094211.heic", NAME_TIME),
        ("2025-10-18 09.42.11.jpg", NAME_TIME),
        ("2025-10-18 09.42.11-2.jpg", NAME_TIME),
        ("Screenshot_2025-10-18-09-42-11.png", NAME_TIME),
        ("IMG_20251018_094211070.jpg", NAME_TIME.replace(microsecond=70000)),
        ("IMG-20251018-WA0001.jpg", None),
        ("20251018.jpg", None),
        ("IMG_20251399_094211.jpg", None),
        ("DSC_0001.jpg", None),
        ("1234567890123456789.jpg", None),
    ],
)
def test_times_in_file_names(name: str, expected: datetime | None):
    """Names as phones, cameras and messengers give them: from memory."""
    assert parse_name_time(name) == expected


def test_names_known_to_be_in_utc_are_read_so():
    """That names with PXL count in UTC is from memory; two hours to Amsterdam by the IANA zone data."""
    taken = choose_taken(TimeHints(file_name="PXL_20251018_074211070.jpg"), AMSTERDAM)

    assert taken is not None
    assert taken.local == NAME_TIME.replace(microsecond=70000)


@pytest.mark.parametrize(
    ("name", "is_utc"),
    [
        ("20251018T094211Z.jpg", True),
        ("2025-10-18 20251018_094211Z.jpg", True),
        ("20251018T094211070Z.heic", True),
        ("20251018T094211.jpg", False),
        ("20251018_094211Zoom.jpg", False),
    ],
)
def test_z_behind_the_time_of_a_name_says_utc(name: str, is_utc: bool):
    """ISO 8601-1, 4.2.5.3: the designator Z, without a space behind the digits."""
    taken = choose_taken(TimeHints(file_name=name), AMSTERDAM)

    assert taken is not None
    assert taken.local.hour == (11 if is_utc else 9)


def test_moment_of_the_satellites_is_utc():
    taken = choose_taken(TimeHints(exif=parse_exif({0x8825: {7: (7, 42, 11.5), 29: "2025:10:18"}}).taken), AMSTERDAM)

    assert taken == Taken(NAME_TIME, 120, TimeSource.GPS, offset_from_zone=True)


@pytest.mark.parametrize("gps", [None, 0, {}, {7: (7, 42)}, {7: (99, 0, 0), 29: "2025:10:18"}, {7: "x", 29: 3}])
def test_half_a_moment_of_the_satellites_is_none(gps: object):
    assert parse_exif({0x8825: gps}).taken is None


def test_last_edit_stands_in_and_is_doubted():
    taken = choose_taken(TimeHints(exif=parse_exif({0x0132: "2025:10:18 09:42:11"}).taken), AMSTERDAM)

    assert taken is not None
    assert (taken.local, taken.source, taken.doubt) == (NAME_TIME, TimeSource.EXIF_EDITED, TimeDoubt.EDITED)


def test_fraction_is_decimal():
    """CIPA DC-008, SubSecTime: digits behind the point of the second."""
    assert [parse_fraction(t) for t in ("07", "7", "070", "1234567", "", "x", "07 \0")] == [
        70000,
        700000,
        70000,
        123456,
        0,
        0,
        70000,
    ]


@pytest.mark.parametrize(
    ("text", "minutes"), [("+02:00", 120), ("-03:30", -210), ("Z", 0), ("  :  ", None), ("+99:00", None)]
)
def test_exif_offsets(text: str, minutes: int | None):
    """CIPA DC-008, OffsetTime: sign, hours, colon, minutes; blanks where unknown."""
    assert parse_exif_offset(text) == minutes


@pytest.mark.parametrize("value", [0, 9, -1, "x", None, (), 2.5, float("nan")])
def test_impossible_orientations_mean_upright(value: object):
    """CIPA DC-008, Orientation: 1 to 8, and upright is the default."""
    assert parse_orientation(value) == 1


@given(
    st.datetimes(datetime(1, 1, 2), datetime(9999, 12, 30)),
    st.integers(-14 * 60, 14 * 60).filter(bool) | st.just(0),
)
def test_rfc3339_round_trip(local: datetime, minutes: int):
    moment = parse_rfc3339(render_rfc3339(local, minutes))

    assert moment is not None
    assert (moment.local, moment.offset_minutes) == (local, minutes)


@given(st.text(max_size=40))
def test_no_text_makes_the_parsers_raise(text: str):
    parse_rfc3339(text)
    parse_exif_time(text)
    parse_exif_offset(text)
    parse_name_time(text)
    parse_fraction(text)
    name_camera("", "", text)


@given(
    st.dictionaries(
        st.integers(0, 0xFFFF) | st.sampled_from([0x9003, 0x9011, 0x9291, 0x112, 0xA405, 0x10F]),
        st.one_of(
            st.binary(max_size=30),
            st.text(max_size=30),
            st.floats(),
            st.integers(),
            st.lists(st.integers(), max_size=3).map(tuple),
            st.none(),
        ),
    )
)
def test_no_field_makes_parse_exif_raise(fields: dict[int, object]):
    details = parse_exif(fields)

    assert 1 <= details.orientation <= 8


@given(
    st.datetimes(datetime(1980, 1, 1), datetime(2037, 1, 1)),
    st.sampled_from(["Europe/Amsterdam", "America/St_Johns", "Asia/Kolkata", "Australia/Lord_Howe"]),
)
def test_settled_offsets_agree_with_the_zone_data(local: datetime, zone_name: str):
    zone = ZoneInfo(zone_name)
    settled = settle_in_zone(Taken(local, None, TimeSource.EXIF_ORIGINAL), zone)

    if settled.offset_minutes is None:  # an hour that the clocks left out, or showed twice
        assert settled.doubt is not None
    else:
        assert utc_of(settled).astimezone(zone).replace(tzinfo=None) == local


@pytest.mark.parametrize(
    ("make", "model", "file", "expected"),
    [
        ("Fieldcam", "F1", "x.jpg", "Fieldcam F1"),
        ("Fieldcam", "FIELDCAM F1", "x.jpg", "FIELDCAM F1"),
        ("", "", "P1_0032.jpg", "P1"),
        ("", "", "DSC00123.JPG", "DSC"),
        ("", "", "IMG-20251018-WA0001.jpg", "IMG"),
        ("", "", "20251018_094211.jpg", ""),
        ("", "", "hose.jpg", ""),
    ],
)
def test_names_of_cameras(make: str, model: str, file: str, expected: str):
    """Makers that repeat their name in the model, and prefixes of file names: common practice, no source."""
    assert name_camera(make, model, file) == expected


NOW = datetime(2025, 10, 18, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("local", "doubt"),
    [
        (datetime(1904, 1, 1), TimeDoubt.NEVER_SET),
        (datetime(1980, 1, 1, 0, 1), TimeDoubt.NEVER_SET),
        (datetime(1991, 1, 2), None),
        (datetime(2000, 1, 1, 0, 59), TimeDoubt.RESET),
        (datetime(2025, 1, 1), TimeDoubt.RESET),
        (datetime(2025, 1, 1, 1), None),
        (datetime(2025, 10, 19, 23), None),
        (datetime(2025, 10, 20, 1), TimeDoubt.TO_COME),
        (datetime(2038, 1, 19, 4, 14, 7), TimeDoubt.TO_COME),
    ],
)
def test_time_that_cannot_be_right_is_doubted(local: datetime, doubt: TimeDoubt | None):
    """1904 and 1980 are where clocks begin that were never set, 2038 where 32 bits end: from memory."""
    taken = choose_taken(TimeHints(exif=Taken(local, None, TimeSource.EXIF_ORIGINAL), now=NOW), AMSTERDAM)

    assert taken is not None
    assert (taken.local, taken.doubt) == (local, doubt)
    assert taken.offset_minutes in (60, 120)


def test_nothing_is_to_come_for_a_reader_without_a_clock():
    taken = choose_taken(TimeHints(exif=Taken(datetime(2038, 1, 2), None, TimeSource.EXIF_ORIGINAL)), AMSTERDAM)

    assert taken is not None
    assert taken.doubt is None


def test_doubt_that_is_there_already_is_kept():
    when = datetime(2099, 1, 1, tzinfo=UTC)
    taken = choose_taken(TimeHints(file_time=when, now=NOW), AMSTERDAM)

    assert taken is not None
    assert taken.doubt is TimeDoubt.FILE_TIME
