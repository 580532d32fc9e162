"""Where a person points on a picture: the crosshair, and a box between two corners. In pixels of the full picture."""

from __future__ import annotations

from asfound.output.cells.view import View

Point = tuple[float, float]
Box = tuple[float, float, float, float]


class Pointer:
    """A place on a picture.

    Attributes
    ----------
    crosshair : (float, float)
        Pins are placed here.
    corner : (float, float) or None
        First corner of a box that is being drawn.
    box : (float, float, float, float) or None
        A finished box: two opposite corners, as they were put.
    """

    def __init__(self, crosshair: Point = (0.0, 0.0)) -> None:
        self.crosshair = crosshair
        self.corner: Point | None = None
        self.box: Box | None = None

    def put(self, x: float, y: float, view: View) -> None:
        """Move the crosshair, as far as the picture of this view goes."""
        self.crosshair = min(max(x, 0.0), view.picture_w), min(max(y, 0.0), view.picture_h)

    def put_corner(self) -> bool:
        """Put the first corner of a box where the crosshair stands, or the second; True when that ends the box."""
        if self.corner is None:
            self.corner, self.box = self.crosshair, None
            return False
        self.box, self.corner = (*self.corner, *self.crosshair), None
        return True

    def clear_box(self) -> bool:
        """Forget the box or its first corner; True when there was one."""
        had = self.corner is not None or self.box is not None
        self.corner = self.box = None
        return had

    def aim_frac(self, width: float, height: float) -> tuple[float, float, float | None, float | None]:
        """The middle and the size of the finished box, or the crosshair without a size, over the picture's size."""
        if self.box is None:
            return self.crosshair[0] / width, self.crosshair[1] / height, None, None
        x0, y0, x1, y1 = self.box
        across, down = abs(x1 - x0) / width, abs(y1 - y0) / height
        return (x0 + x1) / 2 / width, (y0 + y1) / 2 / height, across or None, down or None

    @property
    def outline(self) -> Box | None:
        """The box to draw: the finished one, or what it would be if the crosshair were its second corner."""
        return self.box or ((*self.corner, *self.crosshair) if self.corner is not None else None)
