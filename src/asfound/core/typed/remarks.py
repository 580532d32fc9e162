"""What may stand in a remark: no number of a thing, no time, no verb, no doubt is swallowed into it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.typed import doubts
from asfound.core.typed.phrases import is_verb_word
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import Token

_BESIDE = frozenset(
    "behind under underneath below above over near beside against touching around between on from next past alongside "
    "facing towards toward opposite inside side".split()
)
"""Words before a number in a remark by which it only says where."""
_DATED = re.compile(r"\d{1,2}[./]\d{1,2}[./]?(?:\d{2,4})?|\d{1,2}:\d{2}|\d{4}-\d\d(?:-\d\d)?")
_CLOCK = re.compile(r"(?:[01]?[1-9]|[12]0|2[0-3])\.[0-5]\d")
"""An hour with a point, but no part of one: 14.20; 0.25 is a measure."""
_DATE_WORDS = frozenset(
    "yesterday today tonight monday tuesday wednesday thursday friday saturday sunday january february april june july "
    "august september october november december ago oclock morning afternoon evening night week weeks month months day "
    "days lunch noon midnight".split()
)
_DANGLING = frozenset("by at on in from for until till since before after around about with to of".split())
_SHORT_DAYS = frozenset(
    "mon tue tues wed thu thur thurs fri sat sun jan feb mar apr jun jul aug sep sept oct nov dec".split()
)


def check_remark(tokens: Sequence[Token], *, is_head: bool) -> None:
    """Refuse words as a remark that may mean something else.

    Parameters
    ----------
    is_head : bool
        Whether they stand directly behind the verb, with no mark between.

    Raises
    ------
    Unread
        If they name a thing, a time or a verb, or leave it open whether it happened.
    """
    if tokens and tokens[-1].code in _DANGLING:
        raise Unread(f'What follows "{tokens[-1].text}" is not clear.')
    doubts.refuse_turned(tokens)
    for at, token in enumerate(tokens):
        before = tokens[at - 1].code if at else ""
        if token.code in ("#", "R", "T") and not (before in _BESIDE and at):
            raise Unread(f'What is meant by "{token.text}" is not clear.')
        if _is_time(token, before):
            raise Unread(f'"{token.text}" may be a time and is not understood; say it like 31/5, 14:20 or yesterday.')
        if is_head and is_verb_word(token.code):
            raise Unread(f'"{token.text}" says something else; put a comma or a second line there.')
        if token.code in (doubts.BESIDE_VERB if is_head else doubts.ANYWHERE):
            raise Unread(f'"{token.text}" leaves it open whether it happened.')


def _is_time(token: Token, before: str) -> bool:
    if token.code in _SHORT_DAYS and before not in ("it", "they", "that", "how", "as"):
        return True
    if token.code == "N" and _CLOCK.fullmatch(token.text):
        return True
    is_hour = token.code == "N" and before == "at"
    return _DATED.fullmatch(token.code) is not None or token.code in _DATE_WORDS or is_hour
