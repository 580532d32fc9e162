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
    "Chains, hooks, shackles and bolts are rated ones, by their own marks, for the pull at this angle.",
    "Legs that are not equally long, or a weight that hangs nearer to one of them, pull unequally: work out each leg.",
    "An eye bolt without a shoulder is pulled in line with its thread only, never at an angle.",
    "A bolt's grade says nothing about the bracket, or about the thread that it is in.",
)
"""What people who lift engines keep to, without a source: shown beside the manual's word, never instead of it."""

EQUAL_LEGS = "That holds for legs of one length at one angle with the weight midway; else give the angle of each leg."


@dataclass(frozen=True, slots=True)
class SlingPull:
    """The pull in each leg of a sling.

    Attributes
    ----------
    pull_kg : float or None
        In the leg that is pulled hardest, as the weight that would pull as hard, in kilograms; None when a leg is too
        flat to use.
    pulls_kg : tuple of float
        In each leg counted; empty when a leg is too flat to use.
    legs_counted : int
    words : str
        What to show, with the sentence that defers to the manual and to rated gear.
    """

    pulls_kg: tuple[float, ...]
    legs_counted: int
    words: str

    @property
    def pull_kg(self) -> float | None:
        """In the leg that is pulled hardest."""
        return max(self.pulls_kg, default=None)


def estimate_pull(weight_kg: float, legs: int, angle_deg: float) -> SlingPull:
    """Pull in each of several equal legs: weight / (legs counted x sin of the angle from level).

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
        return _too_flat(counted, angle_deg)
    pull_kg = weight_kg / (counted * math.sin(math.radians(angle_deg)))
    return SlingPull((pull_kg,) * counted, counted, _words(weight_kg, legs, counted, angle_deg, pull_kg))


def estimate_each(weight_kg: float, angles_deg: tuple[float, float]) -> SlingPull:
    """Pull in each of two legs at angles of their own: weight x cos of the other angle / sin of the sum of both.

    Two legs at one angle are `estimate_pull`. The steeper leg is pulled harder.

    Raises
    ------
    Misused
        As `estimate_pull`.

    References
    ----------
    Balance of forces at the hook.
    """
    for angle_deg in angles_deg:
        _check(weight_kg, 2, angle_deg)
    first, second = map(math.radians, angles_deg)
    if first == second:
        return estimate_pull(weight_kg, 2, angles_deg[0])
    flattest_deg = min(angles_deg)
    if flattest_deg < LEAST_ANGLE_DEG:
        return _too_flat(2, flattest_deg)
    pulls_kg = tuple(weight_kg * math.cos(other) / math.sin(first + second) for other in (second, first))
    told = " and ".join(f"{kg:.1f} kg in the leg at {deg:g}" for kg, deg in zip(pulls_kg, angles_deg, strict=True))
    return SlingPull(
        pulls_kg, 2, f"{weight_kg:g} kg pulls like {told} degrees from level.{_flat(flattest_deg)} {DEFER}"
    )


def _too_flat(counted: int, angle_deg: float) -> SlingPull:
    words = f"Legs at {angle_deg:g} degrees from level are too flat to use: take longer legs, {GOOD_ANGLE_DEG:g} "
    return SlingPull((), counted, f"{words}degrees or steeper. {DEFER}")


def _flat(angle_deg: float) -> str:
    return "" if angle_deg >= GOOD_ANGLE_DEG else f" That is flat: keep each leg at {GOOD_ANGLE_DEG:g} or steeper."


def _check(weight_kg: float, legs: int, angle_deg: float) -> None:
    if not 0 < weight_kg < math.inf:
        raise Misused(f"{weight_kg:g} kg cannot be lifted: give the weight of everything that hangs.")
    if legs < 1:
        raise Misused(f"{legs} legs lift nothing: give the number of legs in use.")
    if not 0 < angle_deg <= 90:
        raise Misused(f"{angle_deg:g} degrees is no leg's angle: measure from level, more than 0 and up to 90.")


def _words(weight_kg: float, legs: int, counted: int, angle_deg: float, pull_kg: float) -> str:
    named = "one leg" if counted == 1 else "two legs" if legs == COUNTED_LEGS else f"two of {legs} legs"
    pull = f"{weight_kg:g} kg on {named} at {angle_deg:g} degrees from level pulls like {pull_kg:.1f} kg in each."
    equal = f" {EQUAL_LEGS}" if counted > 1 else ""
    return f"{pull}{equal}{_flat(angle_deg)} {DEFER}"
