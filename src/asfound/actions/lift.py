"""The engine goes out and comes in: lines of the log, and the looks at the holds before them."""

from __future__ import annotations

from datetime import datetime

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.core.refit.lifts import Lifts, Moment, find_lifts
from asfound.core.refit.steps import HoldPoint, Lift
from asfound.model.log import LIFTED_IN, LIFTED_OUT, LogLine
from asfound.store import fitting

_KINDS = {Lift.OUT: LIFTED_OUT, Lift.IN: LIFTED_IN}
_HOLDS = {Lift.OUT: HoldPoint.LIFT_OUT, Lift.IN: HoldPoint.LIFT_IN}


def write_lift(
    archive: Archive,
    lift: Lift,
    *,
    by_whom: str = "",
    note: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down that the engine went out, or came in."""
    kind = _KINDS[lift]
    said = {"what": "engine", "by_whom": by_whom, "note": note}
    return log.write_told(archive, f"engine {kind}", kind, said, at=at, is_day_only=is_day_only)


def lift_oddity(archive: Archive, lift: Lift) -> str:
    """What is odd about a lift now, to be said beside it; empty when nothing is. Asked before it is written down."""
    lifts, said = read_lifts(archive), _said(archive)
    if lift is Lift.OUT and find_lifts(said[LIFTED_OUT], said[LIFTED_IN]).is_out:
        return "By the record the engine is out already; the latest time counts."
    if lift is Lift.IN and not lifts.are_known:
        return (
            "Nothing says when the engine went out: asfound out --at DAY. "
            "Until then nothing counts as taken off on the bench."
        )
    hold = _HOLDS[lift]
    looks = [look.at for look in fitting.list_looks(archive.store, archive.job.job_id) if look.hold == hold]
    since = lifts.last_out.at if lift is Lift.IN and lifts.last_out else None
    if not any(since is None or look >= since for look in looks):
        return f"Nobody has recorded a look at the hold {hold}: asfound hold {hold_name(hold)}"
    return ""


def hold_name(hold: HoldPoint) -> str:
    """A hold as it is typed: "lift-in"."""
    return hold.name.lower().replace("_", "-")


def read_lifts(archive: Archive) -> Lifts:
    """When the engine went out and came in: by the log where it says so, else by the looks at the holds."""
    looks = fitting.list_looks(archive.store, archive.job.job_id)
    looked = {hold: [Moment(one.at, one.is_day_only) for one in looks if one.hold == hold] for hold in _HOLDS.values()}
    said = _said(archive)
    outs = said[LIFTED_OUT] or looked[HoldPoint.LIFT_OUT]
    # Whoever looked before the lift in lifts next: what comes off later counts as off in the machine.
    return find_lifts(outs, [*said[LIFTED_IN], *looked[HoldPoint.LIFT_IN]])


def is_lifted_in(archive: Archive) -> bool:
    """Whether the engine is back in: a lift out that is in the log wants a lift in there, a look at a hold a look."""
    said = _said(archive)
    if said[LIFTED_OUT]:
        return not find_lifts(said[LIFTED_OUT], said[LIFTED_IN]).is_out
    lifts = read_lifts(archive)
    return lifts.are_known and not lifts.is_out


def _said(archive: Archive) -> dict[str, list[Moment]]:
    lines = [line for line in log.list_lines(archive) if not line.is_struck]
    return {
        kind: [Moment(line.at, line.is_day_only) for line in lines if line.kind == kind] for kind in _KINDS.values()
    }
