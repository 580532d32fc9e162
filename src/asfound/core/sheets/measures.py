"""Sizes on paper: sheets in points, letters that can be read from where the reader stands, labels round a cable."""

from __future__ import annotations

from math import isfinite, pi, tan
from typing import Literal

from asfound.errors import Misused

POINTS_PER_MM = 72 / 25.4
PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height, upright: ISO 216:2007, and 8.5 x 11 in (ANSI Y14.1 A, from memory)."""

ARC_MINUTES = {"least": 15.0, "preferred": 20.0}
"""Height of a letter as an angle: NUREG-0700 rev. 3, 11.4.1.5-1, read in an extract."""


def paper_pt(name: str) -> tuple[float, float]:
    """Width and height of a sheet in points of 1/72 inch."""
    width_mm, height_mm = PAPERS_MM[name]
    return width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM


def letter_height_mm(distance_mm: float, wanted: Literal["least", "preferred"] = "preferred") -> float:
    """Height of a capital letter that spans the wanted angle from a distance."""
    _check(distance_mm, "distance")
    return distance_mm * tan(ARC_MINUTES[wanted] / 60 * pi / 180)


def flag_length_mm(cable_mm: float, flag_mm: float) -> float:
    """Length of a label that goes once round a cable and leaves two flags to be stuck together."""
    _check(cable_mm, "cable")
    _check(flag_mm, "flag")
    return pi * cable_mm + 2 * flag_mm


def _check(size_mm: float, what: str) -> None:
    if not (isfinite(size_mm) and size_mm > 0):
        raise Misused(f"{size_mm} mm is not a size of a {what}: give millimetres above 0.")
