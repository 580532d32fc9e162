"""Words behind a verb, and what they make of it: a part of the thing, another thing altogether, or a remark."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.typed import vocabulary as words
from asfound.core.typed.said import KnownNames, Unread
from asfound.core.typed.tokens import Token

LET_GO = frozenset("loose free open back in on into out up together shut".split())


def is_part(rest: Sequence[Token]) -> bool:
    """Whether words behind a number name a part of it: "removed 17 clamp"."""
    codes = [one.code for one in rest[:2]]
    nouns = {*words.PARTS.split("|"), *words.STOPPERS.split("|"), "P"}
    return codes[0] in nouns or (len(rest) <= 2 and codes[-1] in nouns)


def means_more(rest: Sequence[Token]) -> bool:
    """Whether words behind "off" say more than where: to somebody, its clip, at one end."""
    codes = " ".join(one.code for one in rest)
    return (
        re.match(
            rf"(?:to|its|of|limits?|cent(?:re|er)|list|hook|course|duty|and|back|again|apart|up|down|over|aside|forward|forwards|sideways|clear|round|through|tight|loose|straight|along|open)\b|(?:at|for) .*\b(?:{words.SHOPS})\b|.*\b(?:end|side) [ab]\b|.*\b[ab] (?:end|side)\b|(?:by )?Q",
            codes,
        )
        is not None
    )


def goes_with(how: str, rest: Sequence[Token], *, is_bare_on: bool) -> bool:
    """Whether words behind "on", "tight" or "marked" only add to it: "17 on the bench" is not fitted."""
    codes = " ".join(one.code for one in rest)
    if how == "marked":
        return re.fullmatch(r"(?:with |in )?(?:[a-z]+ )?(?:paint|pen|marker|varnish|lacquer)", codes) is not None
    if how or is_bare_on:
        return rest[0].code in ("with", "using")
    return rest[0].code not in ("for", "bench", "floor", "shelf", "order", "hold")


def meant_by_plugged(tags: Sequence[str], rest: Sequence[Token], known: KnownNames) -> str:
    """What "plugged" means: a line is closed by it where that is said, or where all are lines."""
    codes = [one.code for one in rest]
    if codes[:1] == ["with"] or codes[:2] == ["both", "ends"] or codes[-1:] == ["end"]:
        return "capped"
    if not codes and all(tag.rstrip("abAB") in known.lines for tag in tags):
        return "capped"
    raise Unread('"plugged" can be closed with a plug, or plugged in; say capped, or plugged in.')


def without_with(text: str) -> str:
    """``with a cork`` as "cork"."""
    return re.sub(r"^(?:with|using|by) (?:an? |the )?", "", text)


def refuse_limit(tokens: Sequence[Token]) -> None:
    """``gap 0.3 mm max on 40`` is what it may be, not what it was found to be."""
    if found := {one.code for one in tokens} & _LIMITS:
        raise Unread(f'"{found.pop()}" may be a value from the manual; say what was measured or reached.')


_LIMITS = frozenset("max min maximum minimum limit spec nominal allowed tolerance manual book".split())
