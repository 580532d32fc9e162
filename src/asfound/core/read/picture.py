"""All that can be read in one picture: its printed markers, and the numbers written on tape."""

from __future__ import annotations

import cv2
import numpy as np

from asfound.core.read.engine import NumberEngine, RgbArray
from asfound.core.read.markers import read_markers
from asfound.core.read.numbers import read_numbers
from asfound.core.read.reading import Reading
from asfound.errors import MissingLibrary


def read_picture(image_rgb: RgbArray, *, engine: NumberEngine | None) -> list[Reading]:
    """Read the markers and, with an engine, the written numbers of one picture.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
        The picture as displayed, at its full size: markers are small.
    engine : NumberEngine or None
        None reads markers alone.

    Returns
    -------
    list of Reading
        Markers first, then written numbers, each surest first. Empty when nothing was read.
    """
    image_gray = np.asarray(cv2.cvtColor(image_rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    readings = read_markers(image_gray)
    return readings if engine is None else readings + read_numbers(image_rgb, engine)


def best_engine() -> NumberEngine:
    """The surest reader of digits that is installed: that of the extra `read`, else the package's own."""
    try:
        return load_engine("rapidocr")
    except MissingLibrary:
        return load_engine("own")


def load_engine(name: str) -> NumberEngine:
    """The reader of digits: "own" ships with the package, "rapidocr" needs the two libraries of the extra `read`.

    Raises
    ------
    MissingLibrary
        If the libraries of the engine asked for are not installed.
    ValueError
        If there is no such engine.
    """
    if name == "own":
        from asfound.core.read.network import NetworkEngine

        return NetworkEngine()
    if name == "rapidocr":
        from asfound.core.read.rapid import RapidEngine

        return RapidEngine()
    raise ValueError(f"there is no engine {name!r}: own, rapidocr")
