"""The archive as the screens see it: `tui.service.Service` over the actions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from asfound.actions import log, settings, sort, spots, tag, undo
from asfound.actions.sort_report import SortReport
from asfound.core.codes.facing import list_meanings, meanings_line
from asfound.core.log.first_off import taken_when
from asfound.core.match import IN_USE
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Pair, Picture, Spot
from asfound.store import jobs as job_store
from asfound.store import pins as pin_store
from asfound.store import spots as spot_store
from asfound.store.pictures import get_picture, list_clips
from asfound.tui.archive_book import ArchiveBook
from asfound.tui.archive_finding import ArchiveFinding
from asfound.tui.archive_pins import ArchivePins
from asfound.tui.archive_places import ArchivePlaces
from asfound.tui.archive_queue import ArchiveQueue
from asfound.tui.archive_records import ArchiveRecords
from asfound.tui.archive_tag_forms import ArchiveTagForms
from asfound.tui.service import (
    DayEntry,
    DumpProgress,
    GapEntry,
    JobSummary,
    PictureEntry,
    SpotEntry,
    TagEntry,
)
from asfound.tui.sort_queue import ask
from asfound.tui.words import count, day_words

if TYPE_CHECKING:
    from asfound.actions.add import DumpReport
    from asfound.tui.service import RGBImage


class _Stopped(Exception):
    """A person stopped the work at hand."""


class ArchiveService(
    ArchiveBook, ArchiveFinding, ArchivePins, ArchivePlaces, ArchiveQueue, ArchiveRecords, ArchiveTagForms
):
    """Answers the screens from one archive."""

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
            unsorted=len(spot_store.unexamined_pictures(archive.store, archive.job.job_id, IN_USE)),
            last_step=next(iter(archive.store.steps(1)), ""),
            meanings=meanings_line(archive.job) if any(words for _, words in list_meanings(archive.job)) else "",
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
        return spots.as_logged(self.archive, [pair for pair in pairs if pair.spot_id == spot_id])

    def picture(self, picture_id: int) -> PictureEntry:
        picture = get_picture(self.archive.store, picture_id)
        spot_id = self._spot_of().get(picture_id)
        numbers = tuple(f"{entry.number}{entry.pin.end}" for entry in self.pins(picture_id))
        return PictureEntry(picture, spot_id, self._spot_name(spot_id), self._stage(picture), numbers)

    def pictures_in_time(self) -> list[int]:
        return list(self._pictures())

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

    def undo(self, *, is_sure: bool = False) -> str:
        return undo.undo(self.archive, is_sure=is_sure)[0]

    def redo(self) -> str:
        return undo.redo(self.archive)[0]

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
        if report == SortReport():
            return ""
        new = [count(report.new_spots, "new spot"), count(report.new_pairs, "new pair")]
        return f"Sorted: {', '.join(new)}. i looks at them."

    def remembered(self, key: str) -> str | None:
        return settings.remembered(self.archive, key)

    def remember(self, key: str, value: str) -> None:
        settings.remember(self.archive, key, value)

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
            numbers=tuple(sorted(numbers, key=sort_key)),
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

    def _tag_entries(self) -> list[TagEntry]:
        ends = tag.list_ends(self.archive)
        by_tag, states = self._pins_by_tag(), self._states()
        entries = []
        for mine in sorted(self._tags().values(), key=lambda t: (sort_key(t.number), t.order)):
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

    def _stage(self, picture: Picture) -> str:
        """Before, between or after, told by what is pinned on it and when that came off."""
        off = log.off_times_s(self.archive)
        times = [
            off[p.tag_id] for p in pin_store.pins_on_picture(self.archive.store, picture.picture_id) if p.tag_id in off
        ]
        taken = taken_when(picture.taken_utc_s, min(times)) if times else "undated"
        return "" if taken == "undated" else taken

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


def _dump_progress(report: DumpReport, file: str) -> DumpProgress:
    return DumpProgress(report.done, report.total, file, len(report.added), len(report.known), len(report.refused))
