"""A typed line as tokens: words, numbers that can be on tape, amounts with units, pieces, bags, marks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from asfound.core.typed import spelled
from asfound.core.typed import vocabulary as words
from asfound.core.typed.said import KnownNames
from asfound.core.words import fold

_TOKEN = re.compile(
    r"\d{4}-\d\d-\d\dT\d\d:\d\d\S*"
    r"|\"[^\"]*\""
    r"|->|=>|→|\.\.\."
    r"|\d+,\d+(?=\s*(?:[a-zµ°\"]+)\b)"
    r"|\d+:\d+[^\s,;:()!?]*"
    r"|[^\s,;:()!?\"&+=]+"
    r"|\S"
)
_UNIT_OF = {fold(unit): code for code, units in words.UNITS.items() for unit in units.split()}
_GLUED = re.compile(r"(?P<number>~?\d+(?:[.,/]\d+)*)(?P<unit>[a-zµ°%\"][a-zµ°.\-]*)", re.IGNORECASE)
_TAG = re.compile(r"#?\d{1,4}(?:\.\d)?[ab]?", re.IGNORECASE)
_RANGE = re.compile(r"(#?\d{1,4}[ab]?)(-|–|/|\.\.)(\d{1,4}[ab]?)", re.IGNORECASE)
_NEW_LABEL = re.compile(r"[A-LN-Zb]\d{1,3}")
"""What a bag nobody wrote down yet is called; M8 is a thread."""
_PLAIN = re.compile(r"~?[+-]?\d+(?:[.,/]\d+)*")
_ABBREVIATION = frozenset("no nr nos num approx ca incl eng cyl l r st".split())


@dataclass(frozen=True, slots=True)
class Token:
    """One word or mark.

    Attributes
    ----------
    text : str
        As typed.
    code : str
        What rules see: the folded word, or "#" a number that can be on tape, "N" another number, "Qvol" and the like an
        amount, "P" a number of pieces, "G" a bag, "T" numbers of things, put together.
    start, stop : int
        Where it stands in the line.
    of : tuple of str
        The numbers of a "T", the label of a "G", the count of a "P".
    """

    text: str
    code: str
    start: int
    stop: int
    of: tuple[str, ...] = ()


def is_unit(code: str) -> bool:
    """Whether a word is the unit of a number before it."""
    return code in _UNIT_OF


def split_line(line: str) -> list[Token]:
    """Words and marks with nothing read into them yet; a point that ends a sentence is a mark of its own."""
    found: list[Token] = []
    for match in _TOKEN.finditer(line.translate(words.MARKS)):
        text, start = match[0], match.start()
        is_last = not line[match.end() :].strip()
        number = r"\d+" if is_last else r"\d{3,}|\d+[a-z]+|[a-z]+\d+"
        ends = re.fullmatch(rf"(.*[^\d.])(\.)|({number}|\d+[a-z]+|[a-z]+\d+)(\.)", text, re.DOTALL | re.IGNORECASE)
        stem = (ends[1] or ends[3]) if ends else text
        if ends and stem and fold(stem) not in _ABBREVIATION:
            found += [_word(stem, start), Token(".", ".", start + len(stem), start + len(text))]
        elif ends and stem:
            found.append(_word(stem, start))
        else:
            found += _parts(text, start)
    return found


def _parts(text: str, start: int) -> list[Token]:
    """A hyphen or stroke between words is a blank, but for "re-"; "17's" is 17."""
    if not re.search(r"\d", text) and re.fullmatch(r"[^\W_]+(?:-[^\W_]+)+", text) and not fold(text).startswith("re-"):
        at, found = start, []
        for part in text.split("-"):
            found.append(_word(part, at))
            at += len(part) + 1
        return found
    return [_word(text, start)]


def _word(text: str, start: int) -> Token:
    folded = fold(text).replace("'", "").replace("re-", "re")
    if re.fullmatch(r"#?\d+[ab]?'s", fold(text)):
        return Token(text, folded[:-1], start, start + len(text), ("s",))
    return Token(text, folded, start, start + len(text))


def read_numbers(tokens: Sequence[Token], known: KnownNames) -> list[Token]:
    """Numbers told apart: with a unit, of pieces, of a bag, or such as can be on tape."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        size, token = _read_one(tokens, at, known)
        found.append(token)
        at += size
    return _joined_amounts(_joined_ranges(found))


def _joined_ranges(tokens: list[Token]) -> list[Token]:
    """``17 - 22`` as one range."""
    found: list[Token] = []
    for token in tokens:
        found.append(token)
        if [one.code for one in found[-3:]] == ["#", "-", "#"]:
            low, _mark, high = found[-3:]
            found[-3:] = [replace(_over(found[-3:], "R"), of=(low.of[0], "-", high.of[0]))]
    return found


def _read_one(tokens: Sequence[Token], at: int, known: KnownNames) -> tuple[int, Token]:
    token = tokens[at]
    after = [one.code for one in tokens[at + 1 : at + 4]]
    if token.code in words.BAG_WORDS and (label := _label_at(tokens, at + 1)):
        size, text = label
        return 1 + size, replace(token, text=text, code="G", stop=tokens[at + size].stop, of=(text,))
    if token.code.upper() in known.bags and not token.code.isdecimal():
        return 1, replace(token, code="G", of=(token.text.upper(),))
    if glued := re.fullmatch(r"bag-?([a-z]?\d{1,3})", token.text, re.IGNORECASE):
        return 1, replace(token, code="G", of=(glued[1].upper(),))
    before = tokens[at - 1].code if at else ""
    if before in words.BETWEEN and _NEW_LABEL.fullmatch(token.text) and token.text not in known.tags:
        return 1, replace(token, code="G", of=(token.text.upper(),))
    if spoken := _spoken_at(tokens, at):
        return spoken
    if token.code in words.SPELLED or _PLAIN.fullmatch(token.code):
        size = _unit_size(token.code, after)
        if size:
            unit = "".join(after[:size])
            return 1 + size, _over(tokens[at : at + 1 + size], f"Q{_UNIT_OF[unit]}")
    glued = _GLUED.fullmatch(token.code)
    if glued and (unit := glued["unit"].rstrip(".")) in _UNIT_OF:
        return 1, replace(token, code=f"Q{_UNIT_OF[unit]}")
    if glued and after and unit + after[0] in _UNIT_OF:
        return 2, _over(tokens[at : at + 2], f"Q{_UNIT_OF[unit + after[0]]}")
    count = str(words.SPELLED.get(token.code, token.code)) if token.code != "a" and not token.of else ""
    if (count.isdecimal() or count in ("both", "all")) and (size := _pieces_size(count, after)):
        return 1 + size, replace(_over(tokens[at : at + 1 + size], "P"), of=(count,))
    if token.text in known.tags or token.code in known.tags or _is_tag(token):
        return 1, replace(
            token, code="#", of=(token.code.lstrip("#").removesuffix("s") if token.of else token.code.lstrip("#"),)
        )
    if (ranged := _RANGE.fullmatch(token.code)) is not None:
        return 1, replace(token, code="R", of=(ranged[1].lstrip("#"), ranged[2], ranged[3]))
    if words.SPELLED.get(token.code, 0) >= words.LEAST_SPELLED_TAG:
        return 1, replace(token, code="#", of=(str(words.SPELLED[token.code]),))
    return 1, replace(token, code="N") if _PLAIN.fullmatch(token.code) else token


def _spoken_at(tokens: Sequence[Token], at: int) -> tuple[int, Token] | None:
    """An amount, pieces or a number in several words: "a gallon and a half", "twenty two bolts", "forty one"."""
    codes = [one.code for one in tokens[at : at + spelled.MOST_WORDS]]
    size = spelled.parted_at(codes)
    if size and (unit := _unit_size("", codes[size : size + 3])):
        stop = size + unit
        code = f"Q{_UNIT_OF[''.join(codes[size:stop])]}"
        stop += 3 if codes[stop : stop + 3] == ["and", "a", "half"] else 0
        return stop, _over(tokens[at : at + stop], code)
    size, number = spelled.number_at(codes)
    if not size:
        return None
    pieces = _pieces_size(str(number), codes[size : size + 3])
    return size + pieces, replace(_over(tokens[at : at + size + pieces], "P" if pieces else "#"), of=(str(number),))


def _is_tag(token: Token) -> bool:
    return _TAG.fullmatch(token.code) is not None and not token.code.startswith("0")


def _label_at(tokens: Sequence[Token], at: int) -> tuple[int, str] | None:
    """A bag's label behind "bag": it has a digit in it, or is one letter."""
    skip = at
    while skip < len(tokens) and tokens[skip].code in ("no", "nr", "number", "#", "."):
        skip += 1
    if skip < len(tokens):
        text = tokens[skip].text.strip('"').lstrip("#")
        if tokens[skip].code not in ("a", "half"):
            text = str(words.SPELLED.get(tokens[skip].code, text))
        if (any(letter.isdecimal() for letter in text) and len(text) < 8) or (len(text) == 1 and text.isupper()):
            return skip - at + 1, text
    return None


def _unit_size(number: str, after: Sequence[str]) -> int:
    """How many words behind a number are its unit."""
    for size in (3, 2, 1):
        unit = "".join(after[:size])
        if len(after) >= size and unit in _UNIT_OF and unit not in words.GLUED_ONLY:
            return size
        if len(after) >= size and unit in words.GLUED_ONLY and ("." in number or "/" in number) and unit == "in":
            return size
    if after[:1] == ["m"] and after[1:2] and after[1] in ("of", "hose", "pipe", "cable", "wire"):
        return 1
    return 0


def _pieces_size(count: str, after: Sequence[str]) -> int:
    """How many words behind a count name fasteners or vessels: "bolts", "long screws"; "17 clamp" is a clamp of 17."""
    for size in (1, 2):
        if len(after) < size or after[size - 1] not in words.PIECES or (size == 2 and after[0] not in words.SORTS):
            continue
        is_plural = after[size - 1].endswith("s") or after[size - 1] == "pcs"
        is_measured = after[size - 1].startswith("shim") and len(after) > size and after[size][:1].isdecimal()
        return size if (is_plural or count == "1") and not is_measured else 0
    return 0


def _over(tokens: Sequence[Token], code: str) -> Token:
    text = " ".join(one.text for one in tokens)
    return Token(text, code, tokens[0].start, tokens[-1].stop)


def _joined_amounts(tokens: list[Token]) -> list[Token]:
    """``2 + 1 mm`` and ``0.25 to 0.3 mm`` as one amount."""
    found: list[Token] = []
    for token in tokens:
        found.append(token)
        while len(found) > 2 and found[-1].code.startswith("Q"):
            number, mark = found[-3], found[-2]
            joins = mark.code in ("+", "x", "×") and number.code in ("#", "N", found[-1].code)
            joins = joins or (
                mark.code in ("to", "-", "and") and number.code in ("N", found[-1].code) and "." in number.text
            )
            if not joins:
                break
            found[-3:] = [_over(found[-3:], found[-1].code)]
    return found
