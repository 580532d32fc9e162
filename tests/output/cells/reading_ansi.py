"""A small terminal of our own: text with colour sequences back to characters and their colours (ECMA-48, 8.3.117)."""

from __future__ import annotations

import re
from typing import NamedTuple

Numbers = tuple[int, ...]


class Shown(NamedTuple):
    """One character with the numbers of its ink and paper, empty for the terminal's own."""

    character: str
    ink: Numbers
    paper: Numbers


def read_ansi(text: str) -> list[Shown]:
    """Characters as they are shown; an unknown sequence fails."""
    ink: Numbers = ()
    paper: Numbers = ()
    shown = []
    at = 0
    while at < len(text):
        if text[at] != "\x1b":
            shown.append(Shown(text[at], ink, paper))
            at += 1
            continue
        found = re.compile(r"\x1b\[([\d;]*)m").match(text, at)
        assert found is not None, repr(text[at : at + 12])
        ink, paper = _after([int(number) for number in found[1].split(";")], ink, paper)
        at = found.end()
    return shown


def _after(numbers: list[int], ink: Numbers, paper: Numbers) -> tuple[Numbers, Numbers]:
    while numbers:
        first = numbers.pop(0)
        if first == 0:
            ink, paper = (), ()
        elif first in (38, 48):
            length = {2: 3, 5: 1}[numbers.pop(0)]
            value, numbers = tuple(numbers[:length]), numbers[length:]
            assert len(value) == length
            assert all(0 <= one <= 255 for one in value)
            ink, paper = (value, paper) if first == 38 else (ink, value)
        elif 30 <= first <= 37 or 90 <= first <= 97:
            ink = (first,)
        elif 40 <= first <= 47 or 100 <= first <= 107:
            paper = (first,)
        else:
            raise AssertionError(f"sequence {first} is none of ours")
    return ink, paper
