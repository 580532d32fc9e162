"""Which numbers are meant by "1-20, 25, W3"."""

from __future__ import annotations

import re
from collections.abc import Collection

from asfound.core.pins.numbering import sort_key
from asfound.errors import NotFound


def choose_numbers(words: str, in_use: Collection[str]) -> set[str]:
    """Numbers in use that are named, or lie between two that are, in their natural order.

    Raises
    ------
    NotFound
        If a part names no number in use, so that nobody prints less than was meant without knowing.

    Examples
    --------
    >>> sorted(choose_numbers("1-3, 12x", {"1", "2", "5", "12", "12x"}))
    ['1', '12x', '2']
    """
    chosen: set[str] = set()
    for part in filter(None, re.split(r"[,;\s]+", re.sub(r"\s*-\s*", "-", words))):
        found = {part} & set(in_use) or _between(part, in_use)
        if not found:
            raise NotFound(f"No tag is numbered {part}; say numbers and spans that are in use, such as 1-20,25.")
        chosen |= found
    return chosen


def _between(part: str, in_use: Collection[str]) -> set[str]:
    first, dash, last = part.partition("-")
    if not dash:
        return set()
    low, high = sort_key(first)[0], sort_key(last)[0]
    # "20x" comes after 20 in the natural order, and belongs to a span that ends with 20.
    return {number for number in in_use if low <= sort_key(number)[0] and sort_key(number)[0][: len(high)] <= high}
