"""What a check of the originals can find. A check reports and changes nothing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class FindingKind(StrEnum):
    """What can be wrong with an original."""

    MISSING = "missing"
    CHANGED = "changed"
    UNREADABLE = "unreadable"
    ORPHAN = "orphan"


@dataclass(frozen=True, slots=True)
class Finding:
    """One original that is not as it should be.

    Attributes
    ----------
    kind : FindingKind
        An orphan is a file that no row names: harmless, most often the trace of a stopped dump.
    digest : str
        The digest it should have; empty for a file whose name is no digest.
    place : str
        Path inside the archive.
    why : str
        One line for the person.
    """

    kind: FindingKind
    digest: str
    place: str
    why: str
