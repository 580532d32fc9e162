"""Gaps that the photos themselves tell of: taken twice, of no tag, or by a camera whose clock nothing vouches for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby

from asfound.core.log.record import CameraClock, Record, Shot
from asfound.core.pins.numbering import sort_key
from asfound.model.log import Gap, GapKind

MOSTLY_TAGGED = 0.8
"""Share of a camera's photos of a day that must show tags before one that shows none is out of place."""
FEWEST_IN_SERIES = 5


def find_near_duplicates(record: Record) -> Iterator[Gap]:
    """Photos that one camera took within seconds and that show the same, of which nobody said which to look at."""
    shots = {shot.picture_id: shot for shot in record.shots}
    for burst in record.bursts:
        alike = [shots[picture_id] for picture_id in burst if picture_id in shots]
        if len(alike) < 2:
            continue
        in_time = sorted(alike, key=_by_written)
        why = (
            f"{_and(shot.file for shot in in_time)} show nearly the same: put the others behind the sharpest, "
            f"{alike[0].file}, when sorting, or answer that all of them stay."
        )
        yield _of_shot(GapKind.NEAR_DUPLICATE, in_time[0], why)


def find_shots_of_nothing(record: Record) -> Iterator[Gap]:
    """Photos that belong to no tag: one among photos that all show tags, and one of a tape that an end has lost."""
    tapes = _shots_of_lost_tapes(record)
    for shot, label in tapes.items():
        why = (
            f"{shot.file} may show the lost tape of {label}: check where it was found, and write a snag with this "
            "picture and that tag."
        )
        yield _of_shot(GapKind.LOOSE_FIND, shot, why)
    for shot in _shots_out_of_place(record):
        if shot not in tapes:
            why = (
                f"{shot.file} has no pins, unlike the photos around it: pin what it shows, or write a snag with this "
                "picture."
            )
            # What it shows nobody has said: tags, or a part that belongs to none.
            yield _of_shot(GapKind.NO_PINS, shot, why)


def find_unchecked_clocks(record: Record) -> Iterator[Gap]:
    """Cameras whose clock was never compared, and those not compared again since the clocks changed.

    Only beside another camera does it matter, and a camera that writes its offset from UTC keeps time by itself; where
    none does, the one with the most photos is what the others are compared with.
    """
    taken: dict[int, list[Shot]] = defaultdict(list)
    for shot in record.shots:
        if shot.written is not None and shot.camera_id is not None:
            taken[shot.camera_id].append(shot)
    clocks = [clock for clock in record.clocks if taken[clock.camera_id]]
    if len(clocks) < 2:
        return
    if not any(clock.tells_offset for clock in clocks):
        clocks.remove(max(clocks, key=lambda clock: len(taken[clock.camera_id])))
    for clock in clocks:
        if not clock.tells_offset:
            yield from _unchecked(record, clock, sorted(taken[clock.camera_id], key=_by_written))


def _unchecked(record: Record, clock: CameraClock, shots: Sequence[Shot]) -> Iterator[Gap]:
    """One gap for each stretch between two changes of the clocks in which nobody compared this one."""
    last_of_earlier: datetime | None = None
    for changed, stretch in groupby(shots, key=lambda shot: _last_change(record, shot)):
        mine = list(stretch)
        first, last = mine[0], _written(mine[-1])
        named = f"{first.file} and {len(mine) - 1} more" if len(mine) > 1 else first.file
        if not _is_compared(clock, last_of_earlier, last):
            if last_of_earlier is None or changed is None:
                why = (
                    f"The clock of {clock.name} was never checked ({named}): find one of its pictures that shows a "
                    "clock, or the same moment as another camera's, and enter the time with asfound clock."
                )
            else:
                why = (
                    f"The clocks changed on {changed:%Y-%m-%d}, and nothing shows whether {clock.name} was changed "
                    f"too ({named}): check it again, with --since {changed:%Y-%m-%dT%H:%M}."
                )
            yield _of_shot(GapKind.CLOCK_UNCHECKED, first, why)
        last_of_earlier = last


def _is_compared(clock: CameraClock, last_of_earlier: datetime | None, last: datetime) -> bool:
    """Whether a word on the clock holds from after the earlier stretch, and from no later than the end of this one."""
    for since in clock.compared_since:
        if since is None:
            if last_of_earlier is None:
                return True
        elif since <= last and (last_of_earlier is None or since > last_of_earlier):
            return True
    return False


def _last_change(record: Record, shot: Shot) -> datetime | None:
    return max((change for change in record.clock_changes if change <= _written(shot)), default=None)


def _shots_of_lost_tapes(record: Record) -> dict[Shot, str]:
    """Photos in which a number was read of which an end has lost its tape, with that end's name."""
    lost: dict[str, str] = {}
    for tag in record.in_order:
        for letter in record.letters(tag):
            if record.end(tag, letter).tape_lost:
                lost.setdefault(tag.number, f"end {letter} of {record.label(tag)}")
    read: dict[int, str] = {}
    for picture_id, number in sorted(record.read_numbers, key=lambda one: sort_key(one[1])):
        if number in lost:
            read.setdefault(picture_id, lost[number])
    return {shot: read[shot.picture_id] for shot in record.shots if shot.picture_id in read and not shot.is_tied}


def _shots_out_of_place(record: Record) -> Iterator[Shot]:
    """Lone photos that show no tag where nearly all that a camera took that day do.

    None of the first ones, for a day begins with views from afar; nor several in a row, which somebody took on purpose.
    None of a spot that others show with their pins, or in which a number in use was read: it shows tags without pins.
    """
    used = {tag.number for tag in record.tags}
    telling = {picture_id for picture_id, number in record.read_numbers if number in used}
    timed = sorted((shot for shot in record.shots if shot.written is not None), key=_by_written)
    timed.sort(key=lambda shot: shot.camera_id or 0)
    for _series, same_day in groupby(timed, key=lambda shot: (shot.camera_id, _written(shot).date())):
        shots = list(same_day)
        tied = [shot.is_tied for shot in shots]
        if len(shots) >= FEWEST_IN_SERIES and sum(tied) >= MOSTLY_TAGGED * len(shots):
            around = zip(shots[1:], tied[:-1], tied[1:], [*tied[2:], True], strict=True)
            alone = (shot for shot, before, mine, after in around if before and after and not mine)
            yield from (shot for shot in alone if not shot.is_of_spot and shot.picture_id not in telling)


def _by_written(shot: Shot) -> tuple[datetime, int]:
    return _written(shot), shot.picture_id


def _written(shot: Shot) -> datetime:
    return shot.written or datetime.min


def _of_shot(kind: GapKind, shot: Shot, why: str) -> Gap:
    return Gap(kind, why, picture_id=shot.picture_id, file=shot.file)


def _and(names: Iterator[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}"
