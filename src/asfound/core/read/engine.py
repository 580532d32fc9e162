"""What reads the digits of one crop: the seam between finding a number on tape and reading it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

RgbArray = NDArray[np.uint8]

CROP_HIGH_PX, CROP_WIDE_PX = 32, 96
"""Size of every crop that an engine is given."""

DIGIT_SHARE = 0.62
"""Height of the row of digits over the height of the crop."""


@dataclass(frozen=True, slots=True)
class Recognised:
    """Digits read in one crop, "" for none, and how sure the engine is, 0 to 1."""

    text: str
    confidence: float


class NumberEngine(Protocol):
    """Reads digits that stand upright in the middle of small crops."""

    name: str

    def recognise(self, crops_rgb: Sequence[RgbArray]) -> list[Recognised]:
        """Read each crop, in the order given.

        Parameters
        ----------
        crops_rgb : sequence of ndarray of shape (32, 96, 3), uint8
            The row of digits runs level across the middle and fills about 0.62 of the height, with its surroundings in
            sight; on its head or on its side where the wrong turn was tried.

        Returns
        -------
        list of Recognised
            One for each crop; digits only.
        """
        ...
