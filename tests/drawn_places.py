"""Two places on a machine, drawn: photos of them that a matcher takes for what they are.

The first place is photographed three times, the second three times. The third photo shows its place from nearer, with
the hose gone.
"""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

SIZE = 400, 300
HOSE = 0.32, 0.66
"""Where the middle of the hose lies that is gone in the third photo, in fractions of the first."""

CLOSER = 1.25
"""How much larger the third photo shows the place."""

MARKS = 300
"""Few enough that a matcher is through with a picture in no time."""


def in_third(x: float, y: float) -> tuple[float, float]:
    """Where a point of the first photo lies in the third, as it was drawn."""
    return (x - 0.5) * CLOSER + 0.6, (y - 0.5) * CLOSER + 0.5


def photo_of(number: int) -> Image.Image:
    """One photo: a view of its place, each from somewhat elsewhere."""
    place = _place(1 if number <= 3 else 2, with_hose=number != 3)
    middle, width, turned = {
        1: ((800, 600), 800, 0.0),
        2: ((820, 612), 800, 2.0),
        3: ((800 - 80 / CLOSER, 600), 800 / CLOSER, 0.0),
        4: ((800, 600), 800, 0.0),
        5: ((784, 608), 800, -2.0),
        6: ((812, 592), 780, 1.0),
    }[number]
    if number == 2:
        place = place.filter(ImageFilter.GaussianBlur(2))  # so that the first is the better picture of what both show
    return _view(place, middle, width, turned)


def both_from_afar() -> Image.Image:
    """A photo with both places in it, each half as large as in its own."""
    both = Image.new("RGB", SIZE)
    for side, place in enumerate((_place(1, with_hose=True), _place(2, with_hose=False))):
        both.paste(_view(place, (800, 600), 800, 0.0).resize((200, 150), Image.Resampling.BOX), (side * 200, 75))
    return both


def _view(place: Image.Image, middle: tuple[float, float], width: float, turned_deg: float) -> Image.Image:
    """A part of a place, so wide, around a middle; drawn twice as large first, so that nothing of it is ragged."""
    scale, angle = width / SIZE[0] / 2, np.deg2rad(turned_deg)
    cos, sin = scale * np.cos(angle), scale * np.sin(angle)
    left, top = middle[0] - cos * SIZE[0] + sin * SIZE[1], middle[1] - sin * SIZE[0] - cos * SIZE[1]
    matrix = (cos, -sin, left, sin, cos, top)
    large = place.transform((2 * SIZE[0], 2 * SIZE[1]), Image.Transform.AFFINE, matrix, Image.Resampling.BICUBIC)
    return large.resize(SIZE, Image.Resampling.BOX)


def _place(seed: int, *, with_hose: bool) -> Image.Image:
    """1600 x 1200 pixels with marks that a matcher holds on to; a hose lies across it, or does not."""
    rng = np.random.default_rng(seed)
    drawn = Image.new("RGB", (1600, 1200), (90, 88, 84))
    pen = ImageDraw.Draw(drawn)
    for _ in range(MARKS):
        x, y = rng.uniform(0, 1600), rng.uniform(0, 1200)
        w, h = rng.uniform(12, 60, 2)
        shade = tuple(int(part) for part in rng.integers(20, 235, 3))
        (pen.ellipse if rng.random() < 0.5 else pen.rectangle)((x, y, x + w, y + h), fill=shade)
    if seed == 1 and with_hose:
        x, y = 400 + HOSE[0] * 800, 300 + HOSE[1] * 600
        pen.line((x - 90, y - 16, x + 90, y + 16), fill=(15, 15, 15), width=48)
        pen.line((x - 90, y - 24, x + 90, y + 8), fill=(60, 60, 66), width=8)
    return drawn
