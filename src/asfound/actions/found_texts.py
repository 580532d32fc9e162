"""What answers to a search besides things: bags, snags, lines of the log, notes, and pictures and spots by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from asfound.actions.archive import Archive
from asfound.actions.walk_round import list_walk
from asfound.core.find.terms import Term
from asfound.core.find.texts import words_of
from asfound.model.log import LogLine
from asfound.model.pictures import Picture
from asfound.store import bags, documents, events, fitting, pictures, pins, purchases, snags, spots, tags, values
from asfound.store.search import DocKind, Hit

SHORTEST_FILE_NAME = 4
"""Shorter ones are numbers or words far more often."""


@dataclass(frozen=True, slots=True)
class FoundText:
    """What answers besides a thing: see `kind`; "walk" is an item of the walk round.

    Attributes
    ----------
    label : str
        What it goes by: the label of a bag or a snag, a day, a file name, a spot's id.
    words : str
        What is written of it.
    """

    kind: DocKind | Literal["picture", "clip", "spot", "walk"]
    label: str
    words: str


def tell(archive: Archive, hit: Hit) -> FoundText:
    """A bag, a snag, a document, a fluid, a day's note, or a value or purchase of no tag, in words."""
    store, job_id = archive.store, archive.job.job_id
    if hit.kind == "bag":
        bag = next(bag for bag in bags.list_bags(store, job_id) if bag.bag_id == hit.ref)
        return FoundText("bag", bag.label, ", ".join(filter(None, (bag.name, bag.inside, bag.place, bag.note))))
    if hit.kind == "snag":
        snag = next(snag for snag in snags.list_snags(store, job_id) if snag.snag_id == hit.ref)
        return FoundText("snag", snag.label, ", ".join(filter(None, (snag.place, snag.what, snag.buy))))
    if hit.kind == "document":
        document = next(one for one in documents.list_documents(store, job_id) if one.document_id == hit.ref)
        return FoundText("document", str(document.document_id), document.called)
    if hit.kind == "line":
        line = events.find_line(store, job_id, hit.ref)
        told = [] if line is None else _words_of_line(line)
        return FoundText("line", str(hit.ref), " ".join(filter(None, told)))
    if hit.kind == "value":
        value = next(value for value in values.list_values(store, job_id) if value.value_id == hit.ref)
        return FoundText("value", value.thing, _told(value.what, value.wanted, value.limits, f"page {value.page}"))
    if hit.kind == "purchase":
        bought = next(one for one in purchases.list_purchases(store, job_id) if one.purchase_id == hit.ref)
        return FoundText("purchase", bought.what, _told(bought.part_number, bought.price, bought.shop))
    day, note = fitting.get_note_row(store, hit.ref)
    return FoundText("day", day, note)


def _words_of_line(line: LogLine) -> list[str]:
    whom = f"{'to' if line.kind == 'sent out' else 'by'} {line.by_whom}" if line.by_whom else ""
    return [line.kind, line.amount, line.what, line.grade, line.container, line.looks, line.note, whom]


def _told(*words: str) -> str:
    return ", ".join(filter(None, words))


def find_files(archive: Archive, typed: str) -> list[FoundText]:
    """Pictures and clips whose file has the name typed, in any case, with its suffix or without."""
    name = typed.strip().casefold()
    if len(name) < SHORTEST_FILE_NAME or not any(letter.isdecimal() for letter in name):
        return []
    store, job_id = archive.store, archive.job.job_id
    shown = [FoundText("picture", one.file, _shows(archive, one.picture_id)) for one in _pictures(archive, name)]
    clips = [clip.file for clip in pictures.list_clips(store, job_id) if _is_name(clip.file, name)]
    return [*shown, *(FoundText("clip", file, "a clip") for file in clips)]


def find_spots(archive: Archive, asked: Sequence[Term]) -> list[FoundText]:
    """Spots whose name holds every term asked for."""
    named = [
        (spot_id, name, set(words_of(name).split()))
        for spot_id, name in spots.list_names(archive.store, archive.job.job_id)
    ]
    return [FoundText("spot", str(spot_id), name) for spot_id, name, words in named if _holds(words, asked)]


def find_walk(archive: Archive, asked: Sequence[Term]) -> list[FoundText]:
    """Answered items of the walk round whose name holds every term asked for."""
    return [
        FoundText("walk", line.item.name, ", ".join(line.standing.files) or f"not here: {line.not_here}")
        for line in list_walk(archive)
        if line.standing.files or line.not_here
        if _holds(set(words_of(line.item.name).split()), asked)
    ]


def _holds(words: set[str], asked: Sequence[Term]) -> bool:
    """Whether words hold every term, in one of its spellings."""
    return bool(asked) and all(any(words.issuperset(spelling) for spelling in term.spellings) for term in asked)


def _pictures(archive: Archive, name: str) -> list[Picture]:
    found = pictures.find_pictures_named(archive.store, archive.job.job_id, name)
    return [one for one in found if _is_name(one.file, name)]


def _is_name(file: str, name: str) -> bool:
    folded = file.casefold()
    return name in (folded, folded.rpartition(".")[0])


def _shows(archive: Archive, picture_id: int) -> str:
    if documents.is_document(archive.store, picture_id):
        return "a document, which shows nothing as it was found"
    ends = [
        (tags.get_tag(archive.store, pin.tag_id), pin.end) for pin in pins.pins_on_picture(archive.store, picture_id)
    ]
    return f"shows {', '.join(f'{tag.number}{end}' for tag, end in ends)}" if ends else "no tag is pinned in it"
