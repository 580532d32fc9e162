"""The moment of a time that was read, for checks."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from asfound.model.capture import Taken


def utc_of(taken: Taken) -> datetime:
    """In UTC; the offset must be known."""
    assert taken.offset_minutes is not None
    return (taken.local - timedelta(minutes=taken.offset_minutes)).replace(tzinfo=UTC)
