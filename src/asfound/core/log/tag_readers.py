"""What a person types into a field of a tag, brought into the one spelling in which it is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from asfound.core.codes.clock_positions import ClockPosition, parse_clock
from asfound.core.codes.colour_readings import parse_colour
from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.field_rows import Words
from asfound.model.tags import FLOWS, KINDS, SIDES, Side

_FLOW = re.compile(r"(?:from )?([ab]) ?(?:to|->|→|>|-)? ?([ab])", re.IGNORECASE)
_STAYS = "boat hull vehicle car van truck tractor machine frame chassis body ship".split()
_SAID: dict[str, Side] = {
    **{words: side for side, shown in SIDES.items() for words in (side, shown)},
    **{words: "stays" for name in _STAYS for words in (name, f"{name} side")},
    "leaves": "engine",
    "comes out": "engine",
    "behind": "stays",
}


def check_kind(kind: str) -> str:
    """The kind itself, or Misused naming the known ones."""
    if kind not in KINDS:
        raise Misused(f'"{kind}" is not a kind; say one of: {", ".join(KINDS)}.')
    return kind


def read_flow(typed: str) -> str:
    """A direction in the one spelling it is kept in: "A to B", "B to A", "both ways".

    Raises
    ------
    Misused
        If it is none.
    """
    said = " ".join(typed.casefold().split())
    if said in ("", "both", "both ways"):
        return said and "both ways"
    match = _FLOW.fullmatch(said)
    if match is None or match[1] == match[2]:
        raise Misused(f'"{typed}" is not a direction; say one of: {", ".join(FLOWS)}.')
    return f"{match[1].upper()} to {match[2].upper()}"


def read_clock(typed: str) -> str:
    """A clock hour in the one spelling it is kept in: "2 o'clock".

    Raises
    ------
    Misused
        If it is none.
    """
    plain = re.fullmatch(r"(\d{1,2})(?::([0-5]\d))?", typed.strip())
    said = ClockPosition(int(plain[1]), int(plain[2] or 0)) if plain else parse_clock(typed)
    if said is None:
        raise Misused(f'"{typed}" is not a clock hour; give it as an hour from 1 to 12, such as 2 or 2:30.')
    return said.shown


def check_side(typed: str) -> Side:
    """A side of the lift as it is kept.

    Raises
    ------
    Misused
        If it is none.
    """
    side = read_side(typed)
    if side is None:
        raise Misused(
            f'"{typed}" is not a side of the lift; say "engine" for what leaves with the engine, or "stays behind".'
        )
    return side


def read_side(typed: str) -> Side | None:
    """The side that words name: "engine", "engine side", "stays behind", "boat side"; None when they name none."""
    return _SAID.get(" ".join(fold(typed).split()))


def colour_question(typed: str) -> str:
    """What to ask back about a colour, such as GR; empty when it could be read, or is no colour at all."""
    return parse_colour(typed.strip().rstrip("?")).question


def colour_columns(typed: str) -> dict[str, object]:
    """What is kept of a colour: main colour and stripes where they could be read, the words, and whether in doubt.

    Light blue and dark blue have one code, so a shade is kept in words alone.
    """
    text = typed.strip()
    unsure = text.endswith("?")
    text = text.rstrip("? ")
    reading = parse_colour(text)
    colour = None if reading.is_shaded else reading.colour
    return {
        "colour_main": colour.main if colour else "",
        "colour_stripe": "/".join(colour.stripes) if colour else "",
        "colour_typed": text,
        "colour_unsure": unsure,
    }


READERS: Mapping[Words, Callable[[str], str]] = {
    "kind": check_kind,
    "direction": read_flow,
    "hour": read_clock,
    "side": check_side,
}
"""How what was typed is brought into the spelling in which it is kept; other words are kept as they are."""
