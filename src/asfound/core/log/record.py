"""The whole record of a job as the gap rules read it, and the questions they ask of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Literal

from asfound.core.log.order import Standing, find_standings
from asfound.core.log.to_buy import BuyItem
from asfound.core.pins.numbering import sort_key
from asfound.model.log import Event, LogLine
from asfound.model.tags import ONE_ENDED_KINDS, PLACES_WITHOUT_PICTURE, Belt, EndLetter, Tag, TagEnd
from asfound.model.walk import WalkStanding

Stage = Literal["before", "after"]


@dataclass(frozen=True, slots=True)
class TagSighting:
    """A tag in a picture; `end` is None when the picture shows the tag but nobody said which end."""

    tag_id: int
    end: EndLetter | None
    picture_id: int
    stage: Stage


@dataclass(frozen=True, slots=True)
class GuessedSighting:
    """An end that the machine proposes on a picture from before removal, and that nobody confirmed or rejected."""

    tag_id: int
    end: EndLetter
    picture_id: int
    file: str
    confidence: float


@dataclass(frozen=True, slots=True)
class BagContents:
    """A bag, what is in it, and how many pieces went in and were counted back; None when not counted."""

    label: str
    contents: str = ""
    count_out: int | None = None
    count_back: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class DoubtfulTime:
    """A picture or clip whose time may be wrong, and why, in the words of `TimeDoubt`."""

    file: str
    reason: str
    picture_id: int | None = None


@dataclass(frozen=True, slots=True)
class DamagedFile:
    """A photo or clip that is kept and cannot be shown whole, and what is the matter with it.

    `picture_id` is None for a clip, and for a file of which nothing can be shown.
    """

    file: str
    trouble: str
    picture_id: int | None = None


@dataclass(frozen=True, slots=True)
class LooseFind:
    """Something seen in a picture and of nothing known: an open snag with a picture and neither tag nor bag."""

    snag: str
    what: str
    file: str
    picture_id: int


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo, as far as it can show that something is lacking.

    Attributes
    ----------
    written : datetime or None
        Naive, as the camera's clock said.
    is_tied : bool
        Whether a pin, a proposed pin or a snag ties it to something.
    is_of_spot : bool
        Whether other pictures of a spot that it shows are tied, so that it shows the same things, pinned or not.
    """

    picture_id: int
    file: str
    camera_id: int | None = None
    written: datetime | None = None
    is_tied: bool = False
    is_of_spot: bool = False


@dataclass(frozen=True, slots=True)
class CameraClock:
    """What is known of a camera's clock.

    Attributes
    ----------
    tells_offset : bool
        Whether its files say the offset from UTC: such a camera is set by its network, and goes along with changes.
    compared_since : tuple of datetime or None
        From which of its own times on a person said how far it is off; None for always.
    """

    camera_id: int
    name: str
    tells_offset: bool = False
    compared_since: tuple[datetime | None, ...] = ()


@dataclass(frozen=True)
class Record:
    """What is known of one job. The order of the parts does not matter.

    Attributes
    ----------
    tags, ends, events : tuple
        An end without a row counts as an end of which nothing was said.
    sightings : tuple of TagSighting
        Confirmed pins and hand pins; proposals only if the caller trusts them.
    bags : tuple of BagContents
        Bags that are written down. The tags say which bag is theirs.
    damaged : tuple of DamagedFile
        Photos and clips that cannot be shown whole, and of which no whole copy came since.
    fit_after : tuple of (int, int)
        Tag ids (later, earlier).
    aliases : tuple of (int, str)
        Further numbers that a tag goes by, such as 12x for the second 12.
    settled_numbers : frozenset of str
        Missing numbers that the person said were skipped, never used, or lost with their tape.
    in_bags : tuple of (int, str)
        Tag ids with the bags that hold their fasteners, beyond what the tags and the log say.
    belts : tuple of Belt
        What was written down as such of path, arrow, direction and slack of belts.
    bursts : tuple of tuple of int
        Pictures that show the same, the sharpest first, of which nobody said anything yet.
    read_numbers : tuple of (int, str)
        Pictures with the numbers that a reader saw in them; nobody has said that they are right.
    walk : tuple of WalkStanding
        Every item of the walk round.
    clock_changes : tuple of datetime
        Naive local times at which the clocks of the job's zone were put forward or back.
    guesses : tuple of GuessedSighting
        Proposals: no evidence, but a place to look.
    lines : tuple of LogLine
        Everything in the log.
    to_buy : tuple of BuyItem
        The list to buy, what arrived too.
    """

    tags: tuple[Tag, ...]
    ends: tuple[TagEnd, ...] = ()
    sightings: tuple[TagSighting, ...] = ()
    events: tuple[Event, ...] = ()
    bags: tuple[BagContents, ...] = ()
    doubtful_times: tuple[DoubtfulTime, ...] = ()
    damaged: tuple[DamagedFile, ...] = ()
    fit_after: tuple[tuple[int, int], ...] = ()
    aliases: tuple[tuple[int, str], ...] = ()
    settled_numbers: frozenset[str] = frozenset()
    in_bags: tuple[tuple[int, str], ...] = ()
    belts: tuple[Belt, ...] = ()
    loose_finds: tuple[LooseFind, ...] = ()
    shots: tuple[Shot, ...] = ()
    clocks: tuple[CameraClock, ...] = ()
    bursts: tuple[tuple[int, ...], ...] = ()
    read_numbers: tuple[tuple[int, str], ...] = ()
    clock_changes: tuple[datetime, ...] = ()
    guesses: tuple[GuessedSighting, ...] = ()
    lines: tuple[LogLine, ...] = ()
    to_buy: tuple[BuyItem, ...] = ()
    walk: tuple[WalkStanding, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing was brought in or written down yet."""
        return not (self.tags or self.events or self.shots or self.bags)

    @cached_property
    def in_order(self) -> list[Tag]:
        """Tags in natural order of their numbers."""
        return sorted(self.tags, key=lambda tag: (sort_key(tag.number), tag.order, tag.tag_id))

    @cached_property
    def by_id(self) -> dict[int, Tag]:
        """Tags by their hidden identity."""
        return {tag.tag_id: tag for tag in self.tags}

    def letters(self, tag: Tag) -> tuple[EndLetter, ...]:
        """The ends that a tag has: one by nature or by the person's word, else two."""
        return ("A",) if tag.ends == 1 or tag.kind in ONE_ENDED_KINDS else ("A", "B")

    def end(self, tag: Tag, letter: EndLetter) -> TagEnd:
        """What was said of an end."""
        return self._ends.get((tag.tag_id, letter)) or TagEnd(tag.tag_id, letter)

    def standing(self, tag: Tag) -> Standing:
        """Where a tag stands; an "after" picture tells that it came off also when nobody wrote that down."""
        known = self._standings.get(tag.tag_id)
        if known is None and self.ends_seen(tag, "after"):
            return Standing(came_off=True, is_off=True)
        return known or Standing()

    def ends_seen(self, tag: Tag, stage: Stage) -> frozenset[EndLetter | None]:
        """Ends that a picture of that stage shows; None stands for a picture that shows one end, nobody said which."""
        return self._seen.get((tag.tag_id, stage), frozenset())

    def guess(self, tag: Tag, letter: EndLetter) -> GuessedSighting | None:
        """The likeliest proposal for an end on a picture from before removal."""
        return self._guesses.get((tag.tag_id, letter))

    def bags_of(self, tag: Tag) -> list[str]:
        """Labels of the bags, or "back in place", that were said of a tag, in order."""
        return sorted(self._bags_of.get(tag.tag_id, set()), key=sort_key)

    def tags_of(self, label: str) -> list[Tag]:
        """Tags whose fasteners went into a bag, in natural order."""
        return self._tags_of.get(label.strip(), [])

    def in_one_picture(self, tag_ids: Iterable[int]) -> bool:
        """Whether one picture from before removal shows all these tags."""
        wanted = frozenset(tag_ids)
        return any(wanted <= shown for shown in self._shown_before)

    def label(self, tag: Tag) -> str:
        """A tag as it is named in a sentence: number, ".2" for the second of its number, and its name or kind."""
        number = tag.number if tag.order == 1 else f"{tag.number}.{tag.order}"
        words = tag.name.strip() or ("" if tag.kind == "other" else tag.kind)
        return f"{number} ({words})" if words else number

    def labels(self, tags: Iterable[Tag]) -> str:
        """Several tags as they are named in a sentence."""
        *first, last = map(self.label, tags)
        return f"{', '.join(first)} and {last}" if first else last

    @cached_property
    def standings(self) -> dict[int, Standing]:
        """Standing of every tag by its hidden identity."""
        return {tag.tag_id: self.standing(tag) for tag in self.tags}

    @cached_property
    def are_places_used(self) -> bool:
        """Whether this person writes down places at all."""
        return any(end.place.strip() for end in self.ends)

    @cached_property
    def are_bags_used(self) -> bool:
        """Whether this person writes down bags at all, or that fasteners went back in place."""
        return bool(self.bags) or any(self._bags_of.values())

    @cached_property
    def _ends(self) -> dict[tuple[int, EndLetter], TagEnd]:
        return {(end.tag_id, end.end): end for end in self.ends}

    @cached_property
    def _standings(self) -> dict[int, Standing]:
        return find_standings(self.events)

    @cached_property
    def _seen(self) -> dict[tuple[int, Stage], frozenset[EndLetter | None]]:
        seen: dict[tuple[int, Stage], set[EndLetter | None]] = {}
        for sighting in self.sightings:
            seen.setdefault((sighting.tag_id, sighting.stage), set()).add(sighting.end)
        return {key: frozenset(ends) for key, ends in seen.items()}

    @cached_property
    def _guesses(self) -> dict[tuple[int, EndLetter], GuessedSighting]:
        likely = sorted(self.guesses, key=lambda guess: (guess.confidence, -guess.picture_id))
        return {(guess.tag_id, guess.end): guess for guess in likely}

    @cached_property
    def _bags_of(self) -> dict[int, set[str]]:
        bags = {tag.tag_id: {tag.bag.strip()} - {""} for tag in self.tags}
        for event in self.events:
            if event.kind == "off" and event.bag.strip() and event.tag_id in bags:
                bags[event.tag_id].add(event.bag.strip())
        for tag_id, label in self.in_bags:
            bags[tag_id].add(label.strip())
        return bags

    @cached_property
    def _tags_of(self) -> dict[str, list[Tag]]:
        found: dict[str, list[Tag]] = {}
        for tag in self.in_order:
            for label in self._bags_of[tag.tag_id]:
                found.setdefault(label, []).append(tag)
        return found

    @cached_property
    def _shown_before(self) -> list[set[int]]:
        shown: dict[int, set[int]] = {}
        for sighting in self.sightings:
            if sighting.stage == "before":
                shown.setdefault(sighting.picture_id, set()).add(sighting.tag_id)
        return list(shown.values())


def is_answered(place: str) -> bool:
    """Whether a place says that there is nothing to photograph: the end was not found, or is an open end."""
    return place.strip().casefold() in PLACES_WITHOUT_PICTURE
