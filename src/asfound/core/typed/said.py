"""What a typed line says, before anything of it is written: readings, and what is asked back."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from asfound.core.log.said_when import SaidWhen
from asfound.model.log import COUNTED_BACK as COUNTED_BACK
from asfound.model.log import COUNTED_OUT as COUNTED_OUT

SNAG, BUY, ORDERED, BOUGHT = "snag", "buy", "ordered", "bought"
BACK_IN_PLACE = "back in place"
ALL = "all"
"""An amount that stands for as many as went in."""


@dataclass(frozen=True, slots=True)
class KnownNames:
    """What a line can name.

    Attributes
    ----------
    tags : mapping of str to int
        Number as on the tape to how many things have it.
    bags : collection of str
        Labels, in capitals.
    lines : collection of str
        Numbers of things that carry a fluid or air: what is plugged of these is closed, not connected.
    one_ended : collection of str
        Numbers of things that have a single end.
    """

    tags: Mapping[str, int] = field(default_factory=dict)
    bags: Collection[str] = ()
    lines: Collection[str] = ()
    one_ended: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that a line says.

    Attributes
    ----------
    kind : str
        An event of the log, or one of the words above.
    tags : tuple of str
        Labels as `parse_tag_words` reads them ("17b", "12.2"); empty where it is of no thing with a number.
    what : str
        The fluid, the value, the thing without a number, the part to buy, the group in a bag, or what is the matter.
    by : str
        Who did it; to whom or from whom, of what is sent out or came back.
    when : SaidWhen or None
        None for now.
    """

    kind: str
    tags: tuple[str, ...] = ()
    how: str = ""
    bag: str = ""
    what: str = ""
    amount: str = ""
    container: str = ""
    looks: str = ""
    grade: str = ""
    by: str = ""
    note: str = ""
    promised: str = ""
    when: SaidWhen | None = None

    @property
    def words(self) -> str:
        """In one line: "17, 18: off, bag B2, stiff"."""
        bag = self.bag if self.bag in ("", BACK_IN_PLACE) else f"bag {self.bag}"
        by = f"{'to' if self.kind == 'sent out' else 'by'} {self.by}" if self.by else ""
        container = f"{'from' if self.kind == 'filled' else 'into'} {self.container}" if self.container else ""
        parts = (self.kind, self.how, self.amount, self.what, self.grade, container, self.looks, bag, by, self.note)
        said = ", ".join(part for part in parts if part)
        return f"{', '.join(self.tags)}: {said}" if self.tags else said


Reading = tuple[Said, ...]
"""All that one line says."""


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A line as it was read.

    Attributes
    ----------
    readings : tuple of Reading
        What it can mean.
    why : str
        What has to be asked back, in one sentence; empty where there is one reading and it is meant for certain.
    """

    readings: tuple[Reading, ...] = ()
    why: str = ""

    @property
    def sure(self) -> Reading | None:
        """The one reading, where nothing has to be asked back."""
        return self.readings[0] if len(self.readings) == 1 and not self.why else None


class Unread(Exception):
    """A part of a line that cannot be taken as it stands; the words say why."""
