"""Marks on terminals, explained after DIN 72552. A mark is never corrected: what is on the machine is what is written.

The standard marks terminals, not wires: a wire may carry different marks at its two ends. That never makes a pair of
marks right: plus at one end and earth at the other is asked about.

References
----------
DIN 72552-1 to -4, Terminal markings in motor vehicles, 1971-03; read through the encyclopedia entry "DIN 72552" and a
published list that turns old marks into new ones, not through the standard itself.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

FROM_MEMORY = "Meaning from memory: look in the wiring diagram."

DIN_72552 = {
    "1": "ignition coil, low voltage to breaker or ignition unit",
    "4": "ignition coil, high voltage",
    "4a": "ignition coil I, high voltage",
    "4b": "ignition coil II, high voltage",
    "15": "switched positive after the key switch; in glow systems the feed of the switch",
    "15a": "after the ballast resistor, to coil and starter",
    "17": "glow start switch: start",
    "19": "glow start switch: preheat",
    "30": "battery plus, straight from the battery: always live",
    "30a": "plus from the second battery: always live",
    "31": "battery minus or earth",
    "31b": "switched minus",
    "45": "separate starter relay out, starter in",
    "49": "flasher unit in",
    "49a": "flasher unit out",
    "50": "starter control (solenoid)",
    "50a": "starter control out, at the battery changeover switch",
    "53": "wiper motor feed",
    "53a": "wiper motor, self-park",
    "54": "brake lamp",
    "55": "front fog lamp",
    "56": "head lamp",
    "56a": "head lamp, main beam",
    "56b": "head lamp, dipped beam",
    "58": "side, tail, number plate and panel lamps",
    "61": "charge lamp, alternator control",
    "71": "horn sequence",
    "75": "radio, lighter",
    "85": "relay coil, end to earth",
    "86": "relay coil, feed",
    "87": "relay contact",
    "87a": "relay contact",
    "87b": "relay contact",
    "88": "make contact, in",
    "88a": "make contact, out",
    "B+": "alternator or dynamo to battery plus",
    "B-": "alternator or dynamo to battery minus",
    "D+": "dynamo plus (lamp and field feed)",
    "D-": "dynamo minus",
    "DF": "dynamo or alternator field",
    "L": "turn lamps left",
    "R": "turn lamps right",
    "U": "alternator phase",
    "V": "alternator phase",
    "W": "tachometer tap of the alternator",
}

_REMEMBERED = frozenset("15a 45 54 55 56 56a 56b 58 71 75 88 88a".split())
_RELAY_MARKS = frozenset("87 87a 87b".split())
_RELAY = (
    "On relays in the field 30 is common, 87 closes and 87a opens; DIN 72552 lists 87 as the common, 87a opening and "
    "87b closing: trust the drawing on the relay."
)
_OLD = {
    "51": "old mark for B+, alternator or dynamo to battery plus",
    "16": "old mark for 15 (plus after the key switch) and for 15a (after the ballast resistor)",
    "15/54": "old mark for 15 (plus after the key switch) and for 49 (flasher unit in)",
    "54/15": "old mark for 15, plus after the key switch",
    "30/51": "old mark for 30, battery plus, straight from the battery: always live",
}
"""As the published list that turns old marks into new ones has them."""

_NOTES = {
    "61": "Old machines have 61 beside D+.",
    "D+": "Old machines have 61 beside D+.",
    "G": "Often met on gauge senders (common practice, no source).",
    "L": "L has two meanings: on lamps and flashers left, on an alternator or regulator the charge lamp (from memory).",
    "R": "R has two meanings: on lamps and flashers right, on an alternator or starter something else, by maker (from "
    "memory).",
}
_SOCKET = {"1": "86", "2": "85", "3": "30", "4": "87a", "5": "87"}
"""Numbers on the sockets of ISO 7588 relays, with the mark each stands for; from memory."""

_PLUS = frozenset(
    "15 15/54 54/15 15a 16 17 19 30 30/51 30a 49 49a 50 50a 51 53 54 55 56 56a 56b 58 61 75 B+ D+".split()
    + "+ plus positive".split()
)
_EARTH = frozenset("31 31b B- D- - minus negative earth ground gnd chassis".split())
"""Marks that carry plus, at least at times, and marks that are earth or minus; by their meaning in the table, the words
by common practice, no source."""

DIFFERENT_ENDS = "Marks at two ends may differ, for the standard marks terminals: check the wiring diagram."
PLUS_TO_EARTH = (
    "One is plus and the other earth or minus: that can be a short circuit and a fire. Leave the battery off, look at "
    "both ends again and at the wiring diagram. Follow the service manual, local law and licensed practice."
)

_KNOWN = {mark.casefold(): mark for mark in (*DIN_72552, *_OLD)}
_PREFIX = re.compile(r"(?:terminal|term|klemme|kl)\b\.?\s*(?=\S)|(?:kl|term)\.?(?=\d)", re.IGNORECASE)
_MINUS = str.maketrans("−–", "--")


@dataclass(frozen=True, slots=True)
class TerminalReading:
    """A terminal's mark explained.

    Attributes
    ----------
    mark : str
        As written, trimmed; this is what is kept.
    meaning : str
        Empty when the mark is not in DIN 72552.
    notes : tuple of str
        Traps to show beside it.
    """

    mark: str
    meaning: str = ""
    notes: tuple[str, ...] = ()

    @property
    def is_known(self) -> bool:
        """Whether the mark has a meaning in DIN 72552 or is an old mark for one that has."""
        return bool(self.meaning)


def explain_terminal(written: str, place: str = "") -> TerminalReading:
    """Explain a mark; never raises, and an unknown mark is kept as text.

    Parameters
    ----------
    written : str
        "30", "d+", "Kl. 15", "terminal 50", or several joined with a stroke, "30/87".
    place : str
        Where the terminal is, in a person's own words: what is true of relays only is told where they say "relay".
    """
    mark = written.strip()
    known = _find(mark)
    if known is not None:
        return TerminalReading(mark, DIN_72552.get(known) or _OLD[known], _notes(known, place))
    several = [part for part in mark.split("/") if part.strip()]
    parts = [explain_terminal(part, place) for part in several] if len(several) > 1 else []
    if parts and all(part.is_known for part in parts):
        meaning = "; ".join(f"{part.mark}: {part.meaning}" for part in parts)
        return TerminalReading(mark, meaning, tuple(dict.fromkeys(note for part in parts for note in part.notes)))
    return TerminalReading(
        mark, notes=("Not in DIN 72552: kept as written.", *_notes(mark.upper(), place)) if mark else ()
    )


def compare_ends(mark_a: str, mark_b: str) -> str:
    """What to say of the marks at a wire's two ends; empty when one is missing or they are the same.

    Never says that a pair is right: it sends the reader to the wiring diagram, and asks about plus against earth.
    """
    if not mark_a.strip() or not mark_b.strip() or _canonical(mark_a) == _canonical(mark_b):
        return ""
    sides_a, sides_b = _sides(mark_a), _sides(mark_b)
    words = PLUS_TO_EARTH if sides_a != sides_b and len(sides_a | sides_b) > 1 else DIFFERENT_ENDS
    return f"{mark_a.strip()} at end A and {mark_b.strip()} at end B. {words}"


def _sides(written: str) -> set[str]:
    """Whether a mark, or one of several joined with a stroke, is "plus" or "earth"; empty when it cannot be told."""
    marks = {_canonical(part) for part in (written, *written.split("/"))}
    return {side for side, known in (("plus", _PLUS), ("earth", _EARTH)) if not marks.isdisjoint(known)}


def _find(written: str) -> str | None:
    """The mark's spelling in the tables, or None."""
    plain = re.sub(r"\s", "", _PREFIX.sub("", written, count=1).translate(_MINUS))
    return _KNOWN.get(plain.casefold())


def _canonical(written: str) -> str:
    return _find(written) or written.strip().casefold().translate(_MINUS)


def _notes(mark: str, place: str) -> tuple[str, ...]:
    is_relay = mark in _RELAY_MARKS or "relay" in place.casefold()
    notes = [_RELAY] if mark in _RELAY_MARKS or (mark == "30" and is_relay) else []
    notes += [_NOTES[mark]] if mark in _NOTES else []
    notes += [FROM_MEMORY] if mark in _REMEMBERED else []
    if mark in _SOCKET and is_relay:
        notes.append(f"On the socket of an ISO 7588 relay {mark} is {_SOCKET[mark]} (from memory).")
    return tuple(notes)
