"""What a person wrote about the fasteners in a bag, explained line by line: thread, spanner, mark on the head.

Lines on an inch head (SAE J429) and numbers on a metric head (ISO 898-1) are different systems. Nothing here says what
to fit, or how tight.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from asfound.core.codes.threads import SPANNER_WARNING, Thread, find_threads, spanners_for

TORQUE = "How tight, and whether it may be used again: follow the service manual."

PROPERTY_CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9")
"""Classes of ISO 898-1 for bolts; those but 8.8, 10.9 and 12.9 from memory."""

_COUNTS = {"no": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_CLASS = re.compile(
    rf"(?<![\w.×])(?<![x×*] )({'|'.join(map(re.escape, PROPERTY_CLASSES))})(?![.,]?\w|\s*mm\b)", re.IGNORECASE
)
_LINES = re.compile(rf"\b([0-9]|{'|'.join(_COUNTS)})\s+(?:radial\s+|raised\s+)?(?:lines?|dash(?:es)?)\b", re.IGNORECASE)
_PLAIN = re.compile(r"\bplain\s+heads?\b|\bheads?\s+plain\b|\bno\s+head\s+marks?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class HeadMark:
    """A mark on a bolt's head.

    Attributes
    ----------
    system : {"SAE J429", "ISO 898-1"}
    grade : str
        "5", or "2 or ungraded"; "8.8".
    tensile_mpa, yield_mpa : int or None
        Nominal, ISO 898-1 only.
    words : str
        One sentence.
    """

    system: Literal["SAE J429", "ISO 898-1"]
    grade: str
    tensile_mpa: int | None
    yield_mpa: int | None
    words: str


@dataclass(frozen=True, slots=True)
class FastenerWords:
    """What was understood of a text about fasteners.

    Attributes
    ----------
    typed : str
        As typed; the record keeps this.
    threads : tuple of Thread
    marks : tuple of HeadMark
    lines : tuple of str
        What to show; empty when nothing was understood.
    """

    typed: str
    threads: tuple[Thread, ...]
    marks: tuple[HeadMark, ...]
    lines: tuple[str, ...]


def describe_fasteners(typed: str) -> FastenerWords:
    """Explain the threads and head marks in a text such as "6 bolts M10 x 35, 10.9"; never raises."""
    threads, marks = tuple(dict.fromkeys(find_threads(typed))), tuple(dict.fromkeys(find_head_marks(typed)))
    lines = [line for thread in threads for line in _thread_lines(thread)]
    lines += [SPANNER_WARNING] if any(spanners_for(thread) for thread in threads) else []
    lines += [mark.words for mark in marks]
    lines += [TORQUE] if lines else []
    return FastenerWords(typed, threads, marks, tuple(lines))


def find_head_marks(text: str) -> list[HeadMark]:
    """Head marks in a text: "10.9", "6 lines", "three lines", "plain head"."""
    classes = [explain_class(match[1]) for match in _CLASS.finditer(text)]
    counts = [match[1].casefold() for match in _LINES.finditer(text)]
    lines = [explain_lines(_COUNTS[count] if count in _COUNTS else int(count)) for count in counts]
    return [*classes, *lines, *([explain_lines(0)] if _PLAIN.search(text) else [])]


def explain_lines(lines: int) -> HeadMark:
    """Grade of an inch bolt by the lines on its head: lines + 2.

    References
    ----------
    SAE J429, read in secondary text: none, three and six lines; other counts by the rule alone.
    """
    named = f"{lines} lines" if lines else "No lines"
    if lines == 0:
        grade, doubt = "2 or ungraded", ""
    else:
        grade, doubt = str(lines + 2), "" if lines in (3, 6) else ", by the rule alone: not a usual mark"
    return HeadMark("SAE J429", grade, None, None, f"{named} on an inch head: grade {grade} (SAE J429){doubt}.")


def explain_class(mark: str) -> HeadMark:
    """Strength by the numbers on a metric head: first x 100 tensile, first x second x 10 yield, in MPa, nominal.

    References
    ----------
    ISO 898-1, read in secondary text.

    Examples
    --------
    >>> explain_class("8.8").yield_mpa
    640
    """
    first, second = map(int, mark.split("."))
    tensile_mpa, yield_mpa = first * 100, first * second * 10
    words = f"{mark} on a metric head: nominal {tensile_mpa} MPa tensile, {yield_mpa} MPa yield (ISO 898-1)."
    return HeadMark("ISO 898-1", mark, tensile_mpa, yield_mpa, words)


def _thread_lines(thread: Thread) -> list[str]:
    fits = [f"{spanner.size} ({spanner.source})" for spanner in spanners_for(thread)]
    return [thread.words, *([f"Usual spanner for {thread.size}: {' or '.join(fits)}."] if fits else [])]
