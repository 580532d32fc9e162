"""One part of a line: what happened to which things, with what else stands beside it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from asfound.core.refit.amounts import is_torque
from asfound.core.typed import heads
from asfound.core.typed import said as kinds
from asfound.core.typed import vocabulary as words
from asfound.core.typed.bag_words import bag_of, group_of, in_count, without_bag
from asfound.core.typed.behind import (
    LET_GO,
    goes_with,
    is_part,
    means_more,
    meant_by_plugged,
    refuse_limit,
    without_with,
)
from asfound.core.typed.doubts import refuse_open
from asfound.core.typed.fluids import read_fluid
from asfound.core.typed.numbers import join_numbers
from asfound.core.typed.phrases import match_phrases
from asfound.core.typed.remarks import check_remark
from asfound.core.typed.said import KnownNames, Said, Unread
from asfound.core.typed.slips import without_slips
from asfound.core.typed.tokens import Token
from asfound.core.words import fold


class ClauseReader:
    """Reads the parts of a line against what is known."""

    def __init__(self, line: str, known: KnownNames) -> None:
        self.line = line
        self.known = known

    def head(self, tokens: Sequence[Token]) -> list[list[Said]]:
        """The readings of these tokens as something that is said whole; none where they say nothing by themselves."""
        plain = join_numbers([one for one in _without_had_to(tokens) if one.code not in (":", "-")])
        plain = _without_doubles(plain)
        _refuse_lone_end(plain)
        plain = [one for one in without_slips(plain) if one.code not in words.FILLERS]
        plain = _without_both(plain)
        found = self._by_rules(plain)
        if not found and any(one.code == "," for one in plain):
            whole = self._by_rules([one for one in plain if one.code != ","])
            found = [said for said in whole if all(one.kind in _FIGURES for one in said)]
        if not found:
            found = self._by_phrases(without_bag(plain), bag_of(plain))
        if not found and (fluid := read_fluid(plain, self)) is not None:
            found = [[fluid]]
        return _distinct(found)

    def _by_rules(self, tokens: Sequence[Token]) -> list[list[Said]]:
        codes = " ".join(one.code for one in tokens)
        whole = codes
        bag = ""
        found = []
        for rule in heads.RULES:
            for text, some in (
                (whole, tokens),
                *(((" ".join(one.code for one in without_bag(tokens))), without_bag(tokens)),),
            ):
                if text is not whole and (text == whole or rule.name.startswith(("counted", "bagged"))):
                    continue
                match = rule.pattern.fullmatch(text)
                if match is None:
                    continue
                groups = {name: self._group(some, text, match, name) for name in match.groupdict() if match[name]}
                bag = bag_of(tokens) if text is not whole else ""
                head = heads.Head(some, groups)
                self._check_rest(groups.get("rest", ""), some, text, match)
                said = self._made(rule.name, head, some)
                found.append([replace(one, bag=one.bag or bag) if one.kind in _BAGGED else one for one in said])
        return found

    def _made(self, name: str, head: heads.Head, tokens: Sequence[Token]) -> list[Said]:
        """What a rule says, as lines of the log."""
        group = head.groups
        refuse_open(tokens, _ALLOWED.get(name, frozenset()))
        note = ", ".join(filter(None, (group.get("note", ""), group.get("rest", "").strip())))
        tags = head.tags if name not in ("counted back", "counted out") else ()
        if name in ("torque", "measured"):
            refuse_limit(tokens)
        if name == "torque":
            return [self._reached(tags, tokens)]
        if name == "counted out" and tokens[0].code == "P" and "put" not in {one.code for one in tokens}:
            self._refuse_two_meanings(tokens[0])
        if name == "on with torque":
            return [Said("refitted", tags, how="torqued"), self._reached(tags, tokens)]
        if name == "measured":
            if is_torque(group["amount"]):
                return [Said("torque", tags, amount=group["amount"])]
            return [Said("measured", tags, what=group.get("what", ""), amount=group["amount"], note=note)]
        if name in ("sent out", "came back"):
            who, rest = _who_and_why(group.get("who", ""))
            note = ", ".join(filter(None, (note, rest)))
            if name == "sent out" and not tags and not group.get("what"):
                raise Unread("Say what was sent.")
            return [Said(name, tags, what=group.get("what", ""), by=who, note=note)]
        if name == "new part on":
            return [Said("new part", tags, note=note), Said("refitted", tags)]
        if name in ("counted back", "counted out"):
            count = group["amount"] if "amount" in group else head.count()
            return [Said(name, (), bag=head.bag, what=group_of(head, group), amount=in_count(count))]
        if name in ("tape lost", "tape back", "bagged", "capped", "uncapped", "broken", "cut", "new part"):
            return [Said(name, tags, bag=head.bag if name == "bagged" else "", note=note)]
        if name == "leaks looked at":
            return [Said(name, tags, what=(group.get("what") or group.get("fluid") or "").strip(), note=note)]
        if name in (kinds.ORDERED, kinds.BOUGHT):
            return [Said(name, tags, what=group["what"])]
        return [Said(name, tags, what="engine", note=note)]

    def _reached(self, tags: tuple[str, ...], tokens: Sequence[Token]) -> Said:
        """A tightening value with its stages; what else stands behind it is a remark."""
        codes = [one.code for one in tokens]
        start = codes.index("Qnm")
        stop = start + 1
        while stop < len(codes) and (codes[stop] in _STAGES or codes[stop].startswith("Q")):
            stop += 1
        if codes[stop : stop + 1] == ["T"] or "T" in codes[start:stop]:
            return Said("torque", tags, amount=self.text_of(tokens[start : start + 1]))
        self.check_note(tokens[stop:], is_head=True)
        return Said("torque", tags, amount=self.text_of(tokens[start:stop]), note=self.text_of(tokens[stop:]))

    def _refuse_two_meanings(self, pieces: Token) -> None:
        """``20 bolts in B4`` is twenty bolts, or those of 20."""
        count = pieces.of[0]
        if count in self.known.tags and len(count) > 1:
            raise Unread(
                f'"{pieces.text}" can be {count} pieces, or those of {count}; say "bolts of {count}", or "put {count}".'
            )

    def _group(self, tokens: Sequence[Token], codes: str, match: re.Match[str], name: str) -> str:
        start, stop = match.span(name)
        text = codes[start:stop]
        first = codes[:start].count(" ") + (len(text) - len(text.lstrip()) > 0)
        size = len(text.split())
        some = tokens[first : first + size]
        return self.text_of(some)

    def text_of(self, tokens: Sequence[Token]) -> str:
        """Tokens as they were typed, from the first to the last."""
        text, stop = "", 0
        for one in tokens:
            gap = self.line[stop : one.start] if text else ""
            is_small = all(fold(word) in words.FILLERS for word in gap.split())
            text += (gap if is_small and gap else " " if text else "") + self.line[one.start : one.stop]
            stop = one.stop
        return text.strip(" ,;.")

    def _check_rest(self, rest: str, tokens: Sequence[Token], codes: str, match: re.Match[str]) -> None:
        if rest:
            start = codes[: match.start("rest")].count(" ") + 1
            self.check_note(tokens[start:], is_head=True)

    def _by_phrases(self, tokens: Sequence[Token], bag: str) -> list[list[Said]]:
        codes = " ".join(one.code for one in tokens)
        found = []
        for match in match_phrases(codes):
            rest = list(tokens[match.rest :])
            tags = next(one.of for one in tokens if one.code == "T")
            found.append(self._of_phrase(match.kind, match.how, tags, rest, bag, tokens))
        if not found and bag and codes in ("put T", "T put", "placed T"):
            found.append([Said("bagged", tags=next(one.of for one in tokens if one.code == "T"), bag=bag)])
        return found

    def _of_phrase(
        self, kind: str, how: str, tags: tuple[str, ...], rest: list[Token], bag: str, tokens: Sequence[Token]
    ) -> list[Said]:
        if kind == "new part" and [one.code for one in tokens[:2]] == ["new", "T"]:
            raise Unread('Say "new part" for what is in it now, or "need" for what is to be bought.')
        if kind in ("note", "snag"):
            if sum(one.code == "T" for one in tokens) > 1:
                raise Unread("Two lists of numbers stand in one sentence; say them apart.")
            refuse_open(tokens)
            text = self.text_of([one for one in tokens if one.code != "T"])
            self.check_note([one for one in tokens if one.code != "T"], is_head=False)
            return [Said(kind, tags, what=text if kind == "snag" else "", note=text if kind == "note" else "", bag=bag)]
        self.check_note(rest, is_head=True)
        refuse_open(tokens)
        text = self.text_of(rest)
        is_bare_on = [one.code for one in tokens if one not in rest] in (["T", "on"], ["on", "T"])
        if kind == "refitted" and rest and not goes_with(how, rest, is_bare_on=is_bare_on):
            raise Unread(f'"{text}" is not understood; put a comma before what is a remark.')
        if kind == "plugged":
            return [Said(meant_by_plugged(tags, rest, self.known), tags, note=without_with(text))]
        if kind == "cut" and rest and rest[0].code in ("to", "for"):
            raise Unread(f'"{text}" is not understood.')
        if kind == "off" and rest and means_more(rest):
            raise Unread(f'"{text}" is not understood.')
        is_behind = bool(rest) and tokens[tokens.index(rest[0]) - 1].code in ("T", "new")
        if is_behind and kind != "capped" and is_part(rest):
            raise Unread(f'"{text}" is a part; say what was done to it in words of its own.')
        if rest and (re.fullmatch(r"m\d.*", rest[0].code) or (kind == "broken" and rest[0].code in LET_GO)):
            raise Unread(f'"{text}" is not understood.')
        note = without_with(text) if kind == "capped" else text
        if bag and kind not in _BAGGED:
            raise Unread(f"Say apart what is with bag {bag}.")
        return [Said(kind, tags, how=how, bag=bag, note=note)]

    def check_note(self, tokens: Sequence[Token], *, is_head: bool) -> None:
        """Refuse words as a note that may mean something else."""
        check_remark(tokens, is_head=is_head)


_FIGURES = ("measured", "torque", "counted back", "counted out")
"""Said in parts with commas between: "measured 41, gap 0.3 mm"."""
_ALLOWED = {
    "leaks looked at": frozenset({"not", "no", "half", "still"}),
    "tape lost": frozenset({"without", "no"}),
}
"""Words that leave nothing open in the sentences of these rules: "17b without tape"."""
_STAGES = frozenset(
    "then plus and + x another further again more to on at in N # P two three stages steps turn turns".split()
)
"""Words of a tightening value in stages: "45 Nm then 90 degrees"."""
_BAGGED = ("off", "bagged", "broken", "cut", "new part", "note", "snag")


def _without_both(tokens: Sequence[Token]) -> list[Token]:
    """``both 4 and 5 off``, "17 and 18 both off": the word adds nothing to the numbers."""
    if (lead := _all_of(tokens)) > 1:
        tokens = tokens[lead:]
    codes = ["", *(one.code for one in tokens), ""]
    if codes[1:4] == ["T", "both", "ends"] and len(tokens) > 3:
        return [tokens[0], *tokens[3:]]
    if any(one.code in ("all", "both") and other.code == "T" and len(other.of) < 2 for one, other in pairwise(tokens)):
        raise Unread("It is not clear what is meant by all or both of one number.")
    return [
        one
        for at, one in enumerate(tokens, 1)
        if not (
            codes[at] in ("both", "all")
            and "T" in (codes[at - 1], codes[at + 1])
            and codes[at + 1] not in ("ends", "back")
        )
    ]


def _all_of(tokens: Sequence[Token]) -> int:
    """How many words before the numbers say "all of", "both of", "all three"; a count that is not theirs is refused."""
    at = next((place for place, one in enumerate(tokens[:5]) if one.code == "T"), 0)
    lead = [one.code for one in tokens[:at]]
    if lead[:1] not in (["all"], ["both"]):
        return 0
    counts = [words.SPELLED[code] for code in lead[1:] if code in words.SPELLED]
    if any(code not in ("of", *words.SPELLED) for code in lead[1:]):
        return 0
    if any(count != len(tokens[at].of) for count in counts) or len(tokens[at].of) < 2:
        raise Unread(f'"{" ".join(one.text for one in tokens[:at])}" is not how many are named.')
    return at


def _without_doubles(tokens: list[Token]) -> list[Token]:
    """``unbolted and removed 20`` as "removed 20", and "17, off" as "17 off"."""
    codes = [one.code for one in tokens]
    if codes[1:2] == ["and"] and codes[0] in _UNDONE and len(codes) > 3:
        return tokens[2:]
    return [tokens[0], *tokens[2:]] if codes[:2] == ["T", ","] and len(codes) > 2 else tokens


_UNDONE = frozenset("undone undid unbolted unscrewed unclipped disconnected unplugged unhooked uncoupled".split())


def _refuse_lone_end(tokens: Sequence[Token]) -> None:
    """``17 off at end a`` is of 17a: an end beside no number is asked back."""
    for one, other in pairwise(tokens):
        if {one.code, other.code} & {"end", "side"} and {one.code, other.code} & {"a", "b"} and other.code != "end":
            raise Unread("Say the end with the number, such as 17a.")


def _distinct(found: list[list[Said]]) -> list[list[Said]]:
    """One of each, told apart by what would be written."""
    seen: dict[tuple[tuple[str, tuple[str, ...], str, str], ...], list[Said]] = {}
    for one in found:
        seen.setdefault(tuple((said.kind, said.tags, said.bag, said.how) for said in one), one)
    return list(seen.values())


def _without_had_to(tokens: Sequence[Token]) -> list[Token]:
    """``had to cut 47`` says that it was cut; "has to be cut" does not."""
    return [one for at, one in enumerate(tokens) if not (one.code == "to" and at and tokens[at - 1].code == "had")]


def _who_and_why(text: str) -> tuple[str, str]:
    """``the machine shop to be skimmed`` as the shop, and what is to be done."""
    cut = re.search(r"(?: |, )(?=(?:for|to be|to have|to get|with|and)\b)", text)
    who = text[: cut.start()] if cut else text
    return re.sub(r"^(?:the|a|an|our|my) ", "", who.strip(" ,")), text[cut.end() :].strip() if cut else ""
