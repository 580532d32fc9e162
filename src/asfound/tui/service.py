"""What the screens ask of the archive: one protocol, and the plain records that travel over it.

Everything but `preview_rgb`, `full_rgb`, `carry_pin`, `add_dump`, `sort_pending` and `print_book` is called on the
screens' thread and answers within a few milliseconds; those are called in worker threads. Errors a person can meet are
`AsfoundError`s; the screens show their message as one line and change nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol

from asfound.model.log import Gap
from asfound.model.pictures import Pair, Picture, Spot
from asfound.model.tags import EndLetter, Tag, TagEnd
from asfound.tui.pins import PinEntry, Pins
from asfound.tui.places import Places
from asfound.tui.records import Records
from asfound.tui.sort_items import SortItem
from asfound.tui.tag_forms import TagForms

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    RGBImage = NDArray[np.uint8]

State = Literal["", "off", "refitted"]
"""Where a tagged thing is in its life: not yet off, off, or back."""


@dataclass(frozen=True, slots=True)
class JobSummary:
    """The counts that tell a person what is open.

    Attributes
    ----------
    to_sort : int
        Length of the sort queue.
    gaps_closable : int
        Gaps that can still be closed, at the machine or at the table.
    off, refitted : int
        Tags that came off, and how many of those are back.
    last_dump_at : datetime or None
    unsorted : int
        Pictures that the machine has not sorted yet.
    last_step : str
        What a person did last, of what can be taken back; empty when there is nothing.
    last_day : str
        Where the work was left: the last day that the log tells of, in words; empty while the log is empty.
    came_off_last, still_open, next_up : str
        What came off last, what is open, and what can be fitted next, in words; empty where there is nothing.
    meanings : str
        What front, left and turning mean, in a line; empty as long as nobody said any of them.
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
    last_day: str = ""
    came_off_last: str = ""
    still_open: str = ""
    next_up: str = ""
    meanings: str = ""


@dataclass(frozen=True, slots=True)
class DayEntry:
    """A day on which pictures were taken; `day` is None for pictures whose time is not known."""

    day: date | None
    picture_ids: tuple[int, ...]
    first_at: datetime | None
    last_at: datetime | None
    spot_names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PictureEntry:
    """A picture with where it belongs.

    Attributes
    ----------
    stage : str
        "before", "after" or another word for the state of the spot in it; empty when not known.
    numbers : tuple of str
        Tag numbers with ends that are pinned on it, such as ``112A``.
    """

    picture: Picture
    spot_id: int | None
    spot_name: str
    stage: str
    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpotEntry:
    """A spot with its counts."""

    spot: Spot
    numbers: tuple[str, ...]
    pairs: int
    first_at: datetime | None
    last_at: datetime | None


@dataclass(frozen=True, slots=True)
class FindEntry:
    """One end of a tagged thing as a search answers it.

    Attributes
    ----------
    as_found : PinEntry or None
        On the best picture from before it came off; None when no picture shows this end.
    pins : tuple of PinEntry
        Every picture of this end, oldest first.
    spot_id : int or None
        Where to look when there is no picture.
    """

    tag: Tag
    end: TagEnd
    as_found: PinEntry | None
    as_found_at: datetime | None
    pins: tuple[PinEntry, ...]
    spot_id: int | None
    spot_name: str
    state: State


@dataclass(frozen=True, slots=True)
class TagEntry:
    """A tag as the table of tags shows it."""

    tag: Tag
    ends: tuple[TagEnd, ...]
    pictures: int
    ends_without_picture: tuple[EndLetter, ...]
    as_found: PinEntry | None
    state: State


@dataclass(frozen=True, slots=True)
class GapEntry:
    """A gap, and whether it can still be closed, at the machine or at the table."""

    gap: Gap
    closable: bool


@dataclass(frozen=True, slots=True)
class DumpProgress:
    """How far a dump is."""

    done: int
    total: int
    file: str
    added: int
    known: int
    refused: int


class Service(Pins, Places, Records, TagForms, Protocol):
    """The archive as the screens see it."""

    # Looking

    def summary(self) -> JobSummary:
        """What is open in the job at hand."""

    def days(self) -> list[DayEntry]:
        """Days with pictures, oldest first; pictures without a time last."""

    def spots(self) -> list[SpotEntry]:
        """Every spot, in order of its first picture."""

    def spot(self, spot_id: int) -> SpotEntry:
        """One spot."""

    def pairs(self, spot_id: int) -> list[Pair]:
        """The pairs of a spot, best first."""

    def picture(self, picture_id: int) -> PictureEntry:
        """One picture."""

    def pictures_in_time(self) -> list[int]:
        """Every picture of the job, oldest first."""

    def find(self, words: str) -> list[FindEntry]:
        """Tag ends for a number, the beginning of one (``11``, ``112``, ``112B``), or words of a name; best first."""

    def tags(self) -> list[TagEntry]:
        """Every tag, in order of number."""

    def gaps(self) -> list[GapEntry]:
        """What the record lacks; gaps that can still be closed first."""

    def sort_queue(self) -> list[SortItem]:
        """What waits for a person's word: bursts, spots, pairs, pins, times, in this order.

        Pairs and pins of a picture that is behind another are not asked about.
        """

    # Pictures

    def preview_rgb(self, picture_id: int, longest_px: int) -> RGBImage:
        """A picture as displayed, reduced to about `longest_px`; quick, from the cache."""

    def full_rgb(self, picture_id: int) -> RGBImage:
        """A picture as displayed, all its pixels."""

    def original_path(self, picture_id: int) -> Path:
        """The original's file; for a frame its clip's."""

    # Saying

    def name_spot(self, spot_id: int, name: str) -> None:
        """Give a spot a person's name; this accepts it too."""

    def accept_spot(self, spot_id: int) -> None:
        """Say that these pictures are one spot."""

    def confirm_pair(self, before_id: int, after_id: int) -> None:
        """Say that two pictures are before and after."""

    def reject_pair(self, before_id: int, after_id: int) -> None:
        """Say that two pictures are not a pair."""

    def accept_times(self, picture_ids: Sequence[int]) -> None:
        """Say that doubtful times are right, in one step."""

    def mark_off(self, tag_id: int, bag: str = "") -> None:
        """Record that a thing came off now."""

    def mark_refitted(self, tag_id: int, how: str = "by hand") -> None:
        """Record that a thing went back now."""

    def undo(self, *, is_sure: bool = False) -> str:
        """Take the last step back; what was taken back, in words.

        Raises NothingToUndo, InTheWay, and AskFirst where it goes further than this sitting and `is_sure` is false.
        """

    def redo(self) -> str:
        """Bring back what was taken back last, in words. Raises NothingToUndo, InTheWay."""

    def add_dump(
        self,
        paths: Sequence[Path],
        *,
        progress: Callable[[DumpProgress], None],
        stopped: Callable[[], bool],
    ) -> DumpProgress:
        """Add files; the last state of its progress. Slow; stops between two files when asked."""

    def sort_pending(self, *, progress: Callable[[str], None], stopped: Callable[[], bool]) -> str:
        """Sort what was added and not sorted yet; what came of it, in words, empty when nothing waited.

        Slow; tells in words how far it is, and stops between two pictures when asked. What was done by then is kept.
        """

    # On paper

    def book_path(self) -> Path:
        """Where the book was printed last; else a file beside the archive, by the job's name."""

    def print_book(
        self, path: Path, *, replace: bool, progress: Callable[[str], None], stopped: Callable[[], bool]
    ) -> str:
        """Print the record as a PDF; how large it became, in words, empty when it was stopped and nothing written.

        Slow; tells in words how far it is. Raises Misused where it may not be written.
        """

    # Choices of a person that belong to this computer

    def remembered(self, key: str) -> str | None:
        """A choice kept earlier."""

    def remember(self, key: str, value: str) -> None:
        """Keep a choice."""
