"""Take back what was entered, without hurting: this sitting's steps at once, anything further after a question.

What was taken back stays in the list of steps, and can be brought back in a later sitting too.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from asfound.actions.archive import Archive
from asfound.errors import AskFirst, InTheWay, NothingToUndo
from asfound.model.steps import Step
from asfound.store import pins, steps

IMPORT = "import"
"""The kind of a step that brought a table in."""
LONGEST_SITTING = timedelta(hours=12)
LISTED = 20
ALL_THE_SAME = "Take it back all the same with: asfound undo --yes"


def undo(archive: Archive, count: int = 1, *, is_sure: bool = False) -> list[str]:
    """Take back the latest steps of this sitting and return their words, latest first.

    Steps of another program are passed over; once none of this sitting is left, the latest of all is asked about.

    Parameters
    ----------
    is_sure : bool
        The question was answered with yes.

    Raises
    ------
    NothingToUndo
        If there are fewer steps.
    AskFirst
        If a step is of an earlier sitting or another program, or brought a table in.
    InTheWay
        If something entered later, by another program, stands on it.

    In each case nothing is taken back.
    """
    present = archive.store.count_steps()
    if present < count and count > 1:
        raise NothingToUndo(
            f"Only {present} steps can be taken back, not {count}; nothing was taken back. See: asfound undo --list"
        )
    with archive.store.transaction():
        taken_back = [_undo_one(archive, is_sure=is_sure) for _ in range(count)]
        pins.drop_unfounded(archive.store)
    archive.follow_words()
    return taken_back


def redo(archive: Archive, count: int = 1) -> list[str]:
    """Bring back the steps that were taken back last and return their words, in the order in which they came.

    Raises
    ------
    NothingToUndo
        If fewer were taken back; nothing is brought back then.
    InTheWay
        If something entered since stands in the place of one.
    """
    with archive.store.transaction():
        brought_back = [archive.store.redo(archive.now()) for _ in range(count)]
        pins.drop_unfounded(archive.store)
    archive.follow_words()
    return brought_back


def steps_to_undo(archive: Archive, limit: int = LISTED) -> list[Step]:
    """What could be taken back, latest first."""
    return steps.list_standing(archive.store, limit)


def steps_to_redo(archive: Archive, limit: int = LISTED) -> list[Step]:
    """What was taken back and could be brought back, in that order."""
    return steps.list_taken_back(archive.store, limit)


def all_steps(archive: Archive, limit: int) -> list[Step]:
    """All that was entered, what was taken back too, latest first; times in the job's zone."""
    zone = ZoneInfo(archive.job.zone)
    return [
        replace(
            step,
            at=step.at.astimezone(zone),
            undone_at=None if step.undone_at is None else step.undone_at.astimezone(zone),
        )
        for step in steps.list_all(archive.store, limit)
    ]


def is_of_this_sitting(archive: Archive, step: Step) -> bool:
    """Whether this program, or one before it in the same terminal, wrote a step a short while ago."""
    return step.writer.sitting == archive.writer.sitting and archive.now() - step.at <= LONGEST_SITTING


def _undo_one(archive: Archive, *, is_sure: bool) -> str:
    step = _next_step(archive)
    if not is_sure and (question := _question(archive, step)):
        raise AskFirst(question, ALL_THE_SAME)
    later = steps.stands_on(archive.store, step.step_id)
    if later is not None:
        raise InTheWay(
            f'"{step.words}" cannot be taken back: "{later.words}", {_said_when(archive, later)}, builds on it.'
        )
    return archive.store.undo(archive.now(), step.step_id, by=archive.writer)


def _next_step(archive: Archive) -> Step:
    """The latest of this sitting, else the latest of all."""
    standing = steps.list_standing(archive.store, LISTED)
    if not standing:
        raise NothingToUndo("There is nothing left to undo.")
    return next((step for step in standing if is_of_this_sitting(archive, step)), standing[0])


def _question(archive: Archive, step: Step) -> str:
    """What to ask before a step is taken back; empty when nothing speaks against it."""
    if step.writer.sitting != archive.writer.sitting and step.writer.who:
        return f'"{step.words}" is not of this sitting: it was {_said_when(archive, step)}.'
    if not is_of_this_sitting(archive, step):
        return f'"{step.words}" was {_said_when(archive, step)}, before this sitting.'
    if step.kind == IMPORT:
        return f'"{step.words}" wrote {step.changes} rows, and all of them are taken back at once.'
    return ""


def _said_when(archive: Archive, step: Step) -> str:
    by = f" by {step.writer.who}" if step.writer.who else ""
    at = step.at.astimezone(ZoneInfo(archive.job.zone))
    return f"written on {at:%Y-%m-%d} at {at:%H:%M}{by}"
