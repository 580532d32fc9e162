"""Values that a person read in the service manual and typed once. The tool has none of its own."""

from __future__ import annotations

from dataclasses import dataclass

TIGHTENING = frozenset({"tightening", "stages", "angle"})
"""Values of a joint that is tightened."""

USUAL_VALUES = ("tightening", "stages", "angle", "order", "gap", "end float", "limit")
"""What such a value is usually of, in the order in which they are offered; any other words will do."""


@dataclass(frozen=True, slots=True)
class ManualValue:
    """One value.

    Attributes
    ----------
    tag_id : int or None
        None for a thing without a number, which `thing` names.
    what : str
        One of `USUAL_VALUES`, or the person's own word.
    wanted, limits : str
        As typed: "45 Nm", "0.25 to 0.35 mm".
    page : str
        The page of the manual that it is on.
    """

    value_id: int
    tag_id: int | None
    thing: str
    what: str
    wanted: str
    limits: str
    page: str
