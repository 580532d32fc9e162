"""Things that can be swapped and will still fit: same kind, same size, places near each other.

Two identical plugs hurt more than an unknown one. The rules below would rather name a group too many than miss one,
but leave out what a person already told apart: by the wire's main colour, or by a word of position written for
each end ("forward leg", "aft leg").
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from asfound.core.codes.colour_readings import parse_colour
from asfound.core.pins.numbering import sort_key
from asfound.core.words import fold, plain_words
from asfound.model.tags import ONE_ENDED_KINDS, PLACES_WITHOUT_PICTURE, EndLetter, Tag, TagEnd

_SIDES = frozenset("port starboard left right".split())
_POSITIONS = _SIDES | frozenset("upper lower top bottom forward aft front rear inner outer middle".split())
_TWINS = _SIDES | frozenset("out back in return feed supply inlet outlet upper lower inner outer".split())
"""Words that tell twins apart in a name; not front and rear, for front and rear mounts rarely interchange."""

_Group = dict[int, TagEnd | None]


@dataclass(frozen=True, slots=True)
class LookAlikes:
    """Two or more tags that could be taken for each other.

    Attributes
    ----------
    tag_ids : tuple of int
        In natural order of their numbers.
    where : str
        What brings them together: the place they share, or "on opposite sides" or "named alike".
    """

    tag_ids: tuple[int, ...]
    where: str


def find_look_alikes(tags: Sequence[Tag], ends: Iterable[TagEnd]) -> list[LookAlikes]:
    """Groups of tags of one kind that could be swapped, in natural order of their first numbers.

    They must have the same size and either share a place, with wires of the same main colour, or have names that
    differ only in a word such as out and back. Things on opposite sides (port and starboard, left and right) of places
    that are otherwise the same belong together also when nobody wrote their size down; so do those of which the person
    said so.
    """
    by_end = {(end.tag_id, end.end): end for end in ends}
    groups: dict[tuple[Hashable, ...], _Group] = defaultdict(dict)
    for tag in tags:
        for key, end in _marks(tag, by_end):
            groups[key].setdefault(tag.tag_id, end)
    where: dict[frozenset[int], str] = {}
    for key, group in groups.items():
        for alike in _by_main_colour(group):
            if len(alike) > 1 and not _are_told_apart(alike.values()):
                where.setdefault(frozenset(alike), _where(key, alike))
    ranks = {tag.tag_id: (sort_key(tag.number), tag.order, tag.tag_id) for tag in tags}
    named = [LookAlikes(tuple(sorted(ids, key=ranks.__getitem__)), where[ids]) for ids in _largest(where)]
    return sorted(named, key=lambda group: [ranks[tag_id] for tag_id in group.tag_ids])


def main_colour(colour: str) -> str:
    """The first colour of "RD/BK", folded; the trade writes the main colour before the stripe.

    Shades are one colour here, "light blue" is "bu": in poor light nobody tells them apart.
    """
    reading = parse_colour(colour)
    if reading.colour:
        return reading.colour.main.casefold()
    return re.split(r"[/\s,-]", colour.strip().casefold(), maxsplit=1)[0]


def _marks(
    tag: Tag, by_end: Mapping[tuple[int, EndLetter], TagEnd]
) -> Iterator[tuple[tuple[Hashable, ...], TagEnd | None]]:
    """Keys under which a tag meets its look-alikes, with the end that a key speaks of, if it is one end's."""
    letters: tuple[EndLetter, ...] = ("A",) if tag.ends == 1 or tag.kind in ONE_ENDED_KINDS else ("A", "B")
    ends = [end for letter in letters if (end := by_end.get((tag.tag_id, letter))) and _is_place(end.place)]
    size = plain_words(tag.size)
    if size:
        for end in ends:
            yield ("place", tag.kind, size, plain_words(end.place)), end
        name = plain_words(tag.name)
        rest = tuple(word for word in name if word not in _TWINS)
        if rest and rest != name:
            yield ("name", tag.kind, size, rest), None
    # Every end must have its mirror, or a hose from port to port would be the twin of all others.
    places = tuple(tuple("side" if word in _SIDES else word for word in plain_words(end.place)) for end in ends)
    if len(places) == len(letters) and all("side" in place for place in places):
        yield ("side", tag.kind, size, places), None
    if tag.look_alike.strip():
        yield ("said", fold(tag.look_alike.strip())), None


def _by_main_colour(group: _Group) -> Iterator[_Group]:
    """Split those that meet at one place by their wires' main colours; one without a colour goes with each of them."""
    colours = {tag_id: main_colour(end.colour) if end else "" for tag_id, end in group.items()}
    for colour in sorted({*colours.values()} - {""}) or [""]:
        yield {tag_id: end for tag_id, end in group.items() if colours[tag_id] in (colour, "")}


def _largest(groups: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """Groups that are not part of another: the same tags may meet at both of their places."""
    by_member: dict[int, list[frozenset[int]]] = defaultdict(list)
    groups = list(groups)
    for group in groups:
        for tag_id in group:
            by_member[tag_id].append(group)
    return [group for group in groups if not any(group < other for other in by_member[min(group)])]


def _is_place(place: str) -> bool:
    return bool(place.strip()) and place.strip().casefold() not in PLACES_WITHOUT_PICTURE


def _are_told_apart(ends: Iterable[TagEnd | None]) -> bool:
    """Whether each end's note has words of position, and no two the same ones."""
    positions = [_POSITIONS.intersection(plain_words(end.how_it_sat)) if end else frozenset() for end in ends]
    return all(positions) and len(set(positions)) == len(positions)


def _where(key: tuple[Hashable, ...], group: _Group) -> str:
    end = next(iter(group.values()))
    if end is not None:
        return f"at {end.place.strip()}"
    return {"name": "named alike", "said": "by your word"}.get(str(key[0]), "on opposite sides")
