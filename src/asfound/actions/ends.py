"""One end of a thing with every picture of it, and how words that are still being typed find it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from asfound.actions import find
from asfound.actions.archive import Archive, kept
from asfound.actions.found_end import FoundEnd, SeenEnd, seen_end
from asfound.actions.known import State, known_pictures, known_tags, spot_name, spot_of, states
from asfound.actions.pinned import PinEntry, pin_entry
from asfound.actions.tag import list_ends
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag, TagEnd


@dataclass(frozen=True, slots=True)
class FindEntry:
    """One end of a thing with its pictures.

    Attributes
    ----------
    as_found : PinEntry or None
        On the best picture from before it came off; None when no picture shows this end.
    pins : tuple of PinEntry
        Every picture of this end, oldest first.
    """

    tag: Tag
    end: TagEnd
    as_found: PinEntry | None
    as_found_in: Picture | None
    pins: tuple[PinEntry, ...]
    spot_name: str
    state: State

    @property
    def as_found_at(self) -> datetime | None:
        """When its as-found picture was taken; None without one, or where that is not known."""
        return self.as_found_in.taken_at if self.as_found_in is not None else None

    @property
    def guess(self) -> float | None:
        """How sure the as-found picture is, where it is a guess that nobody confirmed; None where it is none."""
        return self.as_found.guess if self.as_found is not None else None


def find_while_typed(archive: Archive, typed: str) -> list[FindEntry]:
    """Tag ends for a number, the beginning of one (``11``, ``112``, ``112B``), or words of a name; best first."""
    if not typed.strip():
        return []
    number = typed.strip()
    # A number still being typed: tags that begin so, before anything that only mentions these digits.
    begun = find.of_number(archive, number) or find.begin_so(archive, number) if number.isdecimal() else ()
    return [_entry(archive, one) for one in begun or find.search(archive, typed).ends]


def find_end(archive: Archive, tag_id: int, end: EndLetter) -> FindEntry | None:
    """One end of exactly this thing, whatever other things have its number; None when it has no such end."""
    return next((one for one in ends_of(archive, tag_id) if one.end.end == end), None)


def ends_of(archive: Archive, tag_id: int) -> list[FindEntry]:
    """The ends of a thing, A first; none when there is no such thing any more."""
    mine = known_tags(archive).get(tag_id)
    if mine is None:
        return []
    return [_entry(archive, seen_end(archive, mine, end)) for end in list_ends(archive).get(tag_id, ())]


def other_with_picture(archive: Archive, entry: FindEntry) -> FindEntry | None:
    """The other end of a thing, where a picture shows it."""
    sides = ends_of(archive, entry.tag.tag_id)
    return next((one for one in sides if one.end.end != entry.end.end and one.pins), None)


def _entry(archive: Archive, answer: FoundEnd) -> FindEntry:
    best = answer.as_found
    seen = [one for one in (best, *answer.others) if one is not None]
    if len(seen) > 1:
        seen.sort(key=lambda one: _places_in_time(archive)[one.picture.picture_id])
    shown = best or (answer.others[0] if answer.others else None)
    spot_id = spot_of(archive).get(shown.picture.picture_id) if shown else None
    return FindEntry(
        tag=answer.tag,
        end=answer.end,
        as_found=None if best is None else _seen(archive, best),
        as_found_in=None if best is None else best.picture,
        pins=tuple(_seen(archive, one) for one in seen),
        spot_name=spot_name(archive, spot_id),
        state=states(archive).get(answer.tag.tag_id, ""),
    )


@kept
def _places_in_time(archive: Archive) -> Mapping[int, int]:
    return {picture_id: place for place, picture_id in enumerate(known_pictures(archive))}


def _seen(archive: Archive, seen: SeenEnd) -> PinEntry:
    """A pin, or a proposal shown as one with no identity of its own."""
    p = seen.pin
    if not isinstance(p, PinProposal):
        return pin_entry(archive, p)
    shown = Pin(0, p.tag_id, p.end, p.picture_id, p.x_frac, p.y_frac, p.w_frac, p.h_frac, p.source)
    return replace(pin_entry(archive, shown), guess=p.confidence)
