"""Gaps in what was noted about a tag and its ends: place, tape, caps, flow, colour, and how a belt ran."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from asfound.core.log.record import Record, is_answered
from asfound.core.words import plain_words
from asfound.model.log import Gap, GapKind
from asfound.model.tags import LINE_KINDS, NO_CAP, Belt, EndLetter, Tag, TagEnd

_PATH = frozenset("over under around round behind through past via between".split())
_WAY = frozenset("arrow direction clockwise anticlockwise counterclockwise printing print reads reading".split())
_SLACK = frozenset("slack tension tensioner tensioned deflection play".split())
"""Words by which a note says how a belt ran, with the tension that it had."""

_NOTS = frozenset({"not", "no", "nothing", "never", "unknown", "unnoted"})

_AIR_SIDE = frozenset({"turbo", "turbocharger", "supercharger", "intake", "intercooler"})
_AIR_PHRASES = (("inlet", "manifold"), ("air", "inlet"), ("charge", "air"), ("charge", "cooler"), ("throttle", "body"))
_NOT_AIR = frozenset({"water", "seawater", "raw", "sea", "wire", "sensor"})
_OPENS = LINE_KINDS | {"other"}
"""What falls into a turbo or an intake goes through the engine. Common practice, no source."""


def find_unplaced_ends(record: Record) -> Iterator[Gap]:
    """Ends without a place, when places are written down in this job; one gap for a tag that has none at all."""
    if not record.are_places_used:
        return
    for tag in record.in_order:
        letters = record.letters(tag)
        bare = [letter for letter in letters if not record.end(tag, letter).place.strip()]
        if bare == list(letters):
            why = f'Write where {record.label(tag)} sits, or "not found".'
            yield Gap(GapKind.NO_PLACE, why, number=tag.number, tag_id=tag.tag_id)
        elif bare:
            why = f'Write where end {bare[0]} of {record.label(tag)} sits, or "not found" or "open end".'
            yield _of_end(GapKind.NO_PLACE, tag, bare[0], why)


def find_lost_tapes(record: Record) -> Iterator[Gap]:
    """Ends whose tape was found loose, or is gone."""
    for tag, letter, end in _ends(record):
        if end.tape_lost:
            place = f" ({end.place.strip()})" if end.place.strip() else ""
            why = f"The tape is lost at end {letter} of {record.label(tag)}: write a new one for it{place}."
            yield _of_end(GapKind.TAPE_LOST, tag, letter, why)


def find_open_ends(record: Record) -> Iterator[Gap]:
    """Lines of which somebody said that an end was left open while off.

    Where nobody said whether an end was capped see `find_unsaid_caps`: most ends need no cap.
    """
    for tag, letter, end in _ends(record):
        standing = record.standing(tag)
        if end.capped is not False or tag.kind not in LINE_KINDS or not standing.came_off:
            continue
        label = record.label(tag)
        if standing.is_off:
            why = f"Cap end {letter} of {label}, and look inside for dirt before it goes back."
        else:
            why = f"End {letter} of {label} was open while it was off: look inside for dirt before first start."
        yield _of_end(GapKind.NOT_CAPPED, tag, letter, why)


def find_unsaid_caps(record: Record) -> Iterator[Gap]:
    """Open ends at a turbo or an intake of which nobody said whether they were capped."""
    for tag, letter, end in _ends(record):
        standing = record.standing(tag)
        if end.capped is not None or end.capped_with == NO_CAP or tag.kind not in _OPENS or not standing.came_off:
            continue
        if not _is_air_side(end.place if _is_place(end) else tag.name):
            continue
        named = f"end {letter} of {record.label(tag)}{f' ({end.place.strip()})' if _is_place(end) else ''}"
        if standing.is_off:
            why = f"Nobody wrote whether {named} is capped: cap it, and look inside for dirt before it goes back."
        else:
            why = f"Nobody wrote whether {named} was capped while it was off: look inside for dirt before first start."
        yield _of_end(GapKind.NOT_CAPPED, tag, letter, why)


def _is_air_side(text: str) -> bool:
    words = plain_words(text)
    pairs = set(pairwise(words))
    return _NOT_AIR.isdisjoint(words) and (not _AIR_SIDE.isdisjoint(words) or not pairs.isdisjoint(_AIR_PHRASES))


def find_missing_flow(record: Record) -> Iterator[Gap]:
    """Hoses and lines without a direction, when directions are noted in this job."""
    if not any(tag.flow.strip() for tag in record.tags):
        return
    for tag in record.in_order:
        if tag.kind in LINE_KINDS and not tag.flow.strip():
            why = (
                f"Write which way {record.label(tag)} flows, A to B or B to A: look for an arrow on it or on what it "
                "runs to, or in the service manual."
            )
            yield Gap(GapKind.NO_FLOW, why, number=tag.number, tag_id=tag.tag_id)


def find_differing_colours(record: Record) -> Iterator[Gap]:
    """Things whose two ends were noted in different colours; a splice may do that, and so may a swapped number."""
    for tag in record.in_order:
        colours = [record.end(tag, letter).colour.strip() for letter in record.letters(tag)]
        if all(colours) and len({re.sub(r"\s", "", colour).casefold() for colour in colours}) > 1:
            why = (
                f"{record.label(tag)} is {colours[0]} at end A and {colours[1]} at end B: look for a splice, or for a "
                "number on the wrong end."
            )
            yield Gap(GapKind.COLOUR_DIFFERS, why, number=tag.number, tag_id=tag.tag_id)


def find_bare_belts(record: Record) -> Iterator[Gap]:
    """Belts of which nobody wrote the path or the slack; that, unlike most, is asked also where nothing is noted."""
    known = {belt.tag_id: belt for belt in record.belts}
    for tag in record.in_order:
        lacking = _lacking_of_belt(record, tag, known.get(tag.tag_id)) if tag.kind == "belt" else []
        if "path" in lacking or "slack" in lacking:
            came_off = record.standing(tag).came_off
            what = f"{_and(lacking)} of {record.label(tag)}"
            if came_off:
                why = f"Nobody noted the {what}: take that from an early picture or clip, or from the service manual."
            else:
                why = f"Note the {what} before it comes off."
            yield Gap(GapKind.NOTHING_NOTED, why, number=tag.number, tag_id=tag.tag_id, mendable=not came_off)


def _lacking_of_belt(record: Record, tag: Tag, belt: Belt | None) -> list[str]:
    """Which of path, direction and slack no field and no note of a belt says; the places of both ends are a path."""
    letters = record.letters(tag)
    ends = [record.end(tag, letter) for letter in letters]
    notes = (tag.how_it_sat, tag.note, tag.route, *(words for end in ends for words in (end.how_it_sat, end.note)))
    # "Slack not noted" says nothing of the slack.
    words = {word for note in notes for word in _said_words(note)}
    is_path_said = any((tag.route.strip(), belt and belt.path, len(ends) == 2 and all(_is_place(end) for end in ends)))
    said = {
        "path": is_path_said or not words.isdisjoint(_PATH),
        "direction": bool(tag.flow.strip() or (belt and (belt.arrow or belt.turns))) or not words.isdisjoint(_WAY),
        "slack": bool(belt and belt.slack) or not words.isdisjoint(_SLACK),
    }
    return [what for what, is_said in said.items() if not is_said]


def _said_words(note: str) -> tuple[str, ...]:
    """Words of a note, of those of its parts that do not say that something is not so."""
    parts = (plain_words(part) for part in re.split(r"[;.]", note))
    return tuple(word for words in parts if _NOTS.isdisjoint(words) for word in words)


def _is_place(end: TagEnd) -> bool:
    return bool(end.place.strip()) and not is_answered(end.place)


def _ends(record: Record) -> Iterator[tuple[Tag, EndLetter, TagEnd]]:
    return ((tag, letter, record.end(tag, letter)) for tag in record.in_order for letter in record.letters(tag))


def _of_end(kind: GapKind, tag: Tag, letter: EndLetter, why: str) -> Gap:
    return Gap(kind, why, number=tag.number, end=letter, tag_id=tag.tag_id)


def _and(words: list[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
