"""A value as it is typed in one go: "tightening 45 Nm page 6-12", "gap 0.3 mm limit 0.35 mm", "reached 44 Nm by Jo"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from asfound.core.refit.amounts import is_torque
from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.values import USUAL_VALUES

EXAMPLE = "tightening 45 Nm page 6-12"
_PAGE = re.compile(r"(?:^|[,;]?\s+)(?:manual )?(?:page|p\.)\s*(\S+)$", re.IGNORECASE)
_LIMITS = re.compile(r"[,;]?\s+limits?\s+(\S.*)$", re.IGNORECASE)
_BY = re.compile(r"[,;]?\s+by\s+(\S.*)$", re.IGNORECASE)
_REACHED = re.compile(r"(?:reached|measured)\s+", re.IGNORECASE)
_NUMBER = re.compile(r"\d")


@dataclass(frozen=True, slots=True)
class TypedValue:
    """What was typed of a value; `is_reached` where it was measured or reached, and not read in the manual."""

    what: str
    amount: str
    limits: str = ""
    page: str = ""
    by_whom: str = ""
    is_reached: bool = False


def read_value(text: str) -> TypedValue:
    """Read a line: which value, the value itself, and behind it a limit, a page of the manual, or who reached it.

    Raises
    ------
    Misused
        If no value stands there.
    """
    rest = " ".join(text.split())
    reached = _REACHED.match(rest)
    if reached:
        rest, by_whom = _cut(_BY, rest[reached.end() :])
        what, amount = _split(rest)
        said = TypedValue(what, amount, by_whom=by_whom, is_reached=True)
    else:
        rest, page = _cut(_PAGE, rest)
        rest, limits = _cut(_LIMITS, rest)
        what, amount = _split(rest)
        said = TypedValue(what or ("tightening" if is_torque(amount) else ""), amount, limits, page)
    if not said.amount and not said.limits:
        raise Misused(f"Type which value and the value as the manual says it, such as: {EXAMPLE}")
    if not said.what and not said.is_reached:
        raise Misused(f'Say what "{said.amount}" is, such as: gap {said.amount}')
    return said


def _cut(behind: re.Pattern[str], text: str) -> tuple[str, str]:
    """A text without what stands behind a word at its end, and that."""
    found = behind.search(text)
    return (text[: found.start()], found[1].strip()) if found else (text, "")


def _split(text: str) -> tuple[str, str]:
    """Which value, and the value: at a usual name, else at the first number."""
    folded = fold(text)
    known = next((name for name in sorted(USUAL_VALUES, key=len, reverse=True) if folded.startswith(f"{name} ")), "")
    if known:
        return known, text[len(known) :].strip(" :=")
    number = _NUMBER.search(text)
    at = number.start() if number else len(text)
    return text[:at].strip(" :=,"), text[at:].strip()
