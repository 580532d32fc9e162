"""Slips of the finger in the verbs that are typed most: "disconected", "tightend"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from asfound.core.typed import vocabulary as words
from asfound.core.typed.tokens import Token

SHORTEST = 6
_OFTEN = (
    "removed disconnected unplugged unscrewed unbolted unclipped detached unhooked loosened refitted reconnected "
    "reinstalled installed connected attached mounted tightened torqued checked marked snapped cracked broken sheared "
    "capped plugged uncapped blanked measured drained filled refilled topped replaced renewed repaired welded ordered "
    "bought yesterday coolant diesel hydraulic gearbox engine washers counted wrapped pulled lifted"
).split()


def without_slips(tokens: Sequence[Token]) -> list[Token]:
    """Each word that is one letter away from a single one of the usual verbs, read as that one."""
    return [replace(token, code=meant) if (meant := _meant(token.code)) else token for token in tokens]


@cache
def _meant(code: str) -> str:
    if len(code) < SHORTEST or not code.isalpha() or code in words.OTHER_WORDS or code in _OFTEN:
        return ""
    near = [word for word in _OFTEN if _is_slip(code, word)]
    return near[0] if len(near) == 1 else ""


def _is_slip(typed: str, meant: str) -> bool:
    """One letter too many, too few, another, or two changed over; the first one is right."""
    if typed[0] != meant[0] or abs(len(typed) - len(meant)) > 1:
        return False
    at = next(
        (place for place, (a, b) in enumerate(zip(typed, meant, strict=False)) if a != b), min(len(typed), len(meant))
    )
    rest, other = typed[at:], meant[at:]
    swapped = len(rest) > 1 and rest[1] + rest[0] + rest[2:] == other
    return swapped or rest[1:] == other[1:] or rest[1:] == other or rest == other[1:]
