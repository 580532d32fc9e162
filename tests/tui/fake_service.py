"""A small archive in memory, for the screens' tests and for trying them out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from asfound.actions.tag_card import CardField
from asfound.core.log.happening import parse_happening
from asfound.core.pins.numbering import sort_key
from asfound.errors import NothingToUndo
from asfound.model.capture import TimeDoubt, TimeSource
from asfound.model.log import Gap, GapKind
from asfound.model.pictures import Pair, Picture, Spot
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag, TagEnd
from asfound.tui.pins import PinEntry, ProposalEntry, asked_entries
from asfound.tui.places import DifferenceBox, OverviewEntry, SpotMark, WhatDiffers
from asfound.tui.records import BagEntry, CardEntry, FitEntry, HoldEntry, HoldRow, LogEntry, LookEntry, SnagEntry
from asfound.tui.service import (
    DayEntry,
    DumpProgress,
    FindEntry,
    GapEntry,
    JobSummary,
    PictureEntry,
    SpotEntry,
    State,
    TagEntry,
)
from asfound.tui.sort_items import BurstProposal, PairProposal, PinQuestion, SortItem, SpotProposal, TimeQuestion
from asfound.tui.sort_queue import ask
from asfound.tui.words import split_number
from tests.tui.fake_tag_forms import FakeTagForms

ZONE = timezone(timedelta(hours=2))
FIRST_DAY = datetime(2025, 10, 18, 9, 42, tzinfo=ZONE)


class FakeService(FakeTagForms):
    """Answers like the archive would, from lists; remembers what was said to it in `calls`."""

    def __init__(self, images: Sequence[Path] = (), size: tuple[int, int] = (400, 300), count: int = 6) -> None:
        self.images = list(images)
        self.size = size
        self.calls: list[tuple[Any, ...]] = []
        self.kept: dict[str, str] = {}
        self.links: dict[tuple[int, int], Any] = {}
        self.struck: set[int] = set()
        self.counted: dict[str, int] = {}
        self.history: list[tuple[str, dict[str, Any]]] = []
        count = len(self.images) or count
        self.all_pictures = {number: self._picture(number) for number in range(1, count + 1)}
        half = max(1, count // 2)
        self.all_spots = {
            1: Spot(1, 1, "Fuel rail", tuple(range(1, half + 1))),
            2: Spot(2, 1, "", tuple(range(half + 1, count + 1))),
        }
        self.accepted = {1}
        self.all_tags: dict[int, Tag] = {}
        self.all_ends: dict[tuple[int, EndLetter], TagEnd] = {}
        self.all_pins: dict[int, Pin] = {}
        self.all_proposals: list[PinProposal] = []
        self.states: dict[int, State] = {}
        self.looked: dict[str, str] = {}
        self.wrong: dict[int, str] = {}
        self.all_snags = {
            "N1": SnagEntry("N1", "rust under mount", "31", 2, None, "", "paint", "Sat 18 Oct 2025", ""),
            "N2": SnagEntry("N2", "two washers short", "bag B1", None, None, "B1", "", "Sat 18 Oct 2025", ""),
        }
        self.pair_answers: dict[tuple[int, int], bool] = {}
        self.times_accepted: set[int] = set()
        self.bursts: list[tuple[int, ...]] = []
        self.folded: dict[int, int] = {}
        for number, name, places in (
            ("112", "fuel return hose", ("rail, front", "filter head")),
            ("31", "injector plug, cylinder 1", ("head, port side", "loom, branch 2")),
            ("110", "glow plug wire", ("glow plug 3", "")),
        ):
            self._make_tag(number, name, places)
        self._make_pin(1, "A", 1, 0.30, 0.40)
        self._make_pin(1, "A", 2, 0.35, 0.42)
        self._make_pin(1, "B", 2, 0.70, 0.55)
        self._make_pin(2, "A", 1, 0.60, 0.30)
        self.all_proposals.append(
            PinProposal(2, "A", 2, 0.62, 0.33, None, None, "carried", 0.82, "from picture 1", None)
        )
        self.history.clear()

    # Making

    def _picture(self, number: int) -> Picture:
        width, height = self.size
        if self.images:
            import cv2

            image = cv2.imread(str(self.images[number - 1]))
            assert image is not None
            height, width = image.shape[:2]
        taken = FIRST_DAY + timedelta(minutes=7 * number, days=number // 4)
        file = self.images[number - 1].name if self.images else f"P{number:04}.jpg"
        return Picture(
            picture_id=number,
            job_id=1,
            kind="photo",
            file=file,
            digest=f"{number:064x}",
            camera_id=1,
            width_px=width,
            height_px=height,
            orientation=1,
            focal_35mm=None,
            taken_local=taken.replace(tzinfo=None),
            offset_minutes=120,
            taken_at=taken,
            taken_utc_s=taken.timestamp(),
            time_source=TimeSource.EXIF_ORIGINAL,
            time_doubt=TimeDoubt.FILE_TIME if number == 3 else None,
            clip_id=None,
            clip_seconds=None,
            phash=None,
            sharpness=100.0,
            dump_id=1,
            trouble=None,
        )

    def _make_tag(self, number: str, name: str, places: tuple[str, str] = ("", "")) -> Tag:
        tag_id = len(self.all_tags) + 1
        tag = Tag(
            tag_id=tag_id,
            job_id=1,
            number=number,
            order=1,
            kind="hose",
            name=name,
            ends=2,
            note="",
            flow="",
            size="",
            bag="B1" if number == "112" else "",
            created_at=FIRST_DAY,
        )
        self.all_tags[tag_id] = tag
        letters: tuple[EndLetter, EndLetter] = ("A", "B")
        for end, place in zip(letters, places, strict=True):
            self.all_ends[tag_id, end] = TagEnd(tag_id, end, place=place)
        return tag

    def _make_pin(
        self,
        tag_id: int,
        end: EndLetter,
        picture_id: int,
        x: float,
        y: float,
        w: float | None = None,
        h: float | None = None,
        source: Any = "hand",
    ) -> Pin:
        pin_id = max(self.all_pins, default=0) + 1
        self.all_pins[pin_id] = Pin(pin_id, tag_id, end, picture_id, x, y, w, h, source)
        return self.all_pins[pin_id]

    def _keep(self, words: str) -> None:
        names = (
            "all_spots",
            "accepted",
            "all_tags",
            "all_ends",
            "all_pins",
            "all_proposals",
            "states",
            "looked",
            "all_snags",
        )
        names += ("pair_answers", "times_accepted", "folded")
        self.history.append((words, {name: getattr(self, name).copy() for name in names}))

    def _pin_entry(self, pin: Pin) -> PinEntry:
        tag = self.all_tags[pin.tag_id]
        return PinEntry(pin, tag.number, tag.name)

    # Looking

    def summary(self) -> JobSummary:
        without = sum(bool(entry.ends_without_picture) for entry in self.tags())
        gaps = self.gaps()
        off = [state for state in self.states.values() if state]
        return JobSummary(
            name="Work boat, port engine",
            pictures=len(self.all_pictures),
            clips=1,
            spots=len(self.all_spots),
            spots_without_name=sum(not spot.name for spot in self.all_spots.values()),
            to_sort=len(ask(self.sort_queue())),
            tags=len(self.all_tags),
            tags_without_picture=without,
            gaps=len(gaps),
            gaps_closable=sum(gap.closable for gap in gaps),
            off=len(off),
            refitted=off.count("refitted"),
            last_dump_at=FIRST_DAY if self.all_pictures else None,
        )

    def days(self) -> list[DayEntry]:
        days: dict[Any, list[Picture]] = {}
        for picture in self.all_pictures.values():
            assert picture.taken_at is not None
            days.setdefault(picture.taken_at.date(), []).append(picture)
        return [
            DayEntry(
                day,
                tuple(picture.picture_id for picture in some),
                some[0].taken_at,
                some[-1].taken_at,
                tuple(sorted({self.picture(picture.picture_id).spot_name for picture in some} - {""})),
            )
            for day, some in sorted(days.items())
        ]

    def spots(self) -> list[SpotEntry]:
        return [self.spot(spot_id) for spot_id in self.all_spots]

    def spot(self, spot_id: int) -> SpotEntry:
        spot = self.all_spots[spot_id]
        tag_ids = {pin.tag_id for pin in self.all_pins.values() if pin.picture_id in spot.picture_ids}
        numbers = tuple(self.all_tags[tag_id].number for tag_id in sorted(tag_ids))
        times = [self.all_pictures[one].taken_at for one in spot.picture_ids]
        first, last = (times[0], times[-1]) if times else (None, None)
        return SpotEntry(spot, numbers, len(self.pairs(spot_id)), first, last)

    def pairs(self, spot_id: int) -> list[Pair]:
        ids = self.all_spots[spot_id].picture_ids if spot_id in self.all_spots else ()
        made = [pair for pair, said in self.pair_answers.items() if said and set(pair) <= set(ids)]
        pairs = [Pair(spot_id, before, after, "changed", 1.0) for before, after in made]
        if len(ids) < 2 or (ids[0], ids[-1]) in self.pair_answers:
            return pairs
        return [Pair(spot_id, ids[0], ids[-1], "removed", 0.8), *pairs]

    def picture(self, picture_id: int) -> PictureEntry:
        spot = next((spot for spot in self.all_spots.values() if picture_id in spot.picture_ids), None)
        numbers = tuple(f"{entry.number}{entry.pin.end}" for entry in self.pins(picture_id))
        name = (spot.name or f"Spot {spot.spot_id}") if spot else ""
        return PictureEntry(self.all_pictures[picture_id], spot.spot_id if spot else None, name, "before", numbers)

    def pictures_in_time(self) -> list[int]:
        return list(self.all_pictures)

    def pins(self, picture_id: int) -> list[PinEntry]:
        return [self._pin_entry(pin) for pin in self.all_pins.values() if pin.picture_id == picture_id]

    def proposals(self, picture_id: int) -> list[ProposalEntry]:
        return asked_entries((one for one in self.all_proposals if one.picture_id == picture_id), self.all_tags)

    def find(self, words: str) -> list[FindEntry]:
        number, end = split_number(words)
        found = []
        for (tag_id, letter), tag_end in self.all_ends.items():
            tag = self.all_tags[tag_id]
            if not (tag.number.startswith(number) or (number and not number[0].isdigit() and number in tag.name)):
                continue
            if end and letter != end:
                continue
            pins = tuple(
                self._pin_entry(pin) for pin in self.all_pins.values() if (pin.tag_id, pin.end) == (tag_id, letter)
            )
            first = pins[0] if pins else None
            at = self.all_pictures[first.pin.picture_id].taken_at if first else None
            found.append(FindEntry(tag, tag_end, first, at, pins, 1, "Fuel rail", self.states.get(tag_id, "")))
        return sorted(found, key=lambda entry: (entry.tag.number != number, len(entry.tag.number), entry.tag.number))

    def tags(self) -> list[TagEntry]:
        entries = []
        for tag_id, tag in self.all_tags.items():
            ends = tuple(end for (owner, _), end in self.all_ends.items() if owner == tag_id)
            pins = [pin for pin in self.all_pins.values() if pin.tag_id == tag_id]
            without = tuple(end.end for end in ends if end.end not in {pin.end for pin in pins})
            first = self._pin_entry(pins[0]) if pins else None
            entries.append(TagEntry(tag, ends, len(pins), without, first, self.states.get(tag_id, "")))
        return sorted(entries, key=lambda entry: sort_key(entry.tag.number))

    def gaps(self) -> list[GapEntry]:
        return [
            GapEntry(Gap(GapKind.NEVER_PHOTOGRAPHED, "no picture shows 110", number="110", tag_id=3), True),
            GapEntry(Gap(GapKind.ONE_END, "31 B has no picture", number="31", end="B", tag_id=2), True),
            GapEntry(Gap(GapKind.BAG_WITHOUT_TAG, "nothing is said to be in bag B8", bag="B8"), False),
        ]

    def sort_queue(self) -> list[SortItem]:
        queue: list[SortItem] = [BurstProposal(one) for one in self.bursts if not set(one) <= self.folded.keys()]
        queue += [
            SpotProposal(spot, spot.picture_ids, "Filter head", "They show the same bracket and hoses.")
            for spot in self.all_spots.values()
            if spot.spot_id not in self.accepted and spot.picture_ids
        ]
        queue += [
            PairProposal(pair, "Fuel rail", "A hose is gone in the later one.")
            for pair in self.pairs(1)
            if (pair.before_id, pair.after_id) not in self.pair_answers
        ]
        for picture_id in dict.fromkeys(one.picture_id for one in self.all_proposals):
            spot_id = self.picture(picture_id).spot_id
            queue += [
                PinQuestion(entry, self.all_pictures[picture_id], "Carried from picture 1, 82% sure.", spot_id)
                for entry in self.proposals(picture_id)
            ]
        queue += [
            TimeQuestion(picture, f"{picture.time_doubt}.".capitalize())
            for picture in self.all_pictures.values()
            if picture.time_doubt and picture.picture_id not in self.times_accepted
        ]
        return queue

    # Pictures

    def full_rgb(self, picture_id: int) -> Any:
        if self.images:
            import cv2

            image = cv2.imread(str(self.images[picture_id - 1]))
            assert image is not None
            return cv2.cvtColor(image, cv2.COLOR_BGR2RGB)
        import numpy as np

        width, height = self.size
        x, y = np.meshgrid(np.arange(width), np.arange(height))
        shade = (x // 20 + y // 20 + picture_id) % 2 * 90 + 60
        return np.stack([shade, x * 255 // width, y * 255 // height], axis=-1).astype(np.uint8)

    def preview_rgb(self, picture_id: int, longest_px: int) -> Any:
        import cv2

        image = self.full_rgb(picture_id)
        scale = min(1.0, longest_px / max(image.shape[:2]))
        return cv2.resize(image, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)

    def original_path(self, picture_id: int) -> Path:
        return Path("/archive/originals") / self.all_pictures[picture_id].file

    # Places and records

    def move_pictures(self, picture_ids: Sequence[int], spot_id: int | None) -> None:
        self._keep("pictures moved")
        self.calls.append(("move_pictures", tuple(picture_ids), spot_id))
        for number, spot in self.all_spots.items():
            rest = tuple(one for one in spot.picture_ids if one not in picture_ids)
            new = tuple(sorted({*rest, *picture_ids})) if number == spot_id else rest
            self.all_spots[number] = replace(spot, picture_ids=new)

    def likely_spots(self, picture_ids: Sequence[int]) -> list[int]:
        return []

    def split_spot(self, spot_id: int | None, picture_ids: Sequence[int]) -> Spot:
        number = max(self.all_spots) + 1
        self.move_pictures(picture_ids, None)
        self.calls.append(("split_spot", spot_id, tuple(picture_ids)))
        self.all_spots[number] = Spot(number, 1, "", tuple(picture_ids))
        return self.all_spots[number]

    def join_spots(self, keep_id: int, other_id: int) -> None:
        self.move_pictures(self.all_spots[other_id].picture_ids, keep_id)
        self.calls.append(("join_spots", keep_id, other_id))

    def settle_spots(self) -> bool:
        return False

    def behind(self) -> dict[int, int]:
        return {one: front for one, front in self.folded.items() if one != front}

    def fold_bursts(self, folded: Sequence[Sequence[int]]) -> None:
        self._keep(f"{len(folded)} bursts folded")
        self.calls.append(("fold_bursts", [tuple(one) for one in folded]))
        for one in folded:
            self.folded |= dict.fromkeys(one, one[0])

    def let_stand(self, picture_ids: Sequence[int]) -> None:
        self._keep("look-alikes left apart")
        self.calls.append(("let_stand", tuple(picture_ids)))
        self.folded |= {one: one for one in picture_ids}

    def swap_ends(self, picture_id: int, tag_id: int) -> str:
        self._keep("ends swapped")
        self.calls.append(("swap_ends", picture_id, tag_id))
        for pin in list(self.all_pins.values()):
            if (pin.picture_id, pin.tag_id) == (picture_id, tag_id):
                self.all_pins[pin.pin_id] = replace(pin, end="B" if pin.end == "A" else "A")
        return "A and B are swapped."

    def resize_pin(self, pin_id: int, x_frac: float, y_frac: float, w_frac: float | None, h_frac: float | None) -> None:
        self._keep("pin moved")
        self.calls.append(("resize_pin", pin_id, x_frac, y_frac, w_frac, h_frac))
        self.all_pins[pin_id] = replace(
            self.all_pins[pin_id], x_frac=x_frac, y_frac=y_frac, w_frac=w_frac, h_frac=h_frac
        )

    def link(self, here_id: int, there_id: int) -> Any:
        return self.links.get((here_id, there_id))

    def differences(self, before_id: int, after_id: int) -> WhatDiffers | None:
        clear = DifferenceBox(0.25, 0.5, 0.2, 0.2, 0.9, ("112A",), (0.2, 0.5, 0.2, 0.2))
        return WhatDiffers((clear, DifferenceBox(0.7, 0.3, 0.1, 0.1, 0.4)), (("112A", "31A"),))

    def overviews(self) -> list[OverviewEntry]:
        if len(self.all_pictures) < 2:
            return []
        marks = (SpotMark(1, "Fuel rail", 0.3, 0.4, 0.2, 0.2), SpotMark(2, "Spot 2", 0.7, 0.6, 0.2, 0.2))
        return [OverviewEntry(1, marks)]

    def pictures_to_answer(self) -> list[int]:
        return sorted({one.picture_id for one in self.all_proposals})

    def card(self, tag_id: int) -> CardEntry:
        tag = self.all_tags[tag_id]
        same = [one for one in self.all_tags.values() if one.number == tag.number]
        label = f"{tag.number}.{tag.order}" if len(same) > 1 else tag.number
        place = self.all_ends[tag_id, "A"].place
        fields = [
            CardField("kind", "kind", tag.kind),
            CardField("place", "place", place, "A"),
            CardField("bag", "bag", tag.bag),
        ]
        caution = ("CAUTION: fuel under pressure; follow the service manual, local law and licensed practice.",)
        return CardEntry(label, tag.name, tuple(field for field in fields if field.words), (), (), caution)

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        tag = self.all_tags.get(tag_id)
        found = [one for one in self.find(tag.number) if one.tag.tag_id == tag_id] if tag is not None else []
        return next((one for one in found if one.end.end == end), None)

    def off_at_s(self, tag_id: int) -> float | None:
        return None

    def log_lines(self) -> list[LogEntry]:
        lines = []
        for line, (tag_id, state) in enumerate(self.states.items(), 1):
            tag, struck = self.all_tags[tag_id], line in self.struck
            lines.append(LogEntry(line, tag_id, "18 Oct 2025 14:00", tag.number, state, tag.name, struck, not struck))
        return lines[::-1]

    def strike(self, line: int) -> None:
        self._keep("line struck out")
        self.calls.append(("strike", line))
        self.struck.add(line)

    def write_happened(self, words: str) -> str:
        said = parse_happening(words, FIRST_DAY.date())
        (mine,) = [one for one in self.all_tags.values() if one.number == said.numbers[0]]
        self._keep(words)
        self.calls.append(("write_happened", words))
        self.states[mine.tag_id] = said.kind
        return f"{mine.number}: {said.kind}"

    def hand_over(self, note: str) -> None:
        self._keep("note")
        self.calls.append(("hand_over", note))

    def note_of_today(self) -> str:
        return next((str(call[1]) for call in reversed(self.calls) if call[0] == "hand_over"), "")

    def bag_is_for(self, label: str, numbers: str) -> None:
        self._keep("bag written down")
        self.calls.append(("bag_is_for", label, numbers))

    def bags(self) -> list[BagEntry]:
        counted = self.counted.get("B1")
        known = [BagEntry("B1", ("112",), "union bolts", "shelf 2", 4, counted, "2 copper washers", (1,))]
        return [*known, BagEntry("B8", (), "", "", None, None, "")]

    def count_back(self, label: str, pieces: int) -> None:
        self._keep("bag counted")
        self.calls.append(("count_back", label, pieces))
        self.counted[label] = pieces

    def fit_steps(self) -> list[FitEntry]:
        off = [self.all_tags[tag_id] for tag_id, state in self.states.items() if state == "off"]
        steps = [
            FitEntry(tag.tag_id, tag.number, tag.name, off[place - 1].number if place else "", "", tag.bag)
            for place, tag in enumerate(off)
        ]
        words = "stop and look: before first start"
        hold = FitEntry(None, "hold", words, "112", "", "", hold="before first start")
        again = [
            FitEntry(tag_id, self.all_tags[tag_id].number, "", "", "", "", said=said)
            for tag_id, said in self.wrong.items()
        ]
        return [*again, *steps, hold] if steps else again

    def holds(self) -> list[HoldEntry]:
        on = [HoldRow(f"{tag.number} is on.", tag.tag_id, "", "", True) for tag in self.all_tags.values()]
        rows = [row for row in on if self.states.get(row.tag_id or 0) != "off"]
        rows += [HoldRow("Bag B1 is to count.", None, "B1", "", False), HoldRow("Snag: rust.", None, "", "N1", True)]
        cautions = ("DANGER: Nobody under a hanging engine; follow the service manual.",)
        due = "before lift out" not in self.kept
        return [
            HoldEntry(name, tuple(rows), self.looked.get(name, ""), cautions, due, "Look for yourself.")
            for name in ("before lift out", "before lift in", "before first start")
        ]

    def cautions_shown(self, hold: str) -> None:
        self.kept[hold] = "today"

    def look_at_hold(self, hold: str, by_whom: str) -> None:
        self._keep(f"hold {hold} looked at")
        self.calls.append(("look_at_hold", hold, by_whom))
        self.looked[hold] = f"18 Oct 2025 by {by_whom}"

    def snags(self) -> list[SnagEntry]:
        return sorted(self.all_snags.values(), key=lambda entry: bool(entry.closed))

    def add_snag(self, what: str) -> str:
        self._keep("snag added")
        self.calls.append(("add_snag", what))
        label = f"N{len(self.all_snags) + 1}"
        self.all_snags[label] = SnagEntry(label, what, "", None, None, "", "", "Sat 18 Oct 2025", "")
        return label

    def close_snag(self, label: str, how: str) -> None:
        self._keep("snag closed")
        self.calls.append(("close_snag", label, how))
        entry = self.all_snags[label]
        self.all_snags[label] = replace(entry, closed="" if entry.closed else how)

    def buy_for_snag(self, label: str, what: str) -> None:
        self._keep("snag changed")
        self.calls.append(("buy_for_snag", label, what))
        self.all_snags[label] = replace(self.all_snags[label], buy=what)

    def looks_for(self, tag_id: int) -> list[LookEntry]:
        if self.states.get(tag_id) != "refitted":
            return []
        number, name = self.all_tags[tag_id].number, self.all_tags[tag_id].name
        return [LookEntry(tag_id, "A", f"{number}A", f"{number} A {name}", 1, 3, (0.3, 0.4), None)]

    def look_over(
        self, tag_id: int, answer: str, *, end: EndLetter | None, picture_id: int, beside_id: int, note: str
    ) -> str:
        self._keep(f"looked over: {answer}")
        self.calls.append(("look_over", tag_id, answer, end, picture_id, beside_id, note))
        return "N3" if answer == "wrong" else ""

    def make_pair(self, before_id: int, after_id: int) -> None:
        self._keep("pair made")
        self.calls.append(("make_pair", before_id, after_id))
        self.pair_answers[before_id, after_id] = True

    def answer_gap(self, gap: Gap, words: str) -> int:
        self.calls.append(("answer_gap", gap.about, str(gap.kind), words))
        return 1

    # Saying

    def name_spot(self, spot_id: int, name: str) -> None:
        self._keep(f"spot named {name}")
        self.calls.append(("name_spot", spot_id, name))
        self.all_spots[spot_id] = replace(self.all_spots[spot_id], name=name)
        self.accepted.add(spot_id)

    def accept_spot(self, spot_id: int) -> None:
        self._keep("spot accepted")
        self.calls.append(("accept_spot", spot_id))
        self.accepted.add(spot_id)

    def confirm_pair(self, before_id: int, after_id: int) -> None:
        self._keep("pair kept")
        self.calls.append(("confirm_pair", before_id, after_id))
        self.pair_answers[before_id, after_id] = True

    def reject_pair(self, before_id: int, after_id: int) -> None:
        self._keep("pair refused")
        self.calls.append(("reject_pair", before_id, after_id))
        self.pair_answers[before_id, after_id] = False

    def tag_picture(self, picture_id: int, number: str, end: EndLetter | None) -> PinEntry:
        self.calls.append(("tag_picture", picture_id, number, end))
        return self.add_pin(picture_id, number, end, 0.5, 0.5, 1.0, 1.0)

    def add_pin(
        self,
        picture_id: int,
        number: str,
        end: EndLetter | None,
        x_frac: float,
        y_frac: float,
        w_frac: float | None = None,
        h_frac: float | None = None,
    ) -> PinEntry:
        self._keep(f"{number} pinned on picture {picture_id}")
        tag = next((tag for tag in self.all_tags.values() if tag.number == number), None) or self._make_tag(number, "")
        if end is None:
            pinned = {pin.end for pin in self.all_pins.values() if pin.tag_id == tag.tag_id}
            end = "A" if "A" not in pinned or "B" in pinned else "B"
        pin = self._make_pin(tag.tag_id, end, picture_id, x_frac, y_frac, w_frac, h_frac)
        self.calls.append(("add_pin", picture_id, number, end, x_frac, y_frac, w_frac, h_frac))
        return self._pin_entry(pin)

    def carry_pin(self, pin_id: int) -> int:
        self.calls.append(("carry_pin", pin_id))
        return 2

    def move_pin(self, pin_id: int, x_frac: float, y_frac: float) -> None:
        self._keep("pin moved")
        self.calls.append(("move_pin", pin_id, x_frac, y_frac))
        self.all_pins[pin_id] = replace(self.all_pins[pin_id], x_frac=x_frac, y_frac=y_frac)

    def delete_pin(self, pin_id: int) -> None:
        self._keep("pin taken away")
        self.calls.append(("delete_pin", pin_id))
        del self.all_pins[pin_id]

    def confirm_proposal(self, proposal: PinProposal) -> PinEntry:
        self._keep("proposal confirmed")
        self.calls.append(("confirm_proposal", proposal))
        self.all_proposals.remove(proposal)
        where = proposal.picture_id, proposal.x_frac, proposal.y_frac, proposal.w_frac, proposal.h_frac
        return self._pin_entry(self._make_pin(proposal.tag_id, proposal.end, *where, proposal.source))

    def reject_many(self, proposals: Sequence[PinProposal]) -> None:
        self._keep("proposal refused")
        self.calls.append(("reject_many", *proposals))
        for proposal in proposals:
            self.all_proposals.remove(proposal)

    def accept_many(self, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
        depth = len(self.history)
        self._keep(f"{len(proposals)} pins and {len(pairs)} pairs accepted")
        for proposal in proposals:
            self.confirm_proposal(proposal)
        for pair in pairs:
            self.confirm_pair(pair.before_id, pair.after_id)
        del self.history[depth + 1 :]

    def accept_times(self, picture_ids: Sequence[int]) -> None:
        self._keep("times accepted")
        self.calls.append(("accept_times", tuple(picture_ids)))
        self.times_accepted |= set(picture_ids)

    def mark_off(self, tag_id: int, bag: str = "") -> None:
        self._keep("came off")
        self.calls.append(("mark_off", tag_id))
        self.states[tag_id] = "off"

    def mark_refitted(self, tag_id: int, how: str = "by hand") -> None:
        self._keep("back on")
        self.calls.append(("mark_refitted", tag_id, how))
        self.states[tag_id] = "refitted"

    def redo(self) -> str:
        raise NothingToUndo("Nothing was taken back.")

    def undo(self, *, is_sure: bool = False) -> str:
        if not self.history:
            raise NothingToUndo("There is nothing to take back.")
        words, before = self.history.pop()
        for name, value in before.items():
            setattr(self, name, value)
        return words

    def add_dump(
        self,
        paths: Sequence[Path],
        *,
        progress: Callable[[DumpProgress], None],
        stopped: Callable[[], bool],
    ) -> DumpProgress:
        self.calls.append(("add_dump", tuple(paths)))
        state = DumpProgress(0, 2, "", 0, 0, 0)
        for done in (1, 2):
            if stopped():
                break
            state = DumpProgress(done, 2, f"N{done}.jpg", done, 0, 0)
            progress(state)
        return state

    def sort_pending(self, *, progress: Callable[[str], None], stopped: Callable[[], bool]) -> str:
        return ""

    def book_path(self) -> Path:
        return Path(self.kept.get("book", "/nowhere/work-boat.pdf"))

    def print_book(
        self, path: Path, *, replace: bool, progress: Callable[[str], None], stopped: Callable[[], bool]
    ) -> str:
        progress("printing pictures 1 of 2")
        self.calls.append(("print_book", path, replace))
        return "12 pages of A4, 0.3 MB."

    def remembered(self, key: str) -> str | None:
        return self.kept.get(key)

    def remember(self, key: str, value: str) -> None:
        self.kept[key] = value
