"""Random jobs that were kept well: nothing is lacking in them, and much in them looks as if something were.

What looks so and is not: guesses beside pinned pictures, ends that want no cap, lines struck out, two lengths in one
group, a fluid drained twice and filled, things broken and repaired, sent out and back, to be replaced and on order.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from asfound.core.log.record import (
    BagContents,
    CameraClock,
    DamagedFile,
    DoubtfulTime,
    GuessedSighting,
    LooseFind,
    Record,
    Shot,
    Stage,
    TagSighting,
)
from asfound.core.log.to_buy import find_to_buy
from asfound.core.log.walk_round import listed_items
from asfound.model.log import Event, LogLine
from asfound.model.purchases import Purchase
from asfound.model.tags import KINDS, LINE_KINDS, NO_CAP, Belt, EndLetter, Tag, TagEnd
from asfound.model.walk import WalkItem, WalkStanding
from tests.core.log.makers import START, tag

FIRST_NUMBER = 20
"""From 20 to 58 no number reads as another one upside down."""
STATES = ("on", "off", "refitted")
FLUIDS = ("engine oil", "coolant", "gear oil", "diesel", "raw water", "brake fluid", "hydraulic oil")


@dataclass
class KeptJob:
    """One job while it is made up; `record` is what the rules read."""

    dice: random.Random
    tags: dict[int, Tag] = field(default_factory=dict)
    ends: dict[tuple[int, EndLetter], TagEnd] = field(default_factory=dict)
    sightings: list[TagSighting] = field(default_factory=list)
    guesses: list[GuessedSighting] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    bags: dict[str, BagContents] = field(default_factory=dict)
    belts: dict[int, Belt] = field(default_factory=dict)
    lines: list[LogLine] = field(default_factory=list)
    purchases: list[Purchase] = field(default_factory=list)
    fit_after: list[tuple[int, int]] = field(default_factory=list)
    settled: set[str] = field(default_factory=set)
    loose_finds: list[LooseFind] = field(default_factory=list)
    doubts: list[DoubtfulTime] = field(default_factory=list)
    damaged: list[DamagedFile] = field(default_factory=list)
    shots: list[Shot] = field(default_factory=list)
    clocks: list[CameraClock] = field(default_factory=list)
    bursts: list[tuple[int, ...]] = field(default_factory=list)
    read_numbers: list[tuple[int, str]] = field(default_factory=list)
    walk: list[WalkStanding] = field(default_factory=list)
    fluids_left: list[str] = field(default_factory=lambda: list(FLUIDS))
    next_id: int = 1
    skipped: int = 0

    def new_id(self) -> int:
        """A number that nothing else has."""
        self.next_id += 1
        return self.next_id

    @property
    def next_number(self) -> int:
        """What the next thing is tagged with."""
        return FIRST_NUMBER + len(self.tags) + 1 + self.skipped

    def record(self) -> Record:
        """All of it, in an order that means nothing."""
        to_buy = find_to_buy(self.tags.values(), self.lines, (), self.purchases)
        parts = [self.tags.values(), self.ends.values(), self.sightings, self.events, self.bags.values()]
        mixed = [tuple(self.dice.sample(list(part), len(part))) for part in parts]
        return Record(
            *mixed,
            doubtful_times=tuple(self.doubts),
            damaged=tuple(self.damaged),
            fit_after=tuple(self.fit_after),
            settled_numbers=frozenset(self.settled),
            loose_finds=tuple(self.loose_finds),
            shots=tuple(self.shots),
            clocks=tuple(self.clocks),
            bursts=tuple(self.bursts),
            read_numbers=tuple(self.read_numbers),
            belts=tuple(self.belts.values()),
            guesses=tuple(self.guesses),
            lines=tuple(self.dice.sample(self.lines, len(self.lines))),
            to_buy=tuple(to_buy),
            walk=tuple(self.walk),
        )

    def thing(self, kind: str, state: str = "", *, two_ended: bool | None = None) -> Tag:
        """Another thing, well kept, with the next number."""
        tag_id = len(self.tags) + 1
        two = two_ended if two_ended is not None else kind not in ("bracket", "fastener group")
        one = tag(tag_id, str(self.next_number), kind=kind, name=f"{kind} number {tag_id}", ends=2 if two else 1)
        one = replace(one, size=f"size {tag_id}", flow="A to B" if kind in LINE_KINDS else "")
        self.tags[tag_id] = one
        for letter in ("A", "B")[: one.ends]:
            capped = self.dice.choice((True, None)) if kind in LINE_KINDS else None
            self.ends[tag_id, letter] = TagEnd(tag_id, letter, place=f"post {tag_id} {letter}", capped=capped)
            self.see(tag_id, letter, "before")
        if kind == "belt":
            self._note_belt(tag_id)
        self.put(one, state or self.dice.choice(STATES))
        if kind == "fastener group":
            self._bag(one)
        return one

    def see(self, tag_id: int, letter: EndLetter, stage: Stage) -> int:
        """A picture of an end."""
        picture_id = self.new_id()
        self.sightings.append(TagSighting(tag_id, letter, picture_id, stage))
        return picture_id

    def guess(self, tag_id: int, letter: EndLetter) -> GuessedSighting:
        """A guess of the machine on a picture from before."""
        picture_id = self.new_id()
        self.guesses.append(GuessedSighting(tag_id, letter, picture_id, f"P_{picture_id}.jpg", self.dice.random()))
        return self.guesses[-1]

    def put(self, one: Tag, state: str) -> None:
        """Let a thing be on, off, or on again."""
        if state != "on":
            self._event(one.tag_id, "off")
            if self.dice.random() < 0.3:
                self.see(one.tag_id, "A", "after")
        if state == "refitted":
            self._event(one.tag_id, "refitted", how="tight")

    def say(self, kind: str, tag_id: int | None = None, **words: Any) -> LogLine:
        """A line of the log, later than those before it."""
        names = ("end", "how", "bag", "what", "amount", "container", "looks", "by_whom", "note")
        said = dict.fromkeys(names, "") | words
        number = self.new_id()
        line = LogLine(
            event_id=number, tag_id=tag_id, kind=kind, at=self._at(number), is_day_only=False, strikes=None,
            entered_at=START, **said,
        )  # fmt: skip
        self.lines.append(line)
        return line

    def shoot(self, camera_id: int, taken: datetime | None, *, tied: bool = True, of_spot: bool = False) -> Shot:
        """A photo."""
        picture_id = self.new_id()
        self.shots.append(Shot(picture_id, f"P_{picture_id}.jpg", camera_id, taken, tied, of_spot))
        return self.shots[-1]

    def _event(self, tag_id: int, kind: str, how: str = "") -> None:
        number = self.new_id()
        self.events.append(Event(number, tag_id, kind, self._at(number), how, "", "", START))  # type: ignore[arg-type]

    def _at(self, number: int) -> datetime:
        return START + timedelta(minutes=number)

    def _note_belt(self, tag_id: int) -> None:
        if self.dice.random() < 0.5:
            self.belts[tag_id] = Belt(tag_id, path="crank, under idler, pump", slack="12 mm by hand")
        else:
            note = "over the pump, under the idler; 10 mm slack"
            self.ends[tag_id, "A"] = replace(self.ends[tag_id, "A"], how_it_sat=note)

    def _bag(self, one: Tag) -> None:
        label = self.dice.choice((f"B{one.tag_id}", "back in place"))
        self.tags[one.tag_id] = replace(self.tags[one.tag_id], bag=label)
        if label != "back in place":
            contents = self.dice.choice(
                ("bolts, M8 x 30;45, 8.8", "bolts and nuts, M10 x 1.25", "clips", "nuts, 3/8-24")
            )
            self.bags[label] = BagContents(label, contents, 8, self.dice.choice((None, 8)))


def make_kept_job(seed: int) -> KeptJob:
    """A job of up to 30 things in which nothing is lacking."""
    job = KeptJob(random.Random(seed))
    dice = job.dice
    for _number in range(dice.randint(5, 16)):
        job.thing(dice.choice(KINDS))
    _add_what_looks_lacking(job)
    for before, after in zip(list(job.tags), list(job.tags)[1:], strict=False):
        if dice.random() < 0.3 and not any(event.kind == "refitted" and event.tag_id == after for event in job.events):
            job.fit_after.append((after, before))
    for item in listed_items():
        job.walk.append(WalkStanding(item, "not here") if dice.random() < 0.2 else _pictured(item))
    job.clocks.append(CameraClock(1, "P1", tells_offset=True))
    for minute in range(dice.randint(5, 9)):
        job.shoot(1, datetime(2025, 10, 11, 9, minute))
    job.shoot(1, datetime(2025, 10, 11, 9, 20), tied=False, of_spot=True)
    job.shoot(1, datetime(2025, 10, 11, 9, 21))
    return job


def _pictured(item: WalkItem) -> WalkStanding:
    return WalkStanding(item, "pictured", (f"{item.key}.jpg",))


def _add_what_looks_lacking(job: KeptJob) -> None:
    dice = job.dice
    no_cap = job.thing("hose", "off")
    job.ends[no_cap.tag_id, "A"] = replace(job.ends[no_cap.tag_id, "A"], place="turbo", capped=None, capped_with=NO_CAP)
    job.ends[no_cap.tag_id, "B"] = replace(job.ends[no_cap.tag_id, "B"], place="raw water intake", capped=None)
    unseen = job.thing("wire")
    job.sightings = [one for one in job.sightings if (one.tag_id, one.end) != (unseen.tag_id, "B")]
    job.ends[unseen.tag_id, "B"] = replace(job.ends[unseen.tag_id, "B"], place="not found")
    job.guess(unseen.tag_id, dice.choice(("A", "B")))
    mended = job.thing("cable", "refitted")
    job.say(dice.choice(("cut", "broken")), mended.tag_id, note="at the clip")
    job.say(dice.choice(("repaired", "new part")), mended.tag_id)
    for one in (mended.tag_id, None):
        job.say("sent out", one, what="" if one else "cylinder head", by_whom="shop")
        job.say("came back", one, what="" if one else "Cylinder  head")
    worn = replace(job.thing("coolant hose"), condition="replace")
    job.tags[worn.tag_id] = worn
    if dice.random() < 0.5:
        job.purchases.append(Purchase(1, worn.tag_id, None, "", "", "", "", "2025-11-08", ""))
    else:
        job.say("new part", worn.tag_id)
    struck = job.say("broken", worn.tag_id)
    job.lines[-1] = replace(struck, is_struck=True)
    fluid = job.fluids_left.pop(dice.randrange(len(job.fluids_left)))
    job.say("drained", what=fluid, amount="7 l", container="C1")
    job.say("filled", what=fluid.upper(), amount="7 l")
    job.say("drained", what=fluid)
    job.say("drained", what=fluid, amount="2 l", container="C1")
    job.say(dice.choice(("filled", "left out")), what=fluid, note="stays dry")
