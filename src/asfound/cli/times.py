"""Times as a person types them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import click

YEARS = range(1970, 2100)
"""A camera whose clock was never set writes 1980, or 1970; work on engines lies between these."""
WRITTEN = "2025-10-18 14:30 or 2025-10-18T14:30:00+02:00"


class TimeType(click.ParamType[datetime]):
    """A date with a time, with or without an offset."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(str(value).strip())
        except ValueError:
            self.fail(f'"{value}" is not a time; write it like {WRITTEN}', param, ctx)
        if at.year not in YEARS:
            self.fail(f'"{value}" lies in the year {at.year}; is that a slip? Write it like {WRITTEN}', param, ctx)
        return at


TIME = TimeType()


def length_in_words(seconds: float) -> str:
    """A length of time as `asfound clock --offset` takes it, to the second.

    Examples
    --------
    >>> length_in_words(-739), length_in_words(3600), length_in_words(0.4), length_in_words(-90061)
    ('-12m19s', '+1h', '0s', '-1d1h1m1s')
    """
    left = round(abs(seconds))
    sign = "" if not left else "-" if seconds < 0 else "+"
    parts = []
    for unit, size in (("d", 86400), ("h", 3600), ("m", 60), ("s", 1)):
        count, left = divmod(left, size)
        if count:
            parts.append(f"{count}{unit}")
    return sign + ("".join(parts) or "0s")
