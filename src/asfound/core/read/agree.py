"""Readings weighed against what the job knows: the numbers in use, and the pins carried to the same place.

Nothing is thrown away because it disagrees. A number that no tag has may be a tag not written down yet, and a reading
that contradicts a carried pin may be the right one of the two: both are shown with their doubt.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from asfound.core.read.reading import Reading
from asfound.model.tags import EndLetter

NEAR_FRAC = 0.06
"""A pin this near, in fractions of the picture's diagonal, is about the same flag: it hangs beside its joint."""

_SAME_PLACE = 0.6
_UNKNOWN, _TURNED, _CONTRADICTED = 0.7, 0.75, 0.8
_KNOWN_GAIN, _PIN_GAIN, _MARKER_GAIN = 0.15, 0.35, 0.5


@dataclass(frozen=True, slots=True)
class NearPin:
    """A pin set on the picture or carried to it, as far as readings need it.

    Attributes
    ----------
    tag_id : int
    number : str
    end : {"A", "B"}
    x_frac, y_frac : float
        Fractions of the picture as displayed.
    confidence : float
        Of the carrying, 0 to 1; 1 for a pin that a person set.
    """

    tag_id: int
    number: str
    end: EndLetter
    x_frac: float
    y_frac: float
    confidence: float


def agree(
    readings: Sequence[Reading],
    known_numbers: Collection[str],
    near_pins: Sequence[NearPin] = (),
    *,
    aspect: float = 4 / 3,
) -> list[Reading]:
    """Weigh readings with the job's numbers and carried pins; one number for each place, surest first.

    Parameters
    ----------
    readings : sequence of Reading
        Of one picture.
    known_numbers : collection of str
        Numbers of the job's tags. When empty, nothing is known yet and no reading loses by it.
    near_pins : sequence of NearPin
        Pins on the picture, set or carried.
    aspect : float
        Width of the picture over its height.

    Returns
    -------
    list of Reading
        With confidence and `doubt` changed, and the end taken from a pin that agrees. Where the number is unknown but
        known upside down, the two change places.
    """
    weighed = [_weigh(reading, known_numbers, near_pins, aspect) for reading in readings]
    ranked = sorted(weighed, key=lambda reading: (reading.how != "marker", -reading.confidence, reading.number))
    kept: list[Reading] = []
    for reading in ranked:
        twins = [at for at, other in enumerate(kept) if _same_place(reading, other, aspect)]
        if not twins:
            kept.append(reading)
            continue
        for at in twins:
            kept[at] = _beside(kept[at], reading)
    return sorted(kept, key=lambda reading: (-reading.confidence, reading.number))


def pins_beside(reading: Reading, pins: Sequence[NearPin], aspect: float) -> list[NearPin]:
    """Pins that lie about where the number was read, in the order given."""
    return [pin for pin in pins if is_near(reading.x_frac, reading.y_frac, pin.x_frac, pin.y_frac, aspect)]


def is_near(x0_frac: float, y0_frac: float, x1_frac: float, y1_frac: float, aspect: float) -> bool:
    """Whether two places of a picture, in fractions of it, are about the same flag."""
    return _gap(x0_frac, y0_frac, x1_frac, y1_frac, aspect) <= NEAR_FRAC


def _weigh(reading: Reading, known: Collection[str], pins: Sequence[NearPin], aspect: float) -> Reading:
    if reading.how == "written":
        reading = _with_known(reading, known)
    near = pins_beside(reading, pins, aspect)
    same = max((pin for pin in near if pin.number == reading.number), key=lambda pin: pin.confidence, default=None)
    if same is not None:
        end = reading.end or (same.end if len({pin.end for pin in near if pin.number == same.number}) == 1 else None)
        return replace(reading, end=end, confidence=_raised(reading.confidence, _PIN_GAIN * same.confidence))
    turned = next((pin for pin in near if pin.number == reading.upside_down), None)
    if turned is not None:
        return _turned(reading, f"the pin here is {turned.number}: the tape may be upside down")
    if near and reading.how == "written":
        nearest = min(near, key=lambda pin: _gap(reading.x_frac, reading.y_frac, pin.x_frac, pin.y_frac, aspect))
        lowered = reading.confidence * (1 - (1 - _CONTRADICTED) * nearest.confidence)
        return _doubted(reading, lowered, f"the pin here is {nearest.number}")
    return reading


def _with_known(reading: Reading, known: Collection[str]) -> Reading:
    if not known:
        return reading
    if reading.number in known:
        raised = replace(reading, confidence=_raised(reading.confidence, _KNOWN_GAIN))
        if reading.upside_down in known:
            return _doubted(raised, reading.confidence, f"or {reading.upside_down} upside down: both are in use")
        return raised
    if reading.upside_down in known:
        return _turned(
            reading, f"{reading.number} is not in use; upside down it reads {reading.upside_down}, which is in use"
        )
    return _doubted(reading, reading.confidence * _UNKNOWN, f"no tag {reading.number} is known")


def _turned(reading: Reading, why: str) -> Reading:
    other = reading.upside_down or reading.number
    turned = replace(reading, number=other, upside_down=reading.number)
    return _doubted(turned, reading.confidence * _TURNED, why)


def _beside(kept: Reading, other: Reading) -> Reading:
    """The kept reading of a place, after another one of the same place was heard."""
    if other.number == kept.number:
        return replace(kept, confidence=_raised(kept.confidence, _MARKER_GAIN * other.confidence))
    if other.number == kept.upside_down:
        return kept
    return _doubted(kept, kept.confidence, f"read as {other.number} too")


def _doubted(reading: Reading, confidence: float, why: str) -> Reading:
    return replace(reading, confidence=round(confidence, 3), doubt=f"{reading.doubt}; {why}" if reading.doubt else why)


def _raised(confidence: float, gain: float) -> float:
    return round(confidence + (1 - confidence) * gain, 3)


def _same_place(one: Reading, other: Reading, aspect: float) -> bool:
    """A flag's marker and its number stand side by side, so a marker reaches over its own width and a half."""
    reach = max(math.hypot(r.w_frac * aspect, r.h_frac) for r in (one, other))
    if one.how != other.how:
        reach *= 2
    wide = (one.x_frac - other.x_frac) * aspect
    return math.hypot(wide, one.y_frac - other.y_frac) < _SAME_PLACE * reach


def _gap(x0: float, y0: float, x1: float, y1: float, aspect: float) -> float:
    return math.hypot((x0 - x1) * aspect, y0 - y1) / math.hypot(aspect, 1)
