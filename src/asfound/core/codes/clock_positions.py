"""Turned positions told as a clock hour: 12 is up, 3 is right, as one looks at the thing.

From the other side the same position has another hour, so say from where it is looked at.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from asfound.errors import Misused

_HOUR = r"(1[0-2]|0?[1-9])"
_MINUTE = r"(?:[:.]([0-5][0-9]))?"
_CLOCK = r"\s*(?:o['’`´]?\s?clock\b|h\b)"
_NO_NUMBER = r"(?!\w|[:.]\d)"
_UNIT = r"(?!\s*(?:mm|cm|m|in|inch|v|volts?|amps?|nm|bar|psi|deg|degrees)\b|\s*[%°])"
_SAID = (
    re.compile(rf"\bhalf\s+past\s+{_HOUR}{_NO_NUMBER}(?:{_CLOCK})?()", re.IGNORECASE),
    re.compile(rf"(?:\bat\s+|(?<![\w:.])){_HOUR}{_MINUTE}{_CLOCK}", re.IGNORECASE),
    re.compile(rf"\bat\s+{_HOUR}{_MINUTE}{_NO_NUMBER}{_UNIT}", re.IGNORECASE),
)
"""Half past 2; 2 o'clock; at 2. Each has an hour and a minute as its groups."""


@dataclass(frozen=True, slots=True)
class ClockPosition:
    """A position on the clock's face.

    Attributes
    ----------
    hour : int
        1 to 12.
    minute : int
        0 to 59; people hardly tell more than the half hour.

    Raises
    ------
    Misused
        If there is no such hour or minute.
    """

    hour: int
    minute: int = 0

    def __post_init__(self) -> None:
        if not (1 <= self.hour <= 12 and 0 <= self.minute <= 59):
            raise Misused(f"{self.hour}:{self.minute:02} is not on the clock's face: say an hour from 1 to 12.")

    @property
    def angle_deg(self) -> float:
        """Degrees clockwise from 12 o'clock, 0 up to but not including 360."""
        return self.hour % 12 * 30 + self.minute * 0.5

    @property
    def shown(self) -> str:
        """As it is said: "2 o'clock", "2:30 o'clock"."""
        return f"{self.hour}:{self.minute:02} o'clock" if self.minute else f"{self.hour} o'clock"


@dataclass(frozen=True, slots=True)
class ClockWords:
    """A clock position found in a text, and the characters that said it."""

    position: ClockPosition
    start: int
    stop: int


def find_clock(text: str) -> list[ClockWords]:
    """Clock positions in a text, in order: "2 oclock", "2:30 o'clock", "half past 2", "at 10". Bare numbers are none.

    "At 10" is none before a unit: "at 10 mm" is a distance.
    """
    found: list[ClockWords] = []
    for way, said in enumerate(_SAID):
        for match in said.finditer(text):
            if not any(match.start() < words.stop and words.start < match.end() for words in found):
                position = ClockPosition(int(match[1]), 30 if way == 0 else int(match[2] or 0))
                found.append(ClockWords(position, match.start(), match.end()))
    return sorted(found, key=lambda words: words.start)


def parse_clock(text: str) -> ClockPosition | None:
    """The clock position that a text is; None when it says none, more than one, or anything else besides."""
    found = find_clock(text)
    if len(found) == 1 and not (text[: found[0].start] + text[found[0].stop :]).strip(" .,;"):
        return found[0].position
    return None
