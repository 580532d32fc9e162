"""Tape faces: the number as a marker pen writes it, or as a label printer prints it. Pixels, RGB 0 to 1."""

import numpy as np
from PIL import Image, ImageDraw

from .drawn import font, soiled

# strokes of each figure in a box 0..1 wide and 0..1 high (y down), as a plain hand draws them
STROKES = {
    "0": [[(0.5, 0), (0.12, 0.2), (0.05, 0.55), (0.2, 0.92), (0.5, 1), (0.82, 0.9), (0.95, 0.5), (0.85, 0.15), (0.5, 0)]],
    "1": [[(0.22, 0.24), (0.58, 0), (0.56, 1)]],
    "2": [[(0.08, 0.22), (0.25, 0.04), (0.6, 0), (0.86, 0.18), (0.82, 0.42), (0.05, 1), (0.95, 0.97)]],
    "3": [[(0.1, 0.08), (0.5, 0), (0.84, 0.14), (0.8, 0.38), (0.42, 0.48), (0.82, 0.56), (0.92, 0.8), (0.6, 1), (0.08, 0.92)]],
    "4": [[(0.62, 0), (0.05, 0.66), (0.95, 0.64)], [(0.68, 0.36), (0.66, 1)]],
    "5": [[(0.86, 0.02), (0.22, 0.03), (0.16, 0.44), (0.55, 0.38), (0.9, 0.58), (0.86, 0.85), (0.5, 1), (0.08, 0.92)]],
    "6": [[(0.74, 0.02), (0.34, 0.2), (0.08, 0.6), (0.2, 0.94), (0.55, 1), (0.88, 0.8), (0.75, 0.54), (0.4, 0.52), (0.12, 0.72)]],
    "7": [[(0.05, 0.03), (0.94, 0.02), (0.38, 1)]],
    "8": [[(0.52, 0.46), (0.18, 0.28), (0.24, 0.06), (0.55, 0), (0.82, 0.1), (0.8, 0.32), (0.2, 0.66), (0.14, 0.9),
           (0.5, 1), (0.88, 0.88), (0.84, 0.64), (0.52, 0.46)]],
    "9": [[(0.86, 0.3), (0.55, 0.48), (0.18, 0.38), (0.14, 0.12), (0.5, 0), (0.84, 0.12), (0.87, 0.4), (0.68, 1)]],
}


def _marker(rng, text, pen, w, h, ink):
    """Write figures with a round marker, a little uneven."""
    n = len(text)
    fig_h, fig_w, gap = h * 0.72, min(h * 0.44, w * 0.62 / n), h * 0.17
    x = w / 2 - (n * fig_w + (n - 1) * gap) / 2 + rng.normal(0, w * 0.02)
    width = int(h * rng.uniform(0.1, 0.13))
    for figure in text:
        tilt, top = rng.normal(0.06, 0.04), h * 0.14 + rng.normal(0, h * 0.015)
        for stroke in STROKES[figure]:
            pts = _smooth([(p + rng.normal(0, 0.018), q + rng.normal(0, 0.018)) for p, q in stroke], figure not in "147")
            pts = [(x + p * fig_w + (0.5 - q) * tilt * fig_h, top + q * fig_h) for p, q in pts]
            pen.line(pts, fill=ink, width=width, joint="curve")
            for p, q in (pts[0], pts[-1]):
                r = width / 2
                pen.ellipse([p - r, q - r, p + r, q + r], fill=ink)
        x += fig_w + gap


def _smooth(points, rounded):
    """Round a stroke's corners."""
    p = np.array(points)
    for _ in range(3 if rounded else 0):
        a, b = p[:-1] * 0.75 + p[1:] * 0.25, p[:-1] * 0.25 + p[1:] * 0.75
        p = np.vstack([p[:1], np.stack([a, b], 1).reshape(-1, 2), p[-1:]])
    return [tuple(q) for q in p]


def face(rng, text, colour, printed=False, w=320, h=200):
    """One side of a tape flag with its number."""
    im = Image.new("RGB", (w * 2, h * 2), tuple(int(255 * c) for c in colour))
    d = ImageDraw.Draw(im)
    ink = [(16, 16, 22), (18, 22, 84)][int(rng.integers(2))]
    if printed:
        d.text((w, h), text, font=font(int(h * 1.5)), fill=(12, 12, 14), anchor="mm")
    else:
        _marker(rng, text, d, w * 2, h * 2, ink)
    slant = rng.normal(0, 1.0 if printed else 3.5)
    im = im.rotate(slant, fillcolor=im.getpixel((2, 2)), resample=Image.Resampling.BICUBIC)
    return soiled(rng, np.asarray(im.resize((w, h), Image.Resampling.LANCZOS), float) / 255, 0.2)
