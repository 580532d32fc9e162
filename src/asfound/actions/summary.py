"""What is open in a job, counted: for the first screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from asfound.actions import log
from asfound.actions.archive import Archive, kept
from asfound.actions.gaps import find_gaps
from asfound.actions.known import known_clips, known_pictures, known_spots, states
from asfound.actions.last_backup import NEVER, BackupState, backup_state
from asfound.actions.phases import cautions_now
from asfound.actions.questions import list_questions
from asfound.actions.resume import WhereWasI, where_was_i
from asfound.actions.tag_list import list_tags_by_number
from asfound.actions.walk_round import walk_standings
from asfound.core.codes.cautions import in_one_line
from asfound.core.codes.facing import list_meanings, meanings_line
from asfound.core.match import IN_USE
from asfound.store import jobs, spots


@dataclass(frozen=True, slots=True)
class JobSummary:
    """The counts that tell a person what is open.

    Attributes
    ----------
    to_sort : int
        How many questions wait in the sort queue.
    gaps_closable : int
        Gaps that can still be closed, at the machine or at the table.
    pictures, frames : int
        All pictures, and those of them that were taken out of clips.
    off, refitted : int
        Tags that came off, and how many of those are back.
    unsorted : int
        Pictures that the machine has not sorted yet.
    last_step : str
        What a person did last, of what can be taken back; empty when there is nothing.
    was : WhereWasI or None
        Where the work was left; None while the log is empty.
    next_up : tuple of str
        What can be fitted next.
    meanings : str
        What front, left and turning mean, in a line; empty as long as nobody said any of them.
    backup : BackupState
        How much of the work is in a backup.
    cautions : str
        Those of the phases that the work is in, in one line.
    walk_open, walk_lost, walk_items : int
        Items of the walk round that can still be photographed, that no longer can, and all of them.
    """

    name: str
    pictures: int
    clips: int
    spots: int
    spots_without_name: int
    to_sort: int
    tags: int
    tags_without_picture: int
    gaps: int
    gaps_closable: int
    off: int
    refitted: int
    last_dump_at: datetime | None
    unsorted: int = 0
    last_step: str = ""
    was: WhereWasI | None = None
    next_up: tuple[str, ...] = ()
    meanings: str = ""
    backup: BackupState = NEVER
    cautions: str = ""
    walk_open: int = 0
    walk_lost: int = 0
    walk_items: int = 0
    frames: int = 0


@kept
def summarize(archive: Archive) -> JobSummary:
    """Count what is open in the job at hand."""
    job, places = archive.job, known_spots(archive).values()
    tags, gaps, moved = list_tags_by_number(archive), find_gaps(archive), states(archive).values()
    walk = [one.state for one in walk_standings(archive)]
    was = where_was_i(archive) if log.list_lines(archive) else None
    return JobSummary(
        name=job.name,
        pictures=len(known_pictures(archive)),
        clips=len(known_clips(archive)),
        spots=len(places),
        spots_without_name=sum(not spot.name for spot in places),
        to_sort=len(list_questions(archive)),
        tags=len(tags),
        tags_without_picture=sum(not one.pictures for one in tags),
        gaps=len(gaps),
        gaps_closable=sum(gap.mendable for gap in gaps),
        off=len(moved),
        refitted=sum(state == "refitted" for state in moved),
        last_dump_at=jobs.last_dump_at(archive.store, job.job_id),
        unsorted=len(spots.unexamined_pictures(archive.store, job.job_id, IN_USE)),
        last_step=next(iter(archive.store.steps(1)), ""),
        was=was,
        next_up=was.next_up if was is not None else (),
        meanings=meanings_line(job) if any(words for _, words in list_meanings(job)) else "",
        backup=backup_state(archive),
        cautions=in_one_line(cautions_now(archive)),
        walk_open=walk.count("open"),
        walk_lost=walk.count("lost") + walk.count("late"),
        walk_items=len(walk),
        frames=sum(picture.kind == "frame" for picture in known_pictures(archive).values()),
    )
