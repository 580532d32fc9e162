"""Gaps in what was noted about a tag and its ends: place, tape, caps, flow, colour, and how a belt ran."""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.core.log.record import Record
from asfound.model.log import Gap, GapKind
from asfound.model.tags import LINE_KINDS, EndLetter, Tag, TagEnd

FEWEST_BELT_WORDS = 3
"""A word or two ("single groove") say where a belt runs; its path, direction or slack takes more."""


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

    Where nobody said whether an end was capped nothing is reported: that also stands for ends that need no cap.
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
    """Belts without a word on path, direction or slack, when how things sat is noted in this job."""
    notes = [*(end.how_it_sat for end in record.ends), *(tag.how_it_sat for tag in record.tags)]
    if not any(note.strip() for note in notes):
        return
    for tag in record.in_order:
        if tag.kind == "belt" and not _is_belt_noted(record, tag):
            came_off = record.standing(tag).came_off
            what = f"path, direction and slack of {record.label(tag)}"
            if came_off:
                why = f"Nobody noted the {what}: take them from an early picture or clip, or from the service manual."
            else:
                why = f"Note the {what} before it comes off."
            yield Gap(GapKind.NOTHING_NOTED, why, number=tag.number, tag_id=tag.tag_id, mendable=not came_off)


def _is_belt_noted(record: Record, tag: Tag) -> bool:
    notes = [tag.how_it_sat, *(record.end(tag, letter).how_it_sat for letter in record.letters(tag))]
    is_noted = any(len(words.split()) >= FEWEST_BELT_WORDS for words in notes)
    return bool(tag.flow.strip()) or tag.tag_id in record.belts_noted or is_noted


def _ends(record: Record) -> Iterator[tuple[Tag, EndLetter, TagEnd]]:
    return ((tag, letter, record.end(tag, letter)) for tag in record.in_order for letter in record.letters(tag))


def _of_end(kind: GapKind, tag: Tag, letter: EndLetter, why: str) -> Gap:
    return Gap(kind, why, number=tag.number, end=letter, tag_id=tag.tag_id)
