"""What follows a head in its line: more numbers, a bag, an amount, what else happened to the same things, or a note."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from asfound.core.typed import vocabulary as words
from asfound.core.typed.clauses import ClauseReader
from asfound.core.typed.fluids import add_fluid_words, names_deed
from asfound.core.typed.numbers import join_numbers
from asfound.core.typed.said import BACK_IN_PLACE, COUNTED_BACK, COUNTED_OUT, Said, Unread
from asfound.core.typed.tokens import Token

_FLUIDS = ("drained", "filled", "bled")
_STILL = re.compile(r"T (?:(?:is|are) )?(?:still|not|left|stays?|remains?) .*|T (?:left|untouched|not|open)|not T")
_AFTER = {
    "off": ("refitted", "capped", "sent out", "new part", "repaired", "bagged", "tape lost", "off"),
    "refitted": ("refitted", "torque", "capped", "off"),
}
"""Kinds that a bare verb adds; others are asked about or are a note."""
_ASKED = ("broken", "cut", "torque")
_HOLDS_BAG = ("off", "bagged", "broken", "cut", "new part")


class FollowedPart(Protocol):
    """A head and the ways to read it."""

    ways: list[list[Said]]
    is_open: bool


class FollowingSegment(Protocol):
    """Tokens between two marks, and the mark before them."""

    tokens: list[Token]
    mark: str


def is_bag_of(part: FollowedPart, segment: FollowingSegment) -> bool:
    """Whether a segment only says where the fasteners of what came off are: "4 bolts in bag B4"."""
    codes = [one.code for one in segment.tokens if one.code not in words.FILLERS]
    plain = [one for one in segment.tokens if one.code not in words.FILLERS]
    needs = all(ways[0].kind in _HOLDS_BAG and not ways[0].bag for ways in part.ways)
    return needs and not {"back", "counted", "out", "short", "missing"} & set(codes) and bool(_bag_alone(codes, plain))


def follow(part: FollowedPart, segment: FollowingSegment, reader: ClauseReader, refusal: Unread | None) -> None:
    """Take a segment into the part before it; raises `Unread` where it may mean something of its own."""
    tokens = [one for one in segment.tokens if one.code != ":"]
    plain = [one for one in join_numbers(tokens) if one.code not in words.FILLERS]
    codes = " ".join(one.code for one in plain)
    if [one.code for one in tokens] in (["a"], ["b"]):
        part.ways = [_with_other_end(part, ways, tokens[0].code) for ways in part.ways]
        return
    if codes == "T":
        part.ways = [_with_numbers(part, ways, plain[0].of, reader.text_of(tokens)) for ways in part.ways]
        return
    part.is_open = False
    if not codes:
        return
    if _STILL.fullmatch(codes) and not _same_thing(part, plain):
        part.ways = [_noted(ways, reader.text_of(tokens), segment.mark) for ways in part.ways]
        return
    part.ways = [way for ways in part.ways for way in _ways_on(ways, plain, tokens, segment.mark, reader, refusal)]


def _with_other_end(part: FollowedPart, ways: list[Said], end: str) -> list[Said]:
    """``took off 17a and b``: the other end of the number before."""
    lasts = [said.tags[-1] if said.tags else "" for said in ways]
    if not part.is_open or any(last[-1:] not in ("a", "b") or last.endswith(end) for last in lasts):
        raise Unread("Say the end with the number, such as 17a.")
    return [replace(said, tags=(*said.tags, said.tags[-1][:-1] + end)) for said in ways]


def _same_thing(part: FollowedPart, plain: Sequence[Token]) -> bool:
    """Whether a segment names a thing that the part before it is of: "17 off, 17 not"."""
    named = {tag for one in plain if one.code == "T" for tag in one.of}
    return any(named & set(said.tags) for ways in part.ways for said in ways)


def _with_numbers(part: FollowedPart, ways: list[Said], labels: tuple[str, ...], text: str) -> list[Said]:
    if not part.is_open and "also" not in text.split():
        raise Unread(f'What of "{text}" is not said; name all numbers together, or say it in two lines.')
    return [replace(said, tags=(*said.tags, *labels)) if said.tags else said for said in ways]


def _ways_on(
    ways: list[Said],
    plain: list[Token],
    tokens: Sequence[Token],
    mark: str,
    reader: ClauseReader,
    refusal: Unread | None,
) -> list[list[Said]]:
    first, last = ways[0], ways[-1]
    codes = [one.code for one in plain]
    if last.kind in _FLUIDS:
        return [_fluid_on(ways, plain, tokens, reader)]
    if (bag := _bag_alone(codes, plain)) and first.kind in _HOLDS_BAG and not first.bag:
        rest = [
            one for one in tokens if one.code not in ("G", *words.BETWEEN, "bagged", "put", "it", "them", "all", "both")
        ]
        reader.check_note(rest, is_head=True)
        note = "" if bag == BACK_IN_PLACE else reader.text_of(rest)
        return [_noted([replace(said, bag=bag) if said.kind in _HOLDS_BAG else said for said in ways], note, mark)]
    if bag and first.kind in _HOLDS_BAG:
        raise Unread("Two bags stand in one sentence; say them apart.")
    if first.kind in (COUNTED_OUT, COUNTED_BACK):
        label = next(iter([first.bag]))
        bag_token = Token(label, "G", plain[0].start, plain[0].start, (label,))
        some = reader.head([bag_token, *plain])
        if len(some) == 1:
            return [[*ways, *some[0]]]
        if re.fullmatch(r"(?:T|P|#)(?: is| are)? (?:short|missing|lost|too many|too few|less|more)", " ".join(codes)):
            return [_noted(ways, reader.text_of(tokens), mark)]
    if first.tags and (more := _bare(first, plain, reader)):
        if more[0].kind in _ASKED and first.kind == "off":
            return [[*ways, *more], _noted(ways, reader.text_of(tokens), mark)]
        return [_merged(ways, more)]
    if refusal is not None and any(one.code in ("T", "#") for one in plain):
        raise refusal
    text_tokens = list(plain)
    reader.check_note(text_tokens, is_head=False)
    return [_noted(ways, reader.text_of(tokens), mark)]


def _bag_alone(codes: list[str], plain: Sequence[Token]) -> str:
    """The bag of a segment that says nothing else than what is in it."""
    if "T" in codes or "#" in codes:
        return ""
    bags = [one.of[0] for one in plain if one.code == "G"]
    if len(bags) == 1 and len(codes) <= 6:
        return bags[0]
    said = " ".join(codes)
    holes = r"(?:left )?(?:(?:bolts|screws|nuts|fasteners|P|studs|clips|all|them|hardware) )?(?:(?:put|screwed|left|are|went) )*"
    if re.fullmatch(
        rf"{holes}(?:back )?(?:in|into) (?:(?:own|original|same|their) )*(?:place|holes?)|{holes}back(?: in)?", said
    ):
        return BACK_IN_PLACE if said not in ("back", "back in", "in place", "back in place") else ""
    return ""


def _bare(first: Said, plain: Sequence[Token], reader: ClauseReader) -> list[Said]:
    """What a verb without a number says of the same things; nothing where it has words of its own beside it."""
    if any(one.code in ("T", "#") for one in plain):
        return []
    codes = [one.code for one in plain]
    if codes[:1] == ["both"] and codes[1:2] != ["ends"]:
        plain = plain[1:]
    plain = [one for one in plain if one.code not in ("it", "them", "they")]
    start = plain[0].start if plain else 0
    about = Token("", "T", start, start, first.tags)
    try:
        ways = reader.head([about, *plain])
    except Unread:
        return []
    if len(ways) != 1:
        return []
    (said,) = ways[0][:1]
    allowed = _AFTER.get(first.kind, (*_AFTER["off"], "torque"))
    is_plain = not said.note or said.kind in ("capped", "sent out")
    if said.how and first.kind != "refitted":
        return []
    return ways[0] if is_plain and said.kind in (*allowed, *_ASKED) else []


def _merged(ways: list[Said], more: list[Said]) -> list[Said]:
    """``on, tight`` is one thing that happened; ``off and back on`` are two."""
    last = ways[-1]
    if last.kind == more[0].kind == "refitted" and not (last.how and more[0].how):
        return [*ways[:-1], replace(last, how=last.how or more[0].how), *more[1:]]
    if more[0].kind == last.kind and more[0].kind == "off":
        return ways
    return [*ways, *more]


def _fluid_on(ways: list[Said], plain: list[Token], tokens: Sequence[Token], reader: ClauseReader) -> list[Said]:
    last = ways[-1]
    codes = [one.code for one in plain]
    if codes in (["bled"], ["bled", "through"], ["vented"], ["bleeded"], ["purged"], ["air", "bled"]):
        return [*ways, Said("bled", what=last.what)]
    if last.kind != "drained" and re.fullmatch(
        r"(?:no leaks?|leaks? (?:checked|looked at)|checked for leaks?)(?: seen| found)?", " ".join(codes)
    ):
        return [*ways, Said("leaks looked at", what=last.what, note=reader.text_of(tokens) if codes[0] == "no" else "")]
    fluid = re.search(rf"(?<!\S){words.FLUID}(?!\S)", " ".join(codes))
    if fluid is None and names_deed(plain):
        raise Unread(f'"{reader.text_of(tokens)}" does not say of which fluid.')
    if fluid is None:
        return [*ways[:-1], add_fluid_words(last, plain, reader)]
    at = " ".join(codes)[: fluid.start()].count(" ")
    size = fluid[0].count(" ") + 1
    other = Said(last.kind, what=reader.text_of(plain[at : at + size]))
    more = add_fluid_words(other, [*plain[:at], *plain[at + size :]], reader, is_head=True)
    if more.note or more.looks:
        raise Unread(f'"{reader.text_of(tokens)}" names a second fluid; say it in two lines.')
    return [*ways, more]


def _noted(ways: list[Said], text: str, mark: str) -> list[Said]:
    """The first line with more in its note."""
    if not text:
        return ways
    joint = " and " if mark in ("and", "&") else ", "
    first = ways[0]
    if first.kind == "snag":
        return [replace(first, what=joint.join(filter(None, (first.what, text)))), *ways[1:]]
    return [replace(first, note=joint.join(filter(None, (first.note, text)))), *ways[1:]]
