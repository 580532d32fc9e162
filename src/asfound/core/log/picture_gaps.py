"""Gaps in what was photographed. Only a picture from before a thing came off shows how it was found."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.log.lookalikes import find_look_alikes
from asfound.core.log.record import Record, is_answered
from asfound.model.log import Gap, GapKind
from asfound.model.tags import EndLetter, Tag


def find_picture_gaps(record: Record) -> Iterator[Gap]:
    """Tags never photographed, photographed only after they came off, or at one end only.

    An end whose place is "not found" or "open end" needs no picture; one that a guess shows see `find_guessed_ends`.
    """
    for tag in record.in_order:
        wanted = _wanted(record, tag)
        guessed = [letter for letter in wanted if record.guess(tag, letter)]
        seen = record.ends_seen(tag, "before")
        if wanted and not seen and not guessed:
            yield _unseen(record, tag, wanted)
        elif len(record.letters(tag)) == 2:
            left = [letter for letter in wanted if letter not in seen and letter not in guessed]
            yield from _half_seen(record, tag, left, None in seen)


def find_guessed_ends(record: Record) -> Iterator[Gap]:
    """Ends that no picture from before removal shows by a person's word, but one does by the machine's guess."""
    for tag in record.in_order:
        seen = record.ends_seen(tag, "before")
        for letter in _wanted(record, tag):
            guess = record.guess(tag, letter)
            if guess is not None and letter not in seen and not (seen and len(record.letters(tag)) == 1):
                end = f"end {letter} of " if len(record.letters(tag)) == 2 else ""
                why = (
                    f"{guess.file} may show {end}{record.label(tag)} as it was found, by a guess that nobody "
                    "confirmed: look, then confirm or reject it."
                )
                yield Gap(
                    GapKind.ONLY_GUESSED,
                    why,
                    number=tag.number,
                    end=letter if len(record.letters(tag)) == 2 else None,
                    tag_id=tag.tag_id,
                    picture_id=guess.picture_id,
                    file=guess.file,
                )


def find_unpaired_look_alikes(record: Record) -> Iterator[Gap]:
    """Things that could be swapped, unless one picture from before removal shows them all in one frame."""
    for group in find_look_alikes(record.tags, record.ends):
        if record.in_one_picture(group.tag_ids):
            continue
        tags = [record.by_id[tag_id] for tag_id in group.tag_ids]
        still_on = not any(record.standing(tag).came_off for tag in tags)
        advice = "photograph them in one frame with their numbers" + (" before they come off" if still_on else "")
        advice += "" if still_on else ", and compare each with its own as-found picture"
        yield Gap(
            GapKind.LOOK_ALIKE,
            f"{record.labels(tags)} look alike ({group.where}) and could be swapped: {advice}.",
            number=tags[0].number,
            tag_id=tags[0].tag_id,
            mendable=still_on,
            beside=tuple(tag.number for tag in tags[1:]),
        )


def find_loose_finds(record: Record) -> Iterator[Gap]:
    """Things seen in a picture that belong to no tag: a plug without tape, a tape without its end."""
    for find in record.loose_finds:
        why = (
            f"{find.file} shows a part with no tag (snag {find.snag}, {find.what}): find its tag, and link "
            "the snag to that tag."
        )
        yield Gap(GapKind.LOOSE_FIND, why, picture_id=find.picture_id, file=find.file)


def find_damaged(record: Record) -> Iterator[Gap]:
    """Photos and clips that came off the card damaged: the card may still have them whole, but not for long."""
    for one in sorted(record.damaged, key=lambda each: (each.file, each.picture_id or 0)):
        why = f"{one.file}: {one.trouble}. See whether the phone or card still has it undamaged, and add it again."
        thing = "" if one.picture_id else one.file
        yield Gap(GapKind.DAMAGED, why, picture_id=one.picture_id, file=one.file, thing=thing)


def find_doubtful_times(record: Record) -> Iterator[Gap]:
    """Pictures whose time may be wrong, one gap for each reason, since they are set right together."""
    by_reason: dict[str, list[tuple[str, int | None]]] = {}
    for doubt in record.doubtful_times:
        by_reason.setdefault(doubt.reason, []).append((doubt.file, doubt.picture_id))
    for reason, doubtful in by_reason.items():
        file, picture_id = min(doubtful, key=lambda pair: pair[0])
        more = f" and {len(doubtful) - 1} more" if len(doubtful) > 1 else ""
        why = f"{file}{more}: {reason}; enter when it was taken, or correct its camera's clock."
        yield Gap(GapKind.DOUBTFUL_TIME, why, picture_id=picture_id, file=file)


def _wanted(record: Record, tag: Tag) -> list[EndLetter]:
    """Ends that want a picture."""
    return [letter for letter in record.letters(tag) if not is_answered(record.end(tag, letter).place)]


def _unseen(record: Record, tag: Tag, wanted: list[EndLetter]) -> Gap:
    seen_after = bool(record.ends_seen(tag, "after"))
    standing = record.standing(tag)
    both = "both ends of " if len(wanted) == 2 else f"end {wanted[0]} of " if len(record.letters(tag)) == 2 else ""
    if not standing.came_off:
        kind = GapKind.NEVER_PHOTOGRAPHED
        why = f"Photograph {both}{record.label(tag)} before it comes off."
    elif seen_after:
        kind = GapKind.ONLY_AFTER
        why = f"{record.label(tag)} was photographed only after it came off: {_what_is_left(record, tag, wanted)}."
    else:
        kind = GapKind.NEVER_PHOTOGRAPHED
        why = f"{record.label(tag)} came off without being photographed: {_what_is_left(record, tag, wanted)}."
    return Gap(kind, why, number=tag.number, tag_id=tag.tag_id, mendable=not standing.came_off)


def _half_seen(record: Record, tag: Tag, missing: list[EndLetter], one_unsaid: bool) -> Iterator[Gap]:
    came_off = record.standing(tag).came_off
    if len(missing) == 2:
        # Only pictures without an end letter: whichever end they show, the other one is not known to be covered.
        then = "" if came_off else ", and photograph the other before it comes off"
        why = f"Say which end of {record.label(tag)} its picture from before removal shows{then}."
        yield Gap(GapKind.ONE_END, why, number=tag.number, tag_id=tag.tag_id)
        return
    for letter in missing:
        named = f"end {letter} of {record.label(tag)}"
        hint = ", or say that a picture without an end letter shows it" if one_unsaid else ""
        if came_off:
            left = _what_is_left(record, tag, [letter])
            why = f"{named[0].upper()}{named[1:]} was not photographed before it came off: {left}{hint}."
        else:
            why = f"Photograph {named} before it comes off{hint}."
        mendable = one_unsaid or not came_off
        yield Gap(GapKind.ONE_END, why, number=tag.number, end=letter, tag_id=tag.tag_id, mendable=mendable)


def _what_is_left(record: Record, tag: Tag, letters: list[EndLetter]) -> str:
    if record.standing(tag).is_refitted:
        return "a picture now shows only how it was refitted"
    places = [place for letter in letters if (place := record.end(tag, letter).place.strip())]
    if len(letters) == 1:
        named = f" ({places[0]})" if places else ""
        return f"only the empty place{named} can still be photographed"
    named = f" ({'; '.join(places)})" if places else ""
    return f"only the empty places{named} can still be photographed"
