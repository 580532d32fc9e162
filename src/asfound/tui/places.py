"""What the screens ask about places on the machine: mending spots, laying pictures over each other, overviews."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from asfound.model.pictures import Spot


class Link(Protocol):
    """How one picture lies over another."""

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float] | None:
        """Where a point lies in the other picture, in fractions, and how many widths there answer to one width here."""

    def reversed(self) -> Link:
        """The same link from the other picture."""


@dataclass(frozen=True, slots=True)
class DifferenceBox:
    """A box of the later picture where something seems to differ: centre and size in fractions, 0.5 is clear.

    Attributes
    ----------
    near : tuple of str
        The tag ends in the box ("17A"), the one it was found at first.
    in_before : (x_frac, y_frac, w_frac, h_frac) or None
        The same place in the earlier picture, centre and size; None where it must be told from the link of the two.
    """

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    score: float
    near: tuple[str, ...] = ()
    in_before: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class WhatDiffers:
    """Where two pictures seem to differ, strongest first, and look-alikes that may be on each other's joints."""

    boxes: tuple[DifferenceBox, ...]
    swapped: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SpotMark:
    """A spot on an overview picture: centre and size of its box in fractions."""

    spot_id: int
    name: str
    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float


@dataclass(frozen=True, slots=True)
class OverviewEntry:
    """A picture that shows several spots, with where they lie on it."""

    picture_id: int
    marks: tuple[SpotMark, ...]


class Places(Protocol):
    """The part of `Service` that is about places. `link` and `differences` are slow, `overviews` may be."""

    def move_pictures(self, picture_ids: Sequence[int], spot_id: int | None) -> None:
        """Put pictures into another spot, or into none."""

    def likely_spots(self, picture_ids: Sequence[int]) -> list[int]:
        """Spots whose pictures look like these, the likeliest first; the others are left out."""

    def split_spot(self, spot_id: int | None, picture_ids: Sequence[int]) -> Spot:
        """Make a new spot of some of a spot's pictures, or of pictures that have none."""

    def join_spots(self, keep_id: int, other_id: int) -> None:
        """Make one spot of two; the first keeps its number, and its name if it has one."""

    def settle_spots(self) -> bool:
        """Work out again who belongs where after a step about spots was taken back; False when all agreed. Slow."""

    def behind(self) -> Mapping[int, int]:
        """Look-alike to the picture that it is behind."""

    def fold_bursts(self, folded: Sequence[Sequence[int]]) -> None:
        """Of each burst put all pictures behind the first, in one step."""

    def let_stand(self, picture_ids: Sequence[int]) -> None:
        """Say that each of these pictures stands alone."""

    def link(self, here_id: int, there_id: int) -> Link | None:
        """How two pictures lie over each other; None when they share too little. Slow."""

    def differences(self, before_id: int, after_id: int) -> WhatDiffers | None:
        """What seems to differ in the later picture; None when they cannot be laid over each other. Slow."""

    def make_pair(self, before_id: int, after_id: int) -> None:
        """Say that two pictures of a spot are before and after, also when the machine did not take them for it."""

    def overviews(self) -> list[OverviewEntry]:
        """Pictures that show several spots, those with the most first. Slow."""
