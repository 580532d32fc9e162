"""How one picture lies over another, as the screens use it."""

from __future__ import annotations

from typing import Protocol


class Link(Protocol):
    """How one picture lies over another; see `actions.link.PictureLink`, which loads OpenCV."""

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float] | None:
        """Where a point lies in the other picture, in fractions, and how many widths there answer to one width here."""

    def reversed(self) -> Link:
        """The link seen from the other picture."""


def shifted(link: Link, here: tuple[float, float], there: tuple[float, float]) -> Link:
    """The link moved so that it leads from one point to the other, as far as it leads from there at all."""
    place = link.place_of(*here)
    return link if place is None else ShiftedLink(link, there[0] - place[0], there[1] - place[1])


class ShiftedLink:
    """A link moved by so much of the later picture's width and height."""

    def __init__(self, link: Link, x_frac: float, y_frac: float, *, is_back: bool = False) -> None:
        self.link, self.x_frac, self.y_frac, self.is_back = link, x_frac, y_frac, is_back

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float] | None:
        if self.is_back:
            return self.link.place_of(x_frac - self.x_frac, y_frac - self.y_frac)
        place = self.link.place_of(x_frac, y_frac)
        return None if place is None else (place[0] + self.x_frac, place[1] + self.y_frac, place[2])

    def reversed(self) -> ShiftedLink:
        return ShiftedLink(self.link.reversed(), self.x_frac, self.y_frac, is_back=not self.is_back)
