"""Values out of the manual beside what was measured or reached, and which of them are not yet final."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from asfound.core.refit.amounts import read_amount
from asfound.core.words import fold
from asfound.model.log import Event, LogLine
from asfound.model.values import TIGHTENING, ManualValue

NOT_FINAL = "not final"
"""Said of a value that was reached for now: a first stage, cold."""

State = Literal["reached", "not reached", "not final", "came off since", "differs", "to be followed"]


@dataclass(frozen=True, slots=True)
class ValueStanding:
    """One value, and the last that was written down as measured or reached.

    Attributes
    ----------
    state : State
        "differs" when what was reached lies outside of what was typed; "to be followed" for an order of tightening,
        which is nothing to be reached.
    """

    value: ManualValue
    reached: LogLine | None
    reached_words: str
    state: State

    @property
    def is_final(self) -> bool:
        """Whether nothing is left to be written down of it. It is the person's word, and no more than that."""
        return self.state in ("reached", "to be followed")

    @property
    def wanted_words(self) -> str:
        """What the manual says, as it was typed, with its page."""
        page = f"manual page {self.value.page}" if self.value.page else "page of the manual not written down"
        limits = f"limit {self.value.limits}" if self.value.limits else ""
        return ", ".join(filter(None, (self.value.wanted, limits, page)))

    @property
    def done_words(self) -> str:
        """What was reached, by whom, when; or that nothing was."""
        if self.reached is None:
            return "" if self.state == "to be followed" else "not reached yet"
        by = f" by {self.reached.by_whom}" if self.reached.by_whom else ""
        told = f"{_verb(self.value)} {self.reached_words}{by}, {self.reached.at:%Y-%m-%d}"
        more = {
            "not final": "not final yet",
            "came off since": "it came off since",
            "differs": "which differs from the manual's value",
        }.get(self.state, "")
        return ", ".join(filter(None, (told, more)))

    @property
    def words(self) -> str:
        """Both in one line."""
        return "; ".join(filter(None, (self.wanted_words, self.done_words)))


def find_values(
    values: Iterable[ManualValue], lines: Iterable[LogLine], events: Iterable[Event]
) -> list[ValueStanding]:
    """Each value as it stands, in the order in which they were typed.

    A value of a thing that came off after it was reached is not reached any more: the joint was undone.
    """
    said = sorted((line for line in lines if not line.is_struck), key=lambda line: (line.at, line.event_id))
    offs: dict[int, Event] = {}
    for event in events:
        if event.kind == "off" and (event.tag_id not in offs or offs[event.tag_id].at < event.at):
            offs[event.tag_id] = event
    return [_standing(value, said, offs) for value in values]


def measured_lines(lines: Iterable[LogLine], values: Iterable[ManualValue]) -> dict[int, list[LogLine]]:
    """What was measured or reached of each tag and belongs to no typed value, in the order in which it was."""
    known = list(values)
    found: dict[int, list[LogLine]] = {}
    for line in lines:
        if line.tag_id is None or line.is_struck or line.kind not in ("measured", "torque"):
            continue
        if not any(_is_of(value, line) for value in known):
            found.setdefault(line.tag_id, []).append(line)
    return found


def measured_words(line: LogLine) -> str:
    """A measurement in words: "gap 0.08 mm, by engine shop, 2025-11-02"."""
    by = f"by {line.by_whom}" if line.by_whom else ""
    return ", ".join(
        filter(None, (" ".join(filter(None, (line.what, line.amount))), line.note, by, f"{line.at:%Y-%m-%d}"))
    )


def _standing(value: ManualValue, lines: Iterable[LogLine], offs: Mapping[int, Event]) -> ValueStanding:
    mine = [line for line in lines if _is_of(value, line)]
    last = mine[-1] if mine else None
    words = "" if last is None else last.amount or _behind(value.what, last.note)
    return ValueStanding(value, last, words, _state(value, last, words, offs))


def _state(value: ManualValue, last: LogLine | None, words: str, offs: Mapping[int, Event]) -> State:
    if fold(value.what) == "order":
        return "to be followed"
    if last is None:
        return "not reached"
    off = offs.get(value.tag_id or 0)
    if off is not None and off.at > last.at and fold(value.what) in TIGHTENING:
        return "came off since"
    if last.how == NOT_FINAL:
        return "not final"
    return "differs" if _differs(value, words) else "reached"


def _differs(value: ManualValue, words: str) -> bool:
    """Whether what was reached surely lies outside what was typed; what cannot be read is not judged."""
    reached, typed = read_amount(words), read_amount(value.limits or value.wanted)
    return reached is not None and typed is not None and reached.is_outside(typed) is True


def _is_of(value: ManualValue, line: LogLine) -> bool:
    """Whether a line tells what was measured or reached of a value: by its name, or by the first words of a note."""
    if line.kind not in ("measured", "torque") or line.tag_id != value.tag_id:
        return False
    if value.tag_id is None:
        return fold(line.what) == fold(f"{value.thing} {value.what}")
    return fold(line.what) == fold(value.what) or (not line.what and bool(_behind(value.what, line.note)))


def _behind(what: str, note: str) -> str:
    """The rest of a note that begins with what was measured; empty when it does not."""
    return note[len(what) :].strip(" :=") if fold(note).startswith(f"{fold(what)} ") else ""


def _verb(value: ManualValue) -> str:
    return "reached" if fold(value.what) in TIGHTENING else "measured"
