"""Whose is a clip that does not say? Cameras number a folder's photos and clips in one series (common practice)."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from asfound.core.capture.camera import name_camera

NEAR = 3
"""How far a clip's number may lie from its neighbour's: a few shots in between may have been deleted."""
MOST_SHARE = 0.8
"""Share of a camera's photos that one lens must have taken to be taken for the clip's too."""

_NUMBER = re.compile(r"\d+")


@dataclass(frozen=True, slots=True)
class OnCard:
    """A file as it lay on a card, with the camera its own details tell of; empty when they tell of none."""

    folder: str
    name: str
    camera: str


def camera_of_series(clip: OnCard, others: Collection[OnCard]) -> str:
    """The camera that must have made a clip, by the photos around it; empty when that is not certain.

    Certain is: files of the clip's folder whose names begin alike all tell of one camera, and one of them has a number
    next to the clip's. Two phones in one folder, or a clip that came by another way, leave it open.
    """
    series = name_camera("", "", clip.name)
    kin = [
        other
        for other in others
        if other.camera and other.folder == clip.folder and name_camera("", "", other.name) == series
    ]
    number = number_in_name(clip.name)
    if not series or number is None or len({other.camera for other in kin}) != 1:
        return ""
    near = any(abs(number - count) <= NEAR for other in kin if (count := number_in_name(other.name)) is not None)
    return kin[0].camera if near else ""


def usual_focal(focals_35mm: Iterable[float | None]) -> float | None:
    """The focal length that nearly all of a camera's photos have; None when it has several lenses, or tells of none.

    It holds for clips as far as they use the sensor's whole width; steadying may cut off a tenth of that.
    """
    told = Counter(focal for focal in focals_35mm if focal is not None)
    if not told:
        return None
    focal, count = told.most_common(1)[0]
    return focal if count >= MOST_SHARE * told.total() else None


def number_in_name(name: str) -> int | None:
    """The last number of a name that is not part of its beginning: 5 of P1_0005.mov; None when it has none."""
    numbers = _NUMBER.findall(name.rpartition(".")[0])
    return int(numbers[-1][:18]) if numbers else None
