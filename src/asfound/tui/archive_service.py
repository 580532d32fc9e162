"""The archive as the screens see it: `tui.service.Service` over the actions."""

from __future__ import annotations

import threading
from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from asfound.actions import log, settings, sort, spots, tag
from asfound.actions.archive import Archive
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Pair, Picture, Spot
from asfound.model.tags import Pin, PinProposal, Tag
from asfound.store import jobs as job_store
from asfound.store import pins as pin_store
from asfound.store import spots as spot_store
from asfound.store.pictures import get_picture, list_clips, list_pictures
from asfound.tui.archive_pins import ArchivePins
from asfound.tui.archive_places import ArchivePlaces
from asfound.tui.archive_queue import ArchiveQueue
from asfound.tui.archive_records import ArchiveRecords
from asfound.tui.archive_tag_forms import ArchiveTagForms
from asfound.tui.service import (
    DayEntry,
    DumpProgress,
    FindEntry,
    GapEntry,
    JobSummary,
    PictureEntry,
    PinEntry,
    ProposalEntry,
    SpotEntry,
    State,
    TagEntry,
)
from asfound.tui.sort_queue import ask
from asfound.tui.words import count, day_words

if TYPE_CHECKING:
    from asfound.actions.add import DumpReport
    from asfound.actions.find import FoundEnd, SeenEnd
    from asfound.tui.service import RGBImage


class _Stopped(Exception):
    """A person stopped the work at hand."""


class ArchiveService(ArchivePlaces, ArchivePins, ArchiveQueue, ArchiveRecords, ArchiveTagForms):
    """Answers the screens from one archive; worker threads get a connection of their own."""

    def __init__(self, archive: Archive) -> None:
        self._own_thread = threading.get_ident()
        self._archive = archive
        self._others = threading.local()

    @property
    def archive(self) -> Archive:
        """The archive, over a connection that belongs to the calling thread."""
        if threading.get_ident() == self._own_thread:
            return self._archive
        if not hasattr(self._others, "archive"):
            self._others.archive = self._archive.reopen()
        opened: Archive = self._others.archive
        return opened

    # Looking

    def summary(self) -> JobSummary:
        archive = self.archive
        pictures, tags, gaps = self._pictures(), self._tags(), self.gaps()
        states = self._states()
        all_spots = self._spots()
        return JobSummary(
            name=archive.job.name,
            pictures=len(pictures),
            clips=len(list_clips(archive.store, archive.job.job_id)),
            spots=len(all_spots),
            spots_without_name=sum(not spot.name for spot in all_spots),
            to_sort=len(ask(self.sort_queue())),
            tags=len(tags),
            tags_without_picture=sum(not entry.pictures for entry in self.tags()),
            gaps=len(gaps),
            gaps_closable=sum(entry.closable for entry in gaps),
            off=sum(state != "" for state in states.values()),
            refitted=sum(state == "refitted" for state in states.values()),
            last_dump_at=job_store.last_dump_at(archive.store, archive.job.job_id),
            unsorted=len(spot_store.unexamined_pictures(archive.store, archive.job.job_id, sort.METHOD)),
            last_step=next(iter(archive.store.steps(1)), ""),
            **self._where_left(),
        )

    def days(self) -> list[DayEntry]:
        by_day: dict[date | None, list[Picture]] = defaultdict(list)
        for picture in self._pictures().values():
            by_day[picture.taken_at.date() if picture.taken_at else None].append(picture)
        return [self._day(day, by_day[day]) for day in sorted(by_day, key=lambda d: (d is None, d or date.min))]

    def spots(self) -> list[SpotEntry]:
        pairs = spot_store.list_pairs(self.archive.store, self.archive.job.job_id)
        return [self._spot_entry(spot, sum(p.spot_id == spot.spot_id for p in pairs)) for spot in self._spots()]

    def spot(self, spot_id: int) -> SpotEntry:
        return self._spot_entry(spot_store.get_spot(self.archive.store, spot_id), len(self.pairs(spot_id)))

    def pairs(self, spot_id: int) -> list[Pair]:
        pairs = spot_store.list_pairs(self.archive.store, self.archive.job.job_id)
        return [pair for pair in pairs if pair.spot_id == spot_id]

    def picture(self, picture_id: int) -> PictureEntry:
        picture = get_picture(self.archive.store, picture_id)
        spot_id = self._spot_of().get(picture_id)
        numbers = tuple(f"{entry.number}{entry.pin.end}" for entry in self.pins(picture_id))
        return PictureEntry(picture, spot_id, self._spot_name(spot_id), self._stage(picture), numbers)

    def pictures_in_time(self) -> list[int]:
        return list(self._pictures())

    def pins(self, picture_id: int) -> list[PinEntry]:
        found = [self._pin_entry(p) for p in pin_store.pins_on_picture(self.archive.store, picture_id)]
        return sorted(found, key=lambda entry: (self._order(entry.number), entry.pin.end))

    def proposals(self, picture_id: int) -> list[ProposalEntry]:
        found = [self._proposal_entry(p) for p in pin_store.proposals_on_picture(self.archive.store, picture_id)]
        return sorted(found, key=lambda entry: (self._order(entry.number), entry.proposal.end))

    def find(self, words: str) -> list[FindEntry]:
        if not words.strip():
            return []
        from asfound.actions.find import find_tags, seen_end

        answers = find_tags(self.archive, words)
        typed = words.strip()
        if typed.isdecimal() and not any(answer.tag.number == typed for answer in answers):
            # A number still being typed: tags that begin so, before anything that only mentions these digits.
            begun = [t for t in self._tags().values() if t.number.startswith(typed)][:10]
            ends = tag.list_ends(self.archive)
            answers = [seen_end(self.archive, t, end) for t in begun for end in ends.get(t.tag_id, ())] or answers
        elif typed.isdecimal():
            answers = [answer for answer in answers if answer.tag.number == typed]
        else:
            # Another word narrows: a thing that holds every word hides those that hold only some.
            held = max((len(answer.reasons) for answer in answers), default=0)
            named = any(answer.tag.number in typed.split() for answer in answers)
            answers = answers if named else [answer for answer in answers if len(answer.reasons) == held]
        return [self._find_entry(answer) for answer in answers]

    def tags(self) -> list[TagEntry]:
        return self.archive.kept("tag entries", self._tag_entries)

    def gaps(self) -> list[GapEntry]:
        from asfound.actions.gaps import find_gaps

        return self.archive.kept(
            "gap entries", lambda: [GapEntry(gap, gap.mendable) for gap in find_gaps(self.archive)]
        )

    # Pictures

    def preview_rgb(self, picture_id: int, longest_px: int) -> RGBImage:
        from asfound.actions import views
        from asfound.media.thumbnails import decode_jpeg

        archive = self.archive
        source = views.source_of(archive, get_picture(archive.store, picture_id))
        return decode_jpeg(views.load_preview(archive, source), longest_px)

    def full_rgb(self, picture_id: int) -> RGBImage:
        from asfound.actions import views

        archive = self.archive
        return views.load_rgb(views.source_of(archive, get_picture(archive.store, picture_id)))

    def original_path(self, picture_id: int) -> Path:
        from asfound.actions import views

        return views.source_of(self.archive, get_picture(self.archive.store, picture_id)).path

    # Saying

    def name_spot(self, spot_id: int, name: str) -> None:
        with self.archive.step(f'spot {spot_id} named "{name}"'):
            found = spot_store.get_spot(self.archive.store, spot_id)
            spots.name_spot(self.archive, found, name)
            spots.accept_spot(self.archive, found)

    def accept_spot(self, spot_id: int) -> None:
        spots.accept_spot(self.archive, spot_store.get_spot(self.archive.store, spot_id))

    def confirm_pair(self, before_id: int, after_id: int) -> None:
        spots.confirm_pair(self.archive, before_id, after_id)

    def reject_pair(self, before_id: int, after_id: int) -> None:
        spots.refuse_pair(self.archive, before_id, after_id)

    def accept_times(self, picture_ids: Sequence[int]) -> None:
        with self.archive.step(f"{count(len(picture_ids), 'time')} accepted"):
            for picture_id in picture_ids:
                settings.accept_time(self.archive, get_picture(self.archive.store, picture_id))

    def mark_off(self, tag_id: int, bag: str = "") -> None:
        log.mark_off(self.archive, self._tags()[tag_id], bag=bag)

    def mark_refitted(self, tag_id: int, how: str = "by hand") -> None:
        log.mark_refitted(self.archive, self._tags()[tag_id], how=how)

    def undo(self) -> str:
        return log.undo(self.archive)[0]

    def add_dump(
        self,
        paths: Sequence[Path],
        *,
        progress: Callable[[DumpProgress], None],
        stopped: Callable[[], bool],
    ) -> DumpProgress:
        from asfound.actions.add import add_dump

        def tell(file: str, report: DumpReport) -> None:
            progress(_dump_progress(report, file))

        return _dump_progress(add_dump(self.archive, paths, watch=tell, stopped=stopped), "")

    def sort_pending(self, *, progress: Callable[[str], None], stopped: Callable[[], bool]) -> str:
        def tell(what: str, done: int, total: int) -> None:
            if stopped():
                raise _Stopped
            progress(f"{what} {done} of {total}" if total else what)

        try:
            report = sort.finish_pending(self.archive, tell)
        except _Stopped:
            return "Sorting was stopped. It goes on at the next start."
        if report == sort.SortReport():
            return ""
        new = [count(report.new_spots, "new spot"), count(report.new_pairs, "new pair")]
        return f"Sorted: {', '.join(new)}. i looks at them."

    def remembered(self, key: str) -> str | None:
        return settings.remembered(self.archive, key)

    def remember(self, key: str, value: str) -> None:
        settings.remember(self.archive, key, value)

    # What is asked again and again, kept until something is written

    def _pictures(self) -> dict[int, Picture]:
        archive = self.archive
        return archive.kept(
            "pictures", lambda: {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
        )

    def _tags(self) -> dict[int, Tag]:
        return self.archive.kept("tags", lambda: {t.tag_id: t for t in tag.list_tags(self.archive)})

    def _spots(self) -> list[Spot]:
        return self.archive.kept("spots", lambda: spots.list_spots(self.archive))

    def _spot_of(self) -> dict[int, int]:
        archive = self.archive
        return archive.kept("spot of", lambda: spot_store.load_membership(archive.store, archive.job.job_id))

    def _states(self) -> dict[int, State]:
        def make() -> dict[int, State]:
            states: dict[int, State] = {}
            for event in log.list_events(self.archive):
                states[event.tag_id] = event.kind
            return states

        return self.archive.kept("states", make)

    def _pins_by_tag(self) -> dict[int, list[Pin]]:
        def make() -> dict[int, list[Pin]]:
            by_tag: dict[int, list[Pin]] = defaultdict(list)
            for one in pin_store.list_pins(self.archive.store, self.archive.job.job_id):
                by_tag[one.tag_id].append(one)
            return by_tag

        return self.archive.kept("pins by tag", make)

    # Entries

    def _day(self, day: date | None, pictures: list[Picture]) -> DayEntry:
        spot_of = self._spot_of()
        here = dict.fromkeys(spot_of[p.picture_id] for p in pictures if p.picture_id in spot_of)
        names = [self._spot_name(spot_id) for spot_id in here]
        without = names.count("")
        return DayEntry(
            day=day,
            picture_ids=tuple(p.picture_id for p in pictures),
            first_at=pictures[0].taken_at,
            last_at=pictures[-1].taken_at,
            spot_names=(
                *(name for name in names if name),
                *([f"{count(without, 'spot')} without a name"] if without else []),
            ),
        )

    def _spot_entry(self, spot: Spot, pairs: int) -> SpotEntry:
        members = [self._pictures()[i] for i in spot.picture_ids]
        on_picture = self.archive.kept("numbers on picture", self._numbers_on_picture)
        numbers = {number for i in spot.picture_ids for number in on_picture.get(i, ())}
        times = [p.taken_at for p in members if p.taken_at is not None]
        return SpotEntry(
            spot=spot,
            numbers=tuple(sorted(numbers, key=self._order)),
            pairs=pairs,
            first_at=times[0] if times else None,
            last_at=times[-1] if times else None,
        )

    def _numbers_on_picture(self) -> dict[int, set[str]]:
        numbers: dict[int, set[str]] = defaultdict(set)
        for tag_id, mine in self._pins_by_tag().items():
            for one in mine:
                numbers[one.picture_id].add(self._tags()[tag_id].number)
        return numbers

    def _pin_entry(self, one: Pin) -> PinEntry:
        mine = self._tags()[one.tag_id]
        return PinEntry(one, mine.number, mine.name)

    def _proposal_entry(self, one: PinProposal) -> ProposalEntry:
        mine = self._tags()[one.tag_id]
        return ProposalEntry(one, mine.number, mine.name)

    def _find_entry(self, answer: FoundEnd) -> FindEntry:
        seen = [one for one in (answer.as_found, *answer.others) if one is not None]
        by_time = sorted(seen, key=lambda one: (one.picture.taken_utc_s is None, one.picture.taken_utc_s or 0.0))
        shown = answer.as_found or (answer.others[0] if answer.others else None)
        spot_id = self._spot_of().get(shown.picture.picture_id) if shown else None
        best = answer.as_found
        return FindEntry(
            tag=answer.tag,
            end=answer.end,
            as_found=None if best is None else self._seen_entry(best),
            as_found_at=None if best is None else best.picture.taken_at,
            pins=tuple(self._seen_entry(one) for one in by_time),
            spot_id=spot_id,
            spot_name=self._spot_name(spot_id),
            state=self._states().get(answer.tag.tag_id, ""),
        )

    def _seen_entry(self, seen: SeenEnd) -> PinEntry:
        """A pin, or a proposal shown as one with no identity of its own."""
        p = seen.pin
        if isinstance(p, PinProposal):
            p = Pin(0, p.tag_id, p.end, p.picture_id, p.x_frac, p.y_frac, p.w_frac, p.h_frac, p.source)
        return self._pin_entry(p)

    def _tag_entries(self) -> list[TagEntry]:
        ends = tag.list_ends(self.archive)
        by_tag, states = self._pins_by_tag(), self._states()
        entries = []
        for mine in sorted(self._tags().values(), key=lambda t: (self._order(t.number), t.order)):
            pinned = by_tag.get(mine.tag_id, [])
            seen = {p.end for p in pinned}
            entries.append(
                TagEntry(
                    tag=mine,
                    ends=ends.get(mine.tag_id, ()),
                    pictures=len({p.picture_id for p in pinned}),
                    ends_without_picture=tuple(e.end for e in ends.get(mine.tag_id, ()) if e.end not in seen),
                    as_found=self._pin_entry(pinned[0]) if pinned else None,
                    state=states.get(mine.tag_id, ""),
                )
            )
        return entries

    # Small things

    def _spot_name(self, spot_id: int | None) -> str:
        names = self.archive.kept("spot names", lambda: {spot.spot_id: spot.name for spot in self._spots()})
        return names.get(spot_id, "") if spot_id is not None else ""

    def _called(self, spot_id: int) -> str:
        return self._spot_name(spot_id) or f"Spot {spot_id}"

    def _stage(self, picture: Picture) -> str:
        """Before, between or after, told by what is pinned on it and when that came off."""
        off = log.off_times_s(self.archive)
        times = [
            off[p.tag_id] for p in pin_store.pins_on_picture(self.archive.store, picture.picture_id) if p.tag_id in off
        ]
        if not times or picture.taken_utc_s is None:
            return ""
        return "before" if picture.taken_utc_s < min(times) else "after"

    def _where_left(self) -> dict[str, str]:
        """Where the work was left, in the words of the first screen; nothing while the log is empty."""
        archive = self.archive
        if not log.list_lines(archive):
            return {}
        from asfound.actions.resume import where_was_i

        was = archive.kept("where was I", lambda: where_was_i(archive))
        note = f' "{was.note}"' if was.note else ""
        still_open = (
            f"{len(was.still_off)} off" if was.still_off else "",
            f"{len(was.by_hand)} by hand only" if was.by_hand else "",
            count(len(was.open_snags), "snag") if was.open_snags else "",
            f"{count(len(was.to_count), 'bag')} to count" if was.to_count else "",
        )
        return {
            "last_day": f"{day_words(was.day)}: {count(len(was.lines), 'line')} in the log{note}",
            "came_off_last": f"{day_words(was.off_day)}: {', '.join(was.came_off_last)}" if was.off_day else "",
            "still_open": ", ".join(filter(None, still_open)),
            "next_up": ", ".join(was.next_up),
        }

    def _order(self, number: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
        return sort_key(number)


def _dump_progress(report: DumpReport, file: str) -> DumpProgress:
    return DumpProgress(report.done, report.total, file, len(report.added), len(report.known), len(report.refused))
