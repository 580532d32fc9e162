"""The holds as they are listed: what is open at each, and who looked at it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from asfound.actions import fit
from asfound.actions.archive import Archive, kept
from asfound.core.codes.cautions import cautions_of
from asfound.core.refit.hold_points import HoldLine
from asfound.core.refit.steps import HoldPoint


@dataclass(frozen=True, slots=True)
class ListedHold:
    """Where work stops until somebody has looked.

    Attributes
    ----------
    lines : tuple of HoldLine
        What is open, as far as the record knows, in the order in which to take it up.
    words : str
        What goes with every such list.
    looked_at : datetime or None
        When somebody looked; None while nobody said so.
    by_whom : str
    cautions : tuple of str
    """

    point: HoldPoint
    lines: tuple[HoldLine, ...]
    words: str
    looked_at: datetime | None
    by_whom: str
    cautions: tuple[str, ...]

    @property
    def looked(self) -> str:
        """When somebody looked and who, to the minute: "2025-11-01 10:00 by Tine"; empty while nobody said so."""
        by = f" by {self.by_whom}" if self.by_whom else ""
        return f"{self.looked_at:%Y-%m-%d %H:%M}{by}" if self.looked_at else ""


@kept
def list_open_at_holds(archive: Archive) -> tuple[ListedHold, ...]:
    """The three holds in the order of the work."""
    return tuple(read_hold(archive, point) for point in HoldPoint)


def read_hold(archive: Archive, point: HoldPoint) -> ListedHold:
    """One hold as it stands."""
    check = fit.check_hold(archive, point)
    looked_at, by_whom = fit.list_holds(archive).get(point, (None, ""))
    if looked_at is not None:
        looked_at = looked_at.astimezone(ZoneInfo(archive.job.zone))
    cautions = tuple(caution.text for caution in cautions_of(point.phase))
    return ListedHold(point, check.lines, check.words, looked_at, by_whom, cautions)
