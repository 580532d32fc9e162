"""When a picture was taken: which of a file's times to believe, and what to doubt about it.

The order is DateTimeOriginal, DateTimeDigitized, GPS, XMP, a clip's own key, a clip's header, the file name, and last,
always doubtful, the time of the last edit and that of the file itself. Times are kept as the camera wrote them; nothing
is turned into UTC and back (Exif: CIPA DC-008; text form: RFC 3339 with RFC 9557, section 2.2; clip header: ISO/IEC
14496-12, `mvhd`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from asfound.core.capture.moments import UNKNOWN_OFFSET_IS_UTC, parse_rfc3339
from asfound.core.capture.names import is_name_in_utc, parse_name_time
from asfound.model.capture import Taken, TimeDoubt, TimeSource

SECONDS_1904_TO_1970 = 2_082_844_800
"""(66 x 365 + 17) days: what a clip header's count has too much over Unix time (QuickTime File Format, date values)."""

FIRST_CAMERAS = 1990
"""Year before which nothing sold wrote a capture time; a clock that was never set shows 1904, 1970 or 1980."""

RESET_FOR = timedelta(hours=1)
"""A clock that lost its battery begins at midnight of the first of January; so long after, a time is doubted."""

_USUAL_YEAR = 2000
_EPOCH_1904 = datetime(1904, 1, 1)
_EPOCH_1970 = datetime(1970, 1, 1)


@dataclass(frozen=True, slots=True)
class TimeHints:
    """Everything a file offers about its time, before one is chosen.

    Attributes
    ----------
    exif : Taken or None
        From `parse_exif`; already the best that Exif has.
    xmp : Taken or None
        From `parse_xmp_time`.
    clip_key : str
        `com.apple.quicktime.creationdate`, such as ``2025-10-18T09:42:11+0200``; empty when there is none.
    clip_header : int or None
        The count of seconds in `mvhd`, as stored.
    file_name : str
        The name on the card, without folders.
    file_time : datetime or None
        Last change of the file: aware when the system knows the moment, naive when only wall-clock time is kept (zip).
    now : datetime or None
        When the file is read, aware: a time later than the day after cannot be right. None leaves that open.
    """

    exif: Taken | None = None
    xmp: Taken | None = None
    clip_key: str = ""
    clip_header: int | None = None
    file_name: str = ""
    file_time: datetime | None = None
    now: datetime | None = None


def choose_taken(hints: TimeHints, zone: ZoneInfo | None = None) -> Taken | None:
    """The best time among the hints, placed in the zone where it carries no offset; None when nothing tells."""
    edited = hints.exif if hints.exif is not None and hints.exif.source is TimeSource.EXIF_EDITED else None
    taken = (
        (None if edited else _in_zone(hints.exif, zone))
        or hints.xmp
        or parse_clip_key(hints.clip_key, zone)
        or parse_clip_header(hints.clip_header, zone)
        or _from_name(hints.file_name, zone)
        or edited
        or _from_file_time(hints.file_time, zone)
    )
    return None if taken is None else settle_in_zone(_doubted(taken, hints.now, zone), zone)


def settle_in_zone(taken: Taken, zone: ZoneInfo | None) -> Taken:
    """Give a time without offset the zone's offset at that wall-clock time.

    An hour that the clocks repeated or skipped is not guessed: the offset stays None and the doubt says why. A doubt
    that is already there is kept. Without a zone, or with an offset, the time comes back as it is.

    In a year that a clock shows only because nobody set it, the zone's own offset of that year (20 minutes in
    Amsterdam in 1904) would say nothing; the one of that day in our time stands in.
    """
    if zone is None or taken.offset_minutes is not None:
        return taken
    if taken.doubt is TimeDoubt.NEVER_SET:
        usual = _offset_minutes(taken.local.replace(year=_USUAL_YEAR), zone, 0)
        return replace(taken, offset_minutes=usual, offset_from_zone=True)
    first, second = (_offset_minutes(taken.local, zone, fold) for fold in (0, 1))
    if first == second:
        return replace(taken, offset_minutes=first, offset_from_zone=True)
    doubt = TimeDoubt.REPEATED_HOUR if first > second else TimeDoubt.SKIPPED_HOUR
    return replace(taken, doubt=taken.doubt or doubt)


def parse_clip_key(text: str, zone: ZoneInfo | None = None) -> Taken | None:
    """The time in a clip's own key, which survives editing better than the header; None when it cannot be read."""
    moment = parse_rfc3339(text)
    if moment is None:
        return None
    if moment.offset_minutes is UNKNOWN_OFFSET_IS_UTC:
        return _from_utc(moment.local, zone, TimeSource.CLIP_KEY)
    return Taken(moment.local, moment.offset_minutes, TimeSource.CLIP_KEY)


def parse_clip_header(count: int | None, zone: ZoneInfo | None = None) -> Taken | None:
    """The creation time of `mvhd`.

    Parameters
    ----------
    count : int or None
        Seconds since 1904-01-01T00:00:00Z. 0 means not set. A count below `SECONDS_1904_TO_1970` would lie before
        1970: the writer most likely counted from 1970, so it is read that way and marked.
    zone : ZoneInfo or None
        Where the local time is wanted; UTC without one.
    """
    if not count or count < 0:
        return None
    suspect = count < SECONDS_1904_TO_1970
    try:
        moment = (_EPOCH_1970 if suspect else _EPOCH_1904) + timedelta(seconds=count)
    except OverflowError:
        return None
    taken = _from_utc(moment, zone, TimeSource.CLIP_HEADER)
    return replace(taken, doubt=TimeDoubt.COUNTED_FROM_1970) if suspect else taken


def _doubted(taken: Taken, now: datetime | None, zone: ZoneInfo | None) -> Taken:
    """The time, doubted where the camera's clock cannot have been right."""
    if taken.doubt is not None:
        return taken
    if taken.local.year < FIRST_CAMERAS:
        return replace(taken, doubt=TimeDoubt.NEVER_SET)
    if (taken.local.month, taken.local.day) == (1, 1) and taken.local - _midnight(taken.local) < RESET_FOR:
        return replace(taken, doubt=TimeDoubt.RESET)
    # Another zone's clocks may show tomorrow already.
    if now is not None and taken.local.date() > now.astimezone(zone or UTC).date() + timedelta(days=1):
        return replace(taken, doubt=TimeDoubt.TO_COME)
    return taken


def _midnight(local: datetime) -> datetime:
    return local.replace(hour=0, minute=0, second=0, microsecond=0)


def _in_zone(taken: Taken | None, zone: ZoneInfo | None) -> Taken | None:
    """A GPS moment as wall-clock time; anything else as it is."""
    if taken is None or taken.source is not TimeSource.GPS:
        return taken
    return _from_utc(taken.local, zone, TimeSource.GPS)


def _from_name(name: str, zone: ZoneInfo | None) -> Taken | None:
    local = parse_name_time(name)
    if local is None:
        return None
    if is_name_in_utc(name):
        return _from_utc(local, zone, TimeSource.FILE_NAME)
    return Taken(local, None, TimeSource.FILE_NAME)


def _from_file_time(file_time: datetime | None, zone: ZoneInfo | None) -> Taken | None:
    if file_time is None:
        return None
    if file_time.tzinfo is None:
        return Taken(file_time, None, TimeSource.FILE_TIME, TimeDoubt.FILE_TIME)
    moment = file_time.astimezone(UTC).replace(tzinfo=None)
    return replace(_from_utc(moment, zone, TimeSource.FILE_TIME), doubt=TimeDoubt.FILE_TIME)


def _from_utc(moment: datetime, zone: ZoneInfo | None, source: TimeSource) -> Taken:
    """A known moment shown as wall-clock time of the zone. There is never a doubt in this direction."""
    if zone is None:
        return Taken(moment, 0, source)
    try:
        local = moment.replace(tzinfo=UTC).astimezone(zone)
    except OverflowError:
        return Taken(moment, 0, source)
    offset = local.utcoffset() or timedelta(0)
    minutes = round(offset.total_seconds() / 60)
    return Taken(moment + timedelta(minutes=minutes), minutes, source, offset_from_zone=True)


def _offset_minutes(local: datetime, zone: ZoneInfo, fold: int) -> int:
    offset = local.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta(0)
    return round(offset.total_seconds() / 60)
