"""`asfound find`: from a number or words to the picture of how it was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from asfound.actions import views
from asfound.actions.archive import Archive
from asfound.actions.documents import documents_of
from asfound.actions.find import Answer, numbers_near, search
from asfound.actions.found_end import FoundEnd, SeenEnd, SeenInClip
from asfound.actions.found_texts import FoundText
from asfound.cli.drawing import can_draw, draw_around
from asfound.cli.json_documents import document_entry, moment, short_picture
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, settle
from asfound.cli.places import end_label, minute, padded, place, place_in_words, width_of
from asfound.model.tags import Pin

THINGS_SHOWN = 4
OTHERS_SHOWN = 3
"""More are to be had with --json; a person looks at the first."""

_KINDS = {
    "bag": "Bag",
    "snag": "Snag",
    "document": "Document",
    "line": "Line of the log",
    "day": "Note of",
    "value": "Value of",
    "purchase": "To buy",
    "picture": "Picture",
    "clip": "Clip",
    "spot": "Spot",
    "walk": "Walk round,",
}


@click.command(epilog=example('asfound find 9a, or: asfound find "raw water hose pump"'))
@click.argument("what", nargs=-1, required=True)
@click.option("--plain", is_flag=True, help="Do not draw the picture in the terminal.")
@json_option
def COMMAND(what: tuple[str, ...], plain: bool, as_json: bool) -> int:
    """Find WHAT, a number (17, 17b) or words, and show how it was before it came off.

    Looks through names, places, notes, bags, snags, the log, values, what to buy, terminals, file names, spots, and
    colours in words or codes. Each further word narrows it down.
    """
    words = " ".join(what)
    with opened() as archive:
        settle(archive)
        answer = search(archive, words)
        found = list(answer.ends)
        things = list(dict.fromkeys(one.tag.tag_id for one in found))
        if as_json:
            documents = (_document(archive, one) for one in found)
            print_json([*map(_text_document, answer.named), *documents, *map(_text_document, answer.others)])
        else:
            _tell_texts(answer.named)
            for one in found:
                if one.tag.tag_id in things[:THINGS_SHOWN]:
                    _show(archive, one, draw=can_draw() and not plain)
            if len(things) > THINGS_SHOWN:
                console().print(f"and {len(things) - THINGS_SHOWN} more; another word narrows them down")
            _tell_texts(answer.others[:THINGS_SHOWN])
        near = () if found or answer.others or answer.named else numbers_near(archive, words)
    return _tell_missing(words, answer, near)


def _tell_texts(texts: Sequence[FoundText]) -> None:
    for text in texts:
        console().print(f"{_KINDS[text.kind]} {text.label}: {text.words}")


def _tell_missing(words: str, answer: Answer, near: Sequence[str]) -> int:
    """The exit status; what is missing, and what was taken for what, is said on stderr."""
    found = answer.ends
    for typed, meant in answer.meant:
        errors().print(f'Nothing has "{typed}"; looked for "{meant.replace("_", " ")}".')
    if answer.is_wider:
        errors().print("Nothing matches all of these words. These match some:")
    if not found and (answer.others or answer.named):
        return 0
    if not found:
        begun = ", ".join(dict.fromkeys(one.tag.number for one in answer.begin_so))
        told = f" These begin so: {begun}." if begun else f" Near it: {', '.join(near)}." if near else ""
        errors().print(f'Nothing matches "{words}".{told} List what is known with: asfound tags')
        return 1
    if any(one.as_found for one in found):
        return 0
    label = end_label(found[0].tag, found[0].end.end)
    errors().print(
        f"No picture shows {label} as it was before it came off. If one does: asfound pin {label} PICTURE X Y"
    )
    return 1


def _document(archive: Archive, one: FoundEnd) -> dict[str, Any]:
    return {
        "tag": one.tag.number,
        "end": one.end.end,
        "name": one.tag.name,
        "order": one.tag.order,
        "kind": one.tag.kind,
        "place": one.end.place,
        "bag": one.tag.bag,
        "as_found": None if one.as_found is None else _seen_document(archive, one.as_found),
        "others": [_seen_document(archive, seen) for seen in one.others],
        "documents": [document_entry(document) for document in documents_of(archive, one.tag)],
        "clips": [_clip_document(seen) for seen in one.clips],
        "why": list(one.reasons),
    }


def _clip_document(seen: SeenInClip) -> dict[str, Any]:
    """A clip that shows the end; seconds count from its start."""
    shown = seen.shown
    best = shown.best
    return {
        "clip": seen.clip.clip_id,
        "file": seen.clip.file,
        "seconds": None if best is None else best.seconds,
        "picture": None if best is None else best.picture_id,
        "x": None if best is None else best.x_frac,
        "y": None if best is None else best.y_frac,
        "from": shown.from_s,
        "to": shown.to_s,
        "last_with": None if shown.last_with is None else shown.last_with.seconds,
        "first_without": None if shown.first_without is None else shown.first_without.seconds,
        "moment_by": None if shown.first_without is None else "frames" if shown.is_seen else "log",
    }


def _text_document(text: FoundText) -> dict[str, Any]:
    """A bag, a snag, a fluid, a note, a picture, a spot: of no tag, after all that are. Its key says what it is."""
    return {"tag": None, "end": None, "name": text.words, "as_found": None, text.kind: text.label}


def _seen_document(archive: Archive, seen: SeenEnd) -> dict[str, Any]:
    path = views.find_path(archive, seen.picture)
    return {
        **short_picture(seen.picture),
        "x": seen.pin.x_frac,
        "y": seen.pin.y_frac,
        "taken": moment(seen.picture.taken_at),
        "stage": seen.ranked.stage,
        "confirmed": isinstance(seen.pin, Pin),
        "confidence": 1.0 if isinstance(seen.pin, Pin) else round(seen.pin.confidence, 4),
        "path": None if path is None else str(path),
    }


def _show(archive: Archive, one: FoundEnd, *, draw: bool) -> None:
    out = console()
    label = end_label(one.tag, one.end.end)
    out.print(f"{label}  {one.tag.name or one.tag.kind}", style="bold")
    if one.end.place:
        out.print(f"  sits at   {one.end.place}")
    if one.end.how_it_sat:
        out.print(f"  sat       {one.end.how_it_sat}")
    if one.tag.bag:
        out.print(f"  bag       {one.tag.bag}")
    for document in documents_of(archive, one.tag):
        out.print(f"  document  {document.document_id}: {document.called}")
    shown = [*([one.as_found] if one.as_found else []), *one.others[:OTHERS_SHOWN]]
    width = width_of(seen.picture.file for seen in shown)
    if one.as_found is None:
        out.print("  as found  no picture from before it came off")
    else:
        path = views.find_path(archive, one.as_found.picture)
        if draw and path is not None:
            source = views.source_of(archive, one.as_found.picture)
            draw_around(source, (label, one.as_found.pin.x_frac, one.as_found.pin.y_frac))
        out.print(_line("as found", one.as_found, width))
        told = path or "its original is not on the disk: restore it from a backup"
        out.print(f"            {told}", style="dim", soft_wrap=True)
    for seen in one.others[:OTHERS_SHOWN]:
        out.print(_line("also" if seen.ranked.is_as_found else seen.ranked.stage, seen, width))
    if len(one.others) > OTHERS_SHOWN:
        out.print(f"            and {len(one.others) - OTHERS_SHOWN} more: asfound pins {label}")
    for clip in one.clips:
        out.print(_clip_line(clip))
        if clip.shown.last_with is not None and clip.shown.first_without is not None:
            last, first = clip.shown.last_with.seconds, clip.shown.first_without.seconds
            told = "" if clip.shown.is_seen else ", by the time in the log"
            out.print(f"            still on at {clock(last)}, off at {clock(first)}{told}")


def _clip_line(seen: SeenInClip) -> str:
    shown = seen.shown
    if shown.best is None:
        return f"  in clip   {seen.clip.file}  only its empty place, from {clock(shown.from_s)}"
    where = place_in_words(shown.best.x_frac, shown.best.y_frac)
    span = f"{clock(shown.from_s)} to {clock(shown.to_s)}, " if shown.to_s > shown.from_s else ""
    return f"  in clip   {seen.clip.file}  {span}best at {clock(shown.best.seconds)}, {where}"


def clock(seconds: float) -> str:
    """A moment of a clip as players show it, to the tenth: 0:07.3, 12:00."""
    tenths = round(seconds * 10)
    minutes, rest = divmod(tenths, 600)
    whole, tenth = divmod(rest, 10)
    return f"{minutes}:{whole:02}" + (f".{tenth}" if tenth else "")


def _line(heading: str, seen: SeenEnd, width: int) -> str:
    file, where = seen.picture.file, place(seen.pin.x_frac, seen.pin.y_frac)
    guess = "" if isinstance(seen.pin, Pin) else f"  a guess, {seen.pin.confidence:.0%} sure"
    return f"  {heading:<8}  {padded(file, width)}  {minute(seen.picture.taken_at)}  {where}{guess}"
