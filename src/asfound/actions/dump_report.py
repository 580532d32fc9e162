"""What a dump did, file by file."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime

from asfound.media.met import FoundDocument
from asfound.model.capture import OF_WRONG_CLOCK, Taken, TimeSource


@dataclass(frozen=True, slots=True)
class AddedFile:
    """A file that is in the archive now and was not before.

    Attributes
    ----------
    kind : str
        "photo" or "clip".
    picture_id : int or None
        None for a clip.
    clip_id : int or None
        None for a photo.
    taken : Taken or None
    camera : str
        Empty when nothing tells.
    frames : int
        Pictures taken out of a clip.
    trouble : str
        Why it cannot be shown, or what looks wrong with it; empty when nothing does.
    """

    file: str
    kind: str
    picture_id: int | None
    clip_id: int | None
    taken: Taken | None
    camera: str
    frames: int = 0
    trouble: str = ""

    @property
    def time_source(self) -> TimeSource:
        """Where the time was read."""
        return TimeSource.UNKNOWN if self.taken is None else self.taken.source


@dataclass(frozen=True, slots=True)
class KnownFile:
    """A file whose bytes the job had already, perhaps under another name.

    Attributes
    ----------
    trouble : str
        What was wrong with it when it first came in; empty when nothing was.
    came_back : bool
        Whether its original had gone from the archive, or was damaged there, and is whole again now.
    """

    file: str
    picture_id: int | None
    clip_id: int | None
    trouble: str = ""
    came_back: bool = False


@dataclass(frozen=True, slots=True)
class RefusedFile:
    """A file that made no picture, with the reason; `kept` when its bytes are in the archive all the same."""

    file: str
    where: str
    reason: str
    kept: bool = False


@dataclass(slots=True)
class DumpReport:
    """What a dump did.

    Attributes
    ----------
    total : int
        Files that looked like pictures or clips.
    passed_over : Counter of str
        How many things were passed over, by reason.
    documents : list of FoundDocument
        Files that are neither and can be kept as documents; a dump only names them.
    known_documents : list of str
        Files that are kept as documents already.
    stopped : bool
        Whether it was stopped; adding the same files again goes on.
    """

    dump_id: int
    total: int = 0
    added: list[AddedFile] = field(default_factory=list)
    known: list[KnownFile] = field(default_factory=list)
    refused: list[RefusedFile] = field(default_factory=list)
    passed_over: Counter[str] = field(default_factory=Counter)
    documents: list[FoundDocument] = field(default_factory=list)
    known_documents: list[str] = field(default_factory=list)
    stopped: bool = False

    @property
    def done(self) -> int:
        """Files dealt with so far."""
        return len(self.added) + len(self.known) + len(self.refused) + len(self.known_documents)

    @property
    def frames(self) -> int:
        """Pictures taken out of clips."""
        return sum(each.frames for each in self.added)

    @property
    def span(self) -> tuple[datetime, datetime] | None:
        """First and last wall-clock time among what was added, but for impossible ones; None without any."""
        taken = [each.taken for each in self.added if each.taken is not None]
        times = [one.local for one in taken if one.doubt not in OF_WRONG_CLOCK]
        return (min(times), max(times)) if times else None

    @property
    def impossible_times(self) -> list[str]:
        """Files whose time cannot be right."""
        return [each.file for each in self.added if each.taken is not None and each.taken.doubt in OF_WRONG_CLOCK]

    @property
    def cameras(self) -> Counter[str]:
        """Files added, by camera."""
        return Counter(each.camera for each in self.added if each.camera)
