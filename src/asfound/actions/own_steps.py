"""Steps that a person puts on the list of the way back: bleed the fuel, align the shaft, look after the first run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from asfound.actions import lift, log, resolve
from asfound.actions.archive import Archive
from asfound.core.refit.steps import HoldPoint, OwnStep, Step
from asfound.core.words import fold
from asfound.errors import Misused, NotFound
from asfound.model.log import DONE, LogLine
from asfound.model.tags import Tag
from asfound.store import fitting


@dataclass(frozen=True, slots=True)
class UsualStep:
    """A step that many jobs have, and where it usually stands. Whether this one needs it the service manual says."""

    name: str
    side: str
    other: HoldPoint
    is_hold: bool = False


USUAL_STEPS = (
    UsualStep("prime the oil", "before", HoldPoint.FIRST_START),
    UsualStep("bleed the fuel", "before", HoldPoint.FIRST_START),
    UsualStep("bleed the cooling system", "before", HoldPoint.FIRST_START),
    UsualStep("final alignment afloat", "before", HoldPoint.FIRST_START),
    UsualStep("look after the first run", "after", HoldPoint.FIRST_START, is_hold=True),
    UsualStep("retighten warm", "after", HoldPoint.FIRST_START),
)
"""Common practice, no source."""


def add_step(
    archive: Archive, name: str, side: str = "", other: Step | None = None, *, is_hold: bool = False
) -> OwnStep:
    """Put a step on the list, right before or after another one; a usual one goes to its usual place if none is said.

    Raises
    ------
    Misused
        If it has no name, or one that is on the list already.
    """
    name = " ".join(name.split())
    if not name:
        raise Misused('Say what the step is: asfound fit step "bleed the fuel" --before first-start')
    if any(fold(one.name) == fold(name) for one in list_steps(archive)):
        raise Misused(f'"{name}" is on the list already; say more, such as "{name}, port side".')
    usual = next((one for one in USUAL_STEPS if fold(one.name) == fold(name)), None)
    if other is None:
        side, other = _usual_place(archive, usual)
    is_hold = is_hold or (usual is not None and usual.is_hold)
    with archive.step(f'"{name}" is on the list of the way back'):
        step_id = fitting.add_step(archive.store, archive.job.job_id, name, is_hold=is_hold)
        step = OwnStep(step_id, name, is_hold)
        fitting.add_move(archive.store, archive.job.job_id, step_text(step), side, step_text(other))
    return step


def _usual_place(archive: Archive, usual: UsualStep | None) -> tuple[str, Step]:
    """Before the first start; a usual step that comes after it stands behind those that are there already."""
    if usual is None or usual.side == "before":
        return "before", HoldPoint.FIRST_START
    late = {fold(one.name) for one in USUAL_STEPS if one.side == "after"}
    before = [one for one in list_steps(archive) if fold(one.name) in late]
    return "after", before[-1] if before else usual.other


def list_steps(archive: Archive) -> list[OwnStep]:
    """The person's own steps, in the order in which they were put on the list."""
    return [OwnStep(*row) for row in fitting.list_steps(archive.store, archive.job.job_id)]


def find_done(archive: Archive) -> dict[str, LogLine]:
    """Names of own steps that were done, folded, with the last line that says so."""
    return {fold(line.what): line for line in log.list_lines(archive) if line.kind == DONE and not line.is_struck}


def do_step(
    archive: Archive,
    step: OwnStep,
    *,
    by_whom: str = "",
    note: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down that such a step was done, or that somebody looked where it is a hold."""
    said = {"what": step.name, "by_whom": by_whom, "note": note}
    return log.write_told(archive, f'"{step.name}" done', DONE, said, at=at, is_day_only=is_day_only)


def drop_step(archive: Archive, step: OwnStep) -> None:
    """Take a step off the list; what the log says of it stays."""
    with archive.step(f'"{step.name}" is off the list of the way back'):
        fitting.remove_step(archive.store, archive.job.job_id, step.step_id, step_text(step))


def get_step(archive: Archive, words: str) -> OwnStep:
    """An own step by its name, or by its number on the list ("S2")."""
    found = _find_step(archive, words)
    if found is None:
        names = ", ".join(f'S{one.step_id} "{one.name}"' for one in list_steps(archive)) or "none yet"
        raise NotFound(f'"{words}" is no step of your own; there are: {names}.')
    return found


def resolve_step(archive: Archive, words: str) -> Step:
    """A thing by its number, a hold ("first-start"), or an own step; a number goes before an own step's."""
    hold = next((one for one in HoldPoint if fold(words) in (lift.hold_name(one), str(one))), None)
    if hold is not None:
        return hold
    own = _find_step(archive, words)
    if own is not None and not resolve.find_tags(archive, words):
        return own
    return resolve.get_tag(archive, words).tag.tag_id


def step_text(step: Step | Tag) -> str:
    """A step as the store keeps it."""
    if isinstance(step, Tag):
        return str(step.tag_id)
    return f"step {step.step_id}" if isinstance(step, OwnStep) else str(step)


def read_step(text: str, own: Mapping[int, OwnStep]) -> Step | None:
    """The step that the store keeps so; None for an own step that is gone."""
    if text.isdecimal():
        return int(text)
    return own.get(int(text.removeprefix("step "))) if text.startswith("step ") else HoldPoint(text)


def _find_step(archive: Archive, words: str) -> OwnStep | None:
    return next(
        (one for one in list_steps(archive) if fold(words.strip()) in (fold(one.name), f"s{one.step_id}")), None
    )
