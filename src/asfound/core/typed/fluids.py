"""Fluids in a line: drained, filled, bled, left out; how much, into or out of what."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from asfound.core.typed import vocabulary as words
from asfound.core.typed.doubts import refuse_open
from asfound.core.typed.phrases import known_words
from asfound.core.typed.said import Said, Unread
from asfound.core.typed.tokens import Token

_VERBS = (("drained", words.DRAINED), ("filled", words.FILLED), ("bled", words.BLED))
_APART = (
    ("drained", ("let|ran|sucked|pumped|took|poured|drew|siphoned|letted|got", "out|off")),
    ("filled", ("put|poured|tipped|filled|pumped|topped", "in|up|back")),
)
"""Verbs that take the fluid in between: "let the oil out"."""
_LEFT_OUT = re.compile(
    r"(?:left|leave) (?:out|empty|dry)|not (?:re)?filled (?:on|by) (?:purpose|intention)|stays (?:out|dry)|left"
)
_SMALL = frozenset(
    "of with and from in to about approx ca roughly around some more total all system circuit , into =".split()
)
_AGES = frozenset({"new", "fresh", "old", "used"})
_AMOUNT = r"(?:(?:about|approx|ca|roughly|around|some|nearly|almost|over|~) )?Qvol"


class Texts(Protocol):
    """What gives back the words as they were typed."""

    def text_of(self, tokens: Sequence[Token]) -> str:
        """Tokens as typed."""

    def check_note(self, tokens: Sequence[Token], *, is_head: bool) -> None:
        """Raises `Unread` where words may mean something else."""


def read_fluid(tokens: Sequence[Token], texts: Texts) -> Said | None:
    """A fluid that was drained, filled or bled; None where this says no such thing."""
    codes = " ".join(one.code for one in tokens)
    if not re.search(rf"(?<!\S){words.FLUID}(?!\S)|(?<!\S)(?:{words.CIRCUITS})(?!\S)", codes):
        return None
    kind, left = _verb(list(tokens))
    if not kind:
        return None
    left, what = _cut(
        left, words.FLUID if kind != "bled" else rf"{words.FLUID}(?: system| circuit)?|{words.CIRCUITS}", texts
    )
    if not what:
        return None
    _refuse_lead(tokens, codes)
    if not re.match("T |.*Qvol", codes) and re.search(
        r"(?<!from)(?<!of)(?<!at)(?<!via)(?<!by)(?<!on)(?<!through) T(?!\S)", codes
    ):
        raise Unread("Say whether the number is how much, or what it came out of.")
    said = Said(kind, what=re.sub(r"^(?:the|new|fresh|old|used) ", "", what))
    return add_fluid_words(said, left, texts, is_head=True)


def _refuse_lead(tokens: Sequence[Token], codes: str) -> None:
    """Refuse words before all that is of the fluid, but for one that says which: "looks like coolant drained"."""
    verbs = (
        "|".join(pattern for _kind, pattern in _VERBS) + "|let|ran|took|poured|drew|put|tipped|pumped|sucked|letted|got"
    )
    first = re.search(rf"(?<!\S)(?:(?P<verb>{verbs})|{words.FLUID}|{words.CIRCUITS}|{words.GRADE}|Qvol|T)(?!\S)", codes)
    before = tokens[: codes[: first.start() if first else 0].count(" ")]
    lead = [one for one in before if one.code not in (_SMALL - {"in"}) | _AGES]
    if re.search(r"(?<!\S)T of Qvol(?!\S)", codes):
        raise Unread("How much of it that was is not clear.")
    if len(lead) > 1 or (lead and (first is None or first["verb"] or lead[0].code in known_words())):
        raise Unread(f'"{lead[0].text}" at the beginning is not understood.')


def add_fluid_words(said: Said, tokens: Sequence[Token], texts: Texts, *, is_head: bool = False) -> Said:
    """What more words say of a fluid: amount, container, grade, the thing it came out of; the rest is how it looked."""
    left = list(tokens)
    left, grade = _cut(left, words.GRADE, texts) if said.kind == "filled" else (left, "")
    if not said.amount:
        left, amount = _cut(left, _AMOUNT, texts)
        said = replace(said, amount=amount)
    left, tags = _source(left, is_head=is_head)
    left, container = _container(left, said, texts)
    said = replace(said, grade=said.grade or grade, tags=said.tags or tags, container=said.container or container)
    rest = [one for one in left if (one.code not in _SMALL and one.code not in _AGES) or not is_head]
    rest = rest if any(one.code not in _SMALL for one in rest) else []
    if not rest:
        return said
    if is_head and any(one.code == "T" for one in rest):
        raise Unread(f'"{texts.text_of(rest)}" is not understood.')
    texts.check_note(rest, is_head=is_head)
    if is_head and re.search(rf"(?<!\S){words.FLUID}(?!\S)", " ".join(one.code for one in rest)):
        raise Unread("Two fluids stand in one sentence; say them apart.")
    text = texts.text_of(rest)
    if said.kind == "drained" and not is_head:
        return replace(said, looks=", ".join(filter(None, (said.looks, text))))
    return replace(said, note=", ".join(filter(None, (said.note, text))))


def names_deed(tokens: Sequence[Token]) -> bool:
    """Whether words say that something was drained, filled or bled."""
    codes = " ".join(one.code for one in tokens)
    return any(re.search(rf"(?<!\S)(?:{pattern})(?!\S)", codes) for _kind, pattern in _VERBS)


def _verb(tokens: list[Token]) -> tuple[str, list[Token]]:
    codes = " ".join(one.code for one in tokens)
    found = []
    for kind, pattern in _VERBS:
        match = re.search(rf"(?<!\S)(?:{pattern})(?!\S)", codes)
        if match is not None and len({one for one in match[0].split()} & {"in", "out"}) < len(match[0].split()):
            found.append((kind, match))
    bare = re.fullmatch(
        rf"(?:Qvol )?(?:of )?(?:new |fresh )?{words.FLUID}(?: is| all| back)?(?: Qvol)? (?P<way>in|out)(?P<more> .*)?",
        codes,
    )
    if not found and bare is not None:
        kind = "filled" if bare["way"] == "in" else "drained"
        at = codes[: bare.start("way")].count(" ")
        return kind, [*tokens[:at], *(one for one in tokens[at + 1 :])]
    for kind, verbs in _APART:
        apart = re.fullmatch(
            rf"(?:{verbs[0]}) (?P<what>.*{words.FLUID}.*?) (?P<way>(?:back )?(?:{verbs[1]}))(?P<more> .*)?", codes
        )
        if not found and apart is not None:
            at = codes[: apart.start("way")].count(" ")
            return kind, [*tokens[1:at], *tokens[at + apart["way"].count(" ") + 1 :]]
    if len({kind for kind, _match in found}) != 1:
        return "", tokens
    kind, match = max(found, key=lambda one: len(one[1][0]))
    first = codes[: match.start()].count(" ")
    refuse_open(tokens[max(first - 1, 0) : first])
    return kind, [*tokens[:first], *tokens[first + match[0].count(" ") + 1 :]]


def _cut(tokens: list[Token], pattern: str, texts: Texts) -> tuple[list[Token], str]:
    """The tokens without the first run that is such a thing, and its text."""
    codes = " ".join(one.code for one in tokens)
    match = re.search(rf"(?<!\S)(?:{pattern})(?!\S)", codes)
    if match is None:
        return tokens, ""
    first, size = codes[: match.start()].count(" "), match[0].count(" ") + 1
    return [*tokens[:first], *tokens[first + size :]], texts.text_of(tokens[first : first + size])


def _source(tokens: list[Token], *, is_head: bool) -> tuple[list[Token], tuple[str, ...]]:
    """The thing with a number that it came out of, or went in by."""
    codes = " ".join(one.code for one in tokens)
    match = re.search(rf"(?<!\S)(?:(?:from|out of|at|via|through|by|of|on) ){'?' if is_head else ''}T(?!\S)", codes)
    if match is None:
        return tokens, ()
    first, size = codes[: match.start()].count(" "), match[0].count(" ") + 1
    return [*tokens[:first], *tokens[first + size :]], next(one.of for one in tokens if one.code == "T")


def _container(tokens: list[Token], said: Said, texts: Texts) -> tuple[list[Token], str]:
    lead = "from|out of" if said.kind == "filled" else "into|in|to|->"
    what = rf"(?P<what>P|(?:[a-z]+ ){{0,3}}(?:{words.CAN})s?(?: [a-z]?\d*)?|[a-z]\d{{1,2}}|G)"
    codes = " ".join(one.code for one in tokens)
    match = re.search(rf"(?<!\S)(?:{lead}) {what}(?!\S)", codes) or (
        re.fullmatch(rf"{what}", codes) if codes and codes.split()[-1] in words.CAN.split("|") else None
    )
    if match is None:
        return tokens, ""
    first, size = codes[: match.start()].count(" "), match[0].count(" ") + 1
    start = codes[: match.start("what")].count(" ")
    text = texts.text_of(tokens[start : first + size])
    return [*tokens[:first], *tokens[first + size :]], re.sub(r"^(?:the|an?) ", "", text)
