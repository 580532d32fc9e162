"""A line of the log from what a person types in one go."""

from __future__ import annotations

from asfound.actions import log, resolve
from asfound.actions.archive import Archive
from asfound.actions.resolve import TagRef
from asfound.core.log.happening import Happening, parse_happening


def write_words(archive: Archive, line: str) -> str:
    """Write down what a line says of one thing or several, in one step; what was understood, field by field.

    Raises
    ------
    Misused, NotFound, Ambiguous
        Nothing is written then.
    """
    said = parse_happening(line)
    found = [resolve.get_tag(archive, number) for number in said.numbers]
    what = f"{said.kind}{f', {said.how}' if said.how else ''}"
    odd: list[str] = []
    bags: list[str] = []
    with archive.step(f"{', '.join(said.numbers)} {what}"):
        for one in found:
            odd += filter(None, [log.oddity(archive, one.tag, said.kind)])
            bags.append(_write(archive, one, said))
    things = "; ".join(
        f"{number} {one.tag.name or one.tag.kind}" for number, one in zip(said.numbers, found, strict=True)
    )
    bag = bags[0] if bags[0] in ("", log.BACK_IN_PLACE) else f"bag {bags[0]}"
    return ". ".join(filter(None, (", ".join(filter(None, (f"{things}: {what}", bag, said.note))), *map(_bare, odd))))


def _write(archive: Archive, one: TagRef, said: Happening) -> str:
    """Write it of one thing; the bag as it is kept."""
    if said.kind == "off":
        return log.mark_off(archive, one.tag, bag=said.bag, note=said.note).bag
    if said.kind == "refitted":
        log.mark_refitted(archive, one.tag, how=said.how, note=said.note)
        return ""
    if said.kind == "drained":
        log.write_drained(archive, log.Drained(said.note), tag=one.tag)
        return ""
    return log.write_line(archive, one.tag, said.kind, end=one.end, note=said.note, bag=said.bag).bag


def _bare(sentence: str) -> str:
    return sentence.rstrip(".")
