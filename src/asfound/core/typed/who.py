"""Who did it: a name or initials before a colon, behind "by", in brackets, or before the verb."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from asfound.core.log.said_days import DAYS, LONG_MONTHS
from asfound.core.typed import doubts
from asfound.core.typed import vocabulary as words
from asfound.core.typed.phrases import known_words
from asfound.core.typed.tokens import Token

_NOBODY = frozenset(
    "hand mistake accident now then noon midnight itself myself himself force itself heat me us one the a an hammer air "
    "design itself ear eye feel weight law default turns half degrees far side means way".split()
)
_ROLES = frozenset(
    "engineer operator mechanic electrician apprentice dad father mum mother brother sister son neighbour neighbor wife "
    "husband friend mate yard owner skipper fitter machinist welder helper boss uncle colleague lad".split()
)
_NO_INITIALS = frozenset(
    "OK LH RH NB OEM NG NS OS TBC TBD FYI EP UV PTFE RTV ATF ABS ECU EGR GRP SS AC DC HP LP PS PAS US UK ID OD TV".split()
)
_LEADS = frozenset(
    "snag note problem trouble issue fault defect buy need order shopping today yesterday tape bag engine leaks drained "
    "filled bled gap measured count counted torque todo remark nb warning update log removed new fluid oil coolant fuel "
    "diesel water and then also result photo picture sent back torqued plug hose wire plan plans planning next later first second last idea question answer list job jobs task tasks goal "
    "false true no yes check correction example".split()
)


def take_lead(tokens: Sequence[Token]) -> tuple[str, list[Token]]:
    """A name before a colon at the beginning, and the other tokens."""
    tokens = list(tokens)
    for size in (1, 2):
        some = tokens[:size]
        if len(tokens) > size + 1 and tokens[size].code == ":" and _are_names(some):
            return " ".join(one.text for one in some), tokens[size + 1 :]
    return "", tokens


def _are_names(some: Sequence[Token]) -> bool:
    """Whether words are somebody's name; of two the first is written large: "Piet Bakker"."""
    return all(map(_is_name, some)) and (len(some) == 1 or some[0].text[:1].isupper())


def take_who(tokens: Sequence[Token]) -> tuple[str, list[Token]]:
    """A name said elsewhere, and the other tokens."""
    tokens = list(tokens)
    for at in range(len(tokens) - 1, -1, -1):
        size = _after_by(tokens, at) if tokens[at].code == "by" else 0
        if size:
            names = tokens[at + 1 : at + 1 + size]
            return _without_article(names), [*tokens[:at], *tokens[at + 1 + size :]]
    if len(tokens) > 2 and _are_initials(tokens[-1]) and tokens[-2].code in (",", "-", "/", ";", "."):
        return tokens[-1].text, tokens[:-2]
    if len(tokens) > 3 and tokens[-1].code == ")" and tokens[-3].code == "(" and _is_short_name(tokens[-2]):
        return tokens[-2].text, tokens[:-3]
    if len(tokens) > 2 and _are_initials(tokens[0]) and re.fullmatch(r"#?\d+[ab]?", tokens[1].code):
        return tokens[0].text, tokens[1:]
    if size := _doers(tokens):
        rest = tokens[size + 1 :] if tokens[size].code in _HELPING else tokens[size:]
        return _without_article(tokens[:size]), rest
    return "", tokens


_HELPING = frozenset({"has", "have", "had"})
_DOING = frozenset(
    "took removed pulled disconnected unplugged drained fitted refitted tightened filled bled checked capped cut unbolted "
    "unscrewed undid put reconnected taken undone unclipped sent brought installed torqued measured yanked lifted".split()
)


def _doers(tokens: Sequence[Token]) -> int:
    """How many words at the beginning say who did it: "Jan took 17 off", "my brother has taken 17 off"."""
    for size in (1, 2, 3):
        after = [one.code for one in tokens[size : size + 2]]
        if len(tokens) < size + 2 or not _DOING & set(after[1:] if after[0] in _HELPING else after[:1]):
            continue
        first, last = tokens[0], tokens[size - 1]
        if size == 1 and first.text[:1].isupper() and _is_name(first):
            return 1
        if size > 1 and first.code in ("the", "my", "our") and last.code in _ROLES:
            return size
    return 0


def _without_article(names: Sequence[Token]) -> str:
    return re.sub(r"^(?:the|my|our) ", "", " ".join(one.text for one in names), flags=re.IGNORECASE)


def _after_by(tokens: Sequence[Token], at: int) -> int:
    """How many words behind "by" name somebody."""
    after = list(tokens[at + 1 : at + 5])
    if not after or after[0].code in _NOBODY - {"the"} or not after[0].text[:1].isalpha():
        return 0
    for size in (4, 3, 2, 1):
        if len(after) >= size and after[size - 1].code in _ROLES:
            return size
    if after[0].code == "the" or after[0].code in known_words() or _is_day(after[0].code):
        return 0
    if not (after[0].text[0].isupper() or len(after[0].text) <= 3):
        return 0
    return 2 if len(after) > 1 and after[1].text[:1].isupper() and after[1].text.isalpha() else 1


def _is_name(token: Token) -> bool:
    code = token.code
    is_word = re.fullmatch(r"[^\W\d_]+\.?", token.text) is not None and code not in words.FILLERS
    return (
        is_word
        and code not in known_words() | _LEADS | doubts.BESIDE_VERB | words.THINGS | _said_words()
        and not _is_day(code)
    )


def _is_short_name(token: Token) -> bool:
    return _are_initials(token) or (token.text[:1].isupper() and token.text[1:].islower() and _is_name(token))


def _are_initials(token: Token) -> bool:
    text = token.text.replace(".", "")
    return 2 <= len(text) <= 3 and text.isalpha() and text.isupper() and text not in _NO_INITIALS


@cache
def _said_words() -> frozenset[str]:
    patterns = (
        f"{words.FLUID} {words.DRAINED} {words.FILLED} {words.BLED} {words.VALUES} {words.UNNUMBERED} {words.PARTS}"
    )
    return frozenset(re.findall(r"[a-z]{2,}", patterns))


def _is_day(code: str) -> bool:
    return code in {day.casefold() for day in DAYS} or code.endswith("day") or code in LONG_MONTHS
