"""Amounts with a unit, read so that a measured one can be laid beside a typed one; others are not judged."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from asfound.core.words import fold

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_UNIT = r"\s*([a-zµ°\"][a-zµ°\"\-./ ]*)?"
_ONE = re.compile(rf"{_NUMBER}{_UNIT}")
_RANGE = re.compile(rf"{_NUMBER}{_UNIT}\s*(?:to|-|–|…|\.\.)\s*{_NUMBER}{_UNIT}")
_ABOUT = re.compile(rf"{_NUMBER}{_UNIT}\s*(?:\+/?-|±)\s*{_NUMBER}{_UNIT}")
_ONE_SIDED = re.compile(rf"(max\.?|maximum|at most|up to|not over|<|min\.?|minimum|at least|over|>)\s*{_NUMBER}{_UNIT}")
_UPPER = frozenset({"max", "max.", "maximum", "at most", "up to", "not over", "<"})
_TORQUE = re.compile(
    rf"{_NUMBER}\s*(n\.?m|newton ?met(re|er)s?|(ft|in)[ .-]?lb[fs]*|lb[fs]*[ .-]?(ft|in)|kgf?[ .-]?m|kpm)(?![a-z])"
)
"""Units in which tightening values are printed in manuals of either side of the ocean."""


@dataclass(frozen=True, slots=True)
class Amount:
    """From `low` to `high`, both in, in a unit as typed and folded."""

    low: float
    high: float
    unit: str

    def is_outside(self, other: Amount) -> bool | None:
        """Whether this is not within another one; None when their units differ, so that nobody can tell."""
        if self.unit != other.unit:
            return None
        slack = 1e-9 * max(1.0, abs(self.high))
        return self.low < other.low - slack or self.high > other.high + slack


def read_amount(text: str) -> Amount | None:
    """An amount, a range, one with a tolerance, or a limit on one side; None for anything else.

    Examples
    --------
    >>> read_amount("0.25 to 0.35 mm")
    Amount(low=0.25, high=0.35, unit='mm')
    >>> read_amount("45 Nm, then 90 degrees") is None
    True
    """
    said = " ".join(fold(text).split())
    if found := _ONE_SIDED.fullmatch(said):
        number = _number(found[2])
        low, high = (0.0, number) if found[1] in _UPPER else (number, math.inf)
        return Amount(low, high, _unit(found[3]))
    for form in (_RANGE, _ABOUT):
        if (found := form.fullmatch(said)) and _unit(found[2]) in ("", _unit(found[4])):
            one, other = _number(found[1]), _number(found[3])
            low, high = (one, other) if form is _RANGE else (one - other, one + other)
            return Amount(low, high, _unit(found[4]) or _unit(found[2])) if low <= high else None
    found = _ONE.fullmatch(said)
    return Amount(_number(found[1]), _number(found[1]), _unit(found[2])) if found else None


def is_torque(text: str) -> bool:
    """Whether a text begins with a tightening value, such as "45 Nm" or "33 lb-ft"."""
    return _TORQUE.match(fold(text.strip())) is not None


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _unit(text: str | None) -> str:
    return (text or "").replace(" ", "").strip(".")
