"""How a flat chain multiplies the pull in its legs. A picture of why to keep it steep, not a lifting plan."""

from __future__ import annotations

import math
from dataclasses import dataclass

from asfound.errors import Misused

LEAST_ANGLE_DEG = 30.0
"""Flatter slings are not used: ASME B30.9, from memory."""

GOOD_ANGLE_DEG = 60.0
"""Keep each leg this steep or steeper: common practice, no source."""

COUNTED_LEGS = 2
"""However many legs there are, two may carry it all: common practice, no source."""

DEFER = (
    "Weight, lifting points and rigging are those of the service manual: use rated gear, and follow the service "
    "manual, local law and licensed practice."
)

COMMON_PRACTICE = (
    "Chain, hooks and shackles are rated well above the load: at least 680 kg (1,500 lb) for a car engine.",
    "Bolts that carry the load are of grade 8 (SAE J429) or better.",
    "At least 13 mm (half an inch) of their thread is engaged.",
    "A bolt's grade says nothing about the bracket, or about the thread that it is in.",
)
"""What people who lift engines keep to, without a source: shown beside the manual's word, never instead of it."""


@dataclass(frozen=True, slots=True)
class SlingPull:
    """The pull in each leg of a sling.

    Attributes
    ----------
    pull_kg : float or None
        As the weight that would pull as hard, in kilograms; None when the legs are too flat to use.
    legs_counted : int
    words : str
        What to show, with the sentence that defers to the manual and to rated gear.
    """

    pull_kg: float | None
    legs_counted: int
    words: str


def estimate_pull(weight_kg: float, legs: int, angle_deg: float) -> SlingPull:
    """Pull in each leg: weight / (legs counted x sin of the angle from level).

    Parameters
    ----------
    weight_kg : float
        Everything that hangs, in kilograms.
    legs : int
        Legs in use; two are counted even when there are more.
    angle_deg : float
        Of each leg from level, 90 for a leg that hangs straight.

    Raises
    ------
    Misused
        If the weight or the number of legs is not positive, or the angle is not above 0 and up to 90.

    References
    ----------
    Balance of forces; two legs counted by common practice. Rated slings: 29 CFR 1910.184.
    """
    _check(weight_kg, legs, angle_deg)
    counted = min(legs, COUNTED_LEGS)
    if angle_deg < LEAST_ANGLE_DEG:
        words = f"Legs at {angle_deg:g} degrees from level are too flat to use: take longer legs, {GOOD_ANGLE_DEG:g} "
        return SlingPull(None, counted, f"{words}degrees or steeper. {DEFER}")
    pull_kg = weight_kg / (counted * math.sin(math.radians(angle_deg)))
    return SlingPull(pull_kg, counted, _words(weight_kg, legs, counted, angle_deg, pull_kg))


def _check(weight_kg: float, legs: int, angle_deg: float) -> None:
    if not 0 < weight_kg < math.inf:
        raise Misused(f"{weight_kg:g} kg cannot be lifted: give the weight of everything that hangs.")
    if legs < 1:
        raise Misused(f"{legs} legs lift nothing: give the number of legs in use.")
    if not 0 < angle_deg <= 90:
        raise Misused(f"{angle_deg:g} degrees is no leg's angle: measure from level, more than 0 and up to 90.")


def _words(weight_kg: float, legs: int, counted: int, angle_deg: float, pull_kg: float) -> str:
    named = "one leg" if counted == 1 else "two legs" if legs == COUNTED_LEGS else f"two of {legs} legs"
    flat = "" if angle_deg >= GOOD_ANGLE_DEG else f" That is flat: keep each leg at {GOOD_ANGLE_DEG:g} or steeper."
    pull = f"{weight_kg:g} kg on {named} at {angle_deg:g} degrees from level pulls like {pull_kg:.1f} kg in each."
    return f"{pull}{flat} {DEFER}"
