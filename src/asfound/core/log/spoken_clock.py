"""The hour as it is said: "half past three", "two thirty pm", "9 o'clock", "at 9 in the morning"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import time

_HOURS = {
    word: hour for hour, word in enumerate("one two three four five six seven eight nine ten eleven twelve".split(), 1)
}
_MINUTES = {
    "five": 5,
    "ten": 10,
    "quarter": 15,
    "fifteen": 15,
    "twenty": 20,
    "twenty five": 25,
    "half": 30,
    "thirty": 30,
}
_MINUTES |= {"forty five": 45, "oh five": 5}
_HOUR = rf"(?P<hour>\d{{1,2}}|{'|'.join(_HOURS)})"
_NOON = r"(?P<half>am|pm|a\.m\.?|p\.m\.?|(?:in the|this) (?:morning|afternoon|evening))"
_MINUTE = r"(?P<minutes>quarter|half|five|ten|twenty(?: five)?)(?: minutes)?"
_FORMS = (
    rf"(?:(?:at|about|around) )?(?:a )?{_MINUTE} (?P<way>past|to) {_HOUR}(?: {_NOON})?",
    rf"(?:(?:at|about|around) )?{_HOUR} o'?clock(?: {_NOON})?",
    rf"(?:(?:at|about|around) )?{_HOUR}(?: (?P<minutes>thirty|fifteen|forty five|oh five))? (?P<half>am|pm)",
    rf"(?:at|about|around) {_HOUR}(?: (?P<minutes>thirty|fifteen|forty five|oh five))? {_NOON}",
)
"""No hour in figures by itself before "this morning": "9 and 10 this morning" are things."""


def read_spoken(words: Sequence[str]) -> tuple[time, ...]:
    """The times that words can mean: both halves of the day where none is said; empty where they are no hour."""
    text = " ".join(words)
    found = next(filter(None, (re.fullmatch(form, text) for form in _FORMS)), None)
    if found is None:
        return ()
    groups = found.groupdict()
    hour = _HOURS.get(groups["hour"]) or int(groups["hour"])
    said = groups.get("minutes") or "0"
    minute = _MINUTES.get(said) or int(said)
    if groups.get("way") == "to":
        hour, minute = (hour - 1) or 12, 60 - minute
    if hour > 24 or minute > 59 or (hour > 12 and groups["half"]):
        return ()
    if hour > 12 or hour == 0:
        return (time(hour % 24, minute),)
    halves = {"a": (0,), "p": (12,), "": (0, 12)}[_half(groups["half"] or "")]
    return tuple(time(hour % 12 + half, minute) for half in halves)


def _half(words: str) -> str:
    return "" if not words else "a" if words.startswith("a") or words.endswith("morning") else "p"
