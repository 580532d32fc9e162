"""What a person entered in one go, by which program and in which sitting, so that it can be taken back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Writer:
    """A program at work on an archive.

    Attributes
    ----------
    sitting : str
        The same for all that is entered between sitting down and leaving; means nothing by itself.
    who : str
        In words: "the screens, opened at 09:12".
    """

    sitting: str
    who: str


NOBODY = Writer("", "")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a person.

    Attributes
    ----------
    kind : str
        "import" for a table brought in, else empty.
    changes : int
        How many rows it wrote, changed or removed.
    undone_at : datetime or None
        When it was taken back; None while it stands.
    """

    step_id: int
    at: datetime
    words: str
    writer: Writer
    kind: str
    changes: int
    undone_at: datetime | None
