"""Which phases of the work a job is in now, so that their cautions stand before the work and not only in the book."""

from __future__ import annotations

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.lift import read_lifts
from asfound.core.codes.caution_table import Caution, Phase
from asfound.core.codes.cautions import cautions_of
from asfound.core.codes.hazards import read_hazards
from asfound.store import tags


def phases_now(archive: Archive) -> tuple[Phase, ...]:
    """Phases by what the log says; "afloat" is one of them when a thing's hazard is flooding."""
    hazards = (tag.hazard for tag in tags.list_tags(archive.store, archive.job.job_id))
    is_afloat = any("flooding" in read_hazards(hazard).hazards for hazard in set(hazards))
    return (_phase(archive), *(("afloat",) if is_afloat else ()))


def cautions_now(archive: Archive) -> tuple[Caution, ...]:
    """Cautions of the phases that the job is in now."""
    return tuple(caution for phase in phases_now(archive) for caution in cautions_of(phase))


def _phase(archive: Archive) -> Phase:
    kinds = {line.kind for line in log.list_lines(archive) if not line.is_struck}
    lifts = read_lifts(archive)
    if lifts.is_out:
        return "store"
    if lifts.are_known or "refitted" in kinds:
        return "refit"
    return "disconnect" if "off" in kinds else "prepare"
