"""What front, left and turning mean on a machine, as its person fixed them, for wherever such words are shown."""

from __future__ import annotations

import re

from asfound.core.codes.turning import turning_gap
from asfound.model.pictures import Job

NOT_SAID = "not said"

_USED = {
    "front": re.compile(r"\b(?:front|rear)\b", re.IGNORECASE),
    # "Left open" and "left on its stud" tell of no side.
    "left": re.compile(r"\b(?:left(?!-?\s?(?:open|on|off|out|in|over|as|loose|there)\b)|right)\b", re.IGNORECASE),
    "turning": re.compile(r"clock-?wise|\bc?cw\b|\brotat|\bturning\b|\bturns\b", re.IGNORECASE),
}


def list_meanings(job: Job) -> tuple[tuple[str, str], ...]:
    """("front", words), then left and turning; empty words where nobody said, a remark where they leave it open."""
    turning = job.turning_means
    if gap := turning_gap(turning, job.front_means):
        turning = f"{turning} ({gap}?)"
    return (("front", job.front_means), ("left", job.left_means), ("turning", turning))


def meanings_line(job: Job) -> str:
    """All three in one line."""
    return "; ".join(f"{lead}: {words or NOT_SAID}" for lead, words in list_meanings(job))


def meanings_for(job: Job, text: str) -> tuple[str, ...]:
    """What was said of those of the three that a text uses, a line each."""
    return tuple(f"{lead} means: {words}" for lead, words in list_meanings(job) if words and _USED[lead].search(text))
