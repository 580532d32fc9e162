"""Lines whose words are kept as they stand: notes, snags, what to buy."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.log.said_when import WhenSpan
from asfound.core.typed import heads
from asfound.core.typed import said as kinds
from asfound.core.typed import vocabulary as words
from asfound.core.typed.numbers import join_numbers
from asfound.core.typed.phrases import is_verb_word
from asfound.core.typed.said import KnownNames, Reading, Said, Unread
from asfound.core.typed.tokens import Token, read_numbers

_PENDING = re.compile(r"^(?:please |we |i |must |to |should |have to |need to |needs to )*")
_WANTED = re.compile(
    r"(?:we |i )?(?:must |should |have to |need to |to |please )*(?:buy|order|get|need|needs|want|require|purchase|shopping)"
    r"(?: to (?:buy|order|get))?(?: list)?(?: :)? (?P<what>.+)"
)


def read_free(line: str, tokens: Sequence[Token], spans: Sequence[WhenSpan], known: KnownNames) -> Reading | None:
    """A note, a snag or something to buy; None where the line is none of these."""
    lead = next((span for span in spans if span.start == 0 and len(span.choices) == 1), None)
    rest = [one for one in tokens[lead.stop if lead else 0 :]]
    while rest and rest[0].code in (",", ":", "-"):
        rest = rest[1:]
    plain = [one for one in join_numbers(read_numbers(rest, known)) if one.code not in words.FILLERS]
    when = lead.choices[0] if lead else None
    codes = " ".join(one.code for one in plain)
    said = (
        _note(line, plain, codes)
        or _measured(line, plain, codes)
        or _snag(line, plain, codes)
        or _to_buy(line, plain, codes)
    )
    if said is None:
        return None
    if said.kind not in ("note", "measured") and when is None:
        behind = [span for span in spans if span.stop == len(tokens) and span.start > 0]
        if behind and said.kind == kinds.SNAG:
            if len(behind[0].choices) != 1:
                raise Unread(f'"{line.strip()}" has a day that is not clear.')
            when = behind[0].choices[0]
            cut = tokens[behind[0].start].start
            text = said.what[: max(0, len(said.what) - (len(line.rstrip()) - cut))].strip(" ,;")
            said = Said(said.kind, said.tags, bag=said.bag, what=text or said.what)
        elif behind or any(span.start > 0 for span in spans):
            raise (
                Unread("What is to be bought takes no day; leave it out.")
                if said.kind == kinds.BUY
                else Unread(f'"{line.strip()}" has a time inside; put it first or last.')
            )
    return (Said(said.kind, said.tags, bag=said.bag, what=said.what, note=said.note, when=when),)


def _note(line: str, plain: Sequence[Token], codes: str) -> Said | None:
    found = re.match(
        r"(?:T (?:note|nb|remark)|(?:note|nb|remark)(?: :)?(?: (?:on|for|about|to|of))? T)(?: :)?(?= )", codes
    )
    if found is None:
        return None
    at = found[0].count(" ") + 1
    tags = next(one.of for one in plain if one.code == "T")
    return Said("note", tags, note=line[plain[at].start :].strip()) if at < len(plain) else None


def _measured(line: str, plain: Sequence[Token], codes: str) -> Said | None:
    """Several values behind a colon: they are kept as they stand."""
    found = re.match(r"(?:measured T|T measured|measurements? (?:of|on|at|for)? ?T|T [a-z]+) : (?=.*(?:Q|N|#))", codes)
    if found is None or (codes.startswith("T ") and not re.match(rf"T (?:measured|{words.VALUES}) ", codes)):
        return None
    at = found[0].count(" ")
    lead = line[plain[1].start : plain[1].stop] if plain[0].code == "T" and plain[1].code != "measured" else ""
    note = " ".join(filter(None, (lead, line[plain[at].start :].strip())))
    return Said("measured", next(one.of for one in plain if one.code == "T"), note=note)


def _snag(line: str, plain: Sequence[Token], codes: str) -> Said | None:
    lead = heads.SNAG_LEADS.match(codes) or re.match(r"T (?:snag|problem|trouble|issue|fault)(?: :)?(?= )", codes)
    if lead is not None:
        at = lead[0].count(" ") + 1
        about = [one for one in plain if one.code == "T"]
        some = list(plain[at:])
        while some and some[0].code in (":", ",", "T", "-", "with", "on"):
            if some[0].code == "T" and len(some) > 1 and some[1].code in ("and", ","):
                pass
            some = some[1:]
        if not some:
            return None
        return _snag_of(line, line[some[0].start :].strip(" ,.;"), about, plain)
    if heads.STRUGGLES.fullmatch(codes):
        about = [one for one in plain if one.code == "T"]
        if len(about) != 1:
            raise Unread("Say of which number that is.")
        behind = plain[plain.index(about[0]) + 1 :]
        reason = [one for at, one in enumerate(behind) if "," in [two.code for two in behind[:at]]]
        text = line[reason[0].start :].strip(" ,.;") if reason else line.strip()
        return Said(kinds.SNAG, about[0].of, what=text) if reason else _snag_of(line, line.strip(), about, plain)
    if heads.MISSING.fullmatch(codes) and heads.SHORT.search(codes) and "tape" not in codes and "label" not in codes:
        about = [one for one in plain if one.code == "T"]
        return _snag_of(line, _short_words(line, plain, about), about, plain)
    if found := re.match(
        r"(?P<of>G|T) (?:: )?(?:(?:is|has|was|are) )?(?:P|[a-z]+)?(?: [a-z]+)? ?(?:short|missing|lost)(?: by)?(?: P| N| #| T| [a-z]+)?$",
        codes,
    ):
        if (
            "but" in codes.split()
            or "tape" in codes
            or "label" in codes
            or (found["of"] == "T" and "P" not in codes and not re.search(words.PARTS, codes))
        ):
            return None
        about = [one for one in plain if one.code == "T"] if found["of"] == "T" else []
        return _snag_of(line, _short_words(line, plain, about), about, plain)
    return _worn_part(line, plain, codes)


def _worn_part(line: str, plain: Sequence[Token], codes: str) -> Said | None:
    """A part of a thing that is worn, damaged or leaks: "thread of 31 damaged", "leak at 17"."""
    worn = rf"(?:{words.STUCK[0]}|stripped)(?: (?:solid|fast|through|badly))?"
    part = rf"(?:[a-z]+ )?(?:{words.PARTS})"
    forms = rf"T (?:: )?{part} {worn}|{part} (?:of|on|in|at|by) T {worn}|(?:small )?(?:leak|leaks|drip|weep) (?:at|on|from|by) T"
    if not re.fullmatch(forms, codes):
        return None
    about = next(one for one in plain if one.code == "T")
    kept = [one for one in plain if one.code not in ("T", ":", "of", "on", "in", "at", "by", "from")]
    return (
        Said(kinds.SNAG, about.of, what=" ".join(line[one.start : one.stop] for one in kept))
        if len(about.of) == 1
        else None
    )


def _short_words(line: str, plain: Sequence[Token], about: Sequence[Token]) -> str:
    kept = [one for one in plain if one not in about and one.code not in ("G", ":")]
    while kept and kept[-1].code in ("in", "from", "of", "on", "at"):
        kept = kept[:-1]
    return " ".join(line[one.start : one.stop] for one in kept).strip(" ,.;")


def _snag_of(line: str, what: str, about: Sequence[Token], plain: Sequence[Token]) -> Said:
    bags = [one.of[0] for one in plain if one.code == "G"]
    if len(about) > 1 and not plain[0].code == "T" and not (len(plain) > 1 and plain[1].code == "T"):
        raise Unread("Several numbers stand in it; say which the snag is of: snag 17 clamp rusted.")
    if len(bags) > 1:
        raise Unread("Two bags stand in one sentence; say them apart.")
    tags = about[0].of if about else ()
    if len(tags) > 1:
        raise Unread("A snag is of one number; say it for each.")
    return Said(kinds.SNAG, tags, bag=bags[0] if bags else "", what=what)


def _to_buy(line: str, plain: Sequence[Token], codes: str) -> Said | None:
    found = _WANTED.fullmatch(codes)
    needs = re.fullmatch(
        r"T (?:: )?(?:needs|need|wants|requires|buy|order) (?P<what>.+)|(?P<first>.+?) (?:needed|wanted|required) for T|T (?P<part>(?:new )?[a-z]+) (?:needed|wanted|required)",
        codes,
    )
    if found is None and needs is None:
        return None
    match = found or needs
    assert match is not None
    at = codes[: match.start("what" if found or match["what"] else "part")].count(" ")
    some = list(plain[at:])
    if needs is not None and needs["first"]:
        some = list(plain[: needs["first"].count(" ") + 1])
    if needs is not None and needs["part"]:
        some = list(plain[1:-1])
    about = [one for one in plain if one.code == "T"]
    if len(about) > 1 or (about and len(about[0].of) > 1):
        raise Unread("Several numbers stand in it; say it for each.")
    words_of = [one for one in some if one.code != "T"]
    while words_of and words_of[-1].code in ("for", "on", "of", "at", "to"):
        words_of = words_of[:-1]
    while words_of and words_of[0].code in ("new", ":", "for"):
        words_of = words_of[1:]
    if not words_of and about and (noun := line[about[0].start : about[0].stop].rstrip("0123456789abAB. ")):
        return Said(kinds.BUY, about[0].of, what=noun)
    if _are_deeds(words_of):
        return None
    if not words_of or words_of[0].code in _NO_GOODS or words_of[0].code.endswith("ing"):
        return None
    if any(one.code in ("#", "R") for one in words_of):
        raise Unread("What is to be bought is not clear; say it like: buy clamp for 17.")
    return Said(kinds.BUY, about[0].of if about else (), what=" ".join(one.text for one in words_of))


def _are_deeds(words_of: Sequence[Token]) -> bool:
    """Whether what is wanted is something done, not something bought: "want coolant drained", "need 17 back on"."""
    codes = [one.code for one in words_of]
    return bool(codes) and (codes[-1] in _ENDS_OF_DEEDS or is_verb_word(codes[-1]) or not _DEEDS.isdisjoint(codes))


_DEEDS = frozenset("took taken torqued drained filled refilled bled sent lifted capped gap clearance".split())
_ENDS_OF_DEEDS = frozenset("off out back on in up down done".split())
_NO_GOODS = frozenset(
    "to be off on out back in tight tightening check checking replacing cleaning looking help capped refitted removed "
    "taking".split()
)
