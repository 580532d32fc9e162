"""The engine space: bearers, bilge, shell plating, bulkheads, deck beams and the hatch. Lengths in dm."""

import numpy as np

from .fittings import bolt, bolts, sticker
from .shapes import X, Y, at, box, cylinder, frame, turned
from .tubes import spline, sweep

AFT = -10.0  # y of the engine-room bulkhead's face, which looks forward
BEARER_TOP = 0.9


def bearers(p, rng):
    """Two steel girders the engine stands on, with web plates and limber holes."""
    for s in (-1, 1):
        box("bearer top", (1.3, 16, 0.14), p["bearer"], at((s * 2.75, -1.5, BEARER_TOP - 0.07)), 0.03)
        box("bearer web", (0.16, 16, 2.9), p["bearer"], at((s * 2.75, -1.5, -0.6)), 0.02)
        for y in np.arange(-8.5, 6.5, 2.4):
            box("bearer knee", (0.55, 0.12, 2.5), p["bearer"], at((s * 3.05, y, -0.5)), 0.02)
            box("frame", (4.6, 0.14, 0.9), p["hull"], at((s * 5.3, y, -1.5)) , 0.02)


def shell(p, rng):
    """Bilge plating, sides with stiffeners, the low forward bulkhead and some bilge water."""
    box("bilge", (16, 22, 0.2), p["bilge"], at((0, -1.5, -2.3)), 0)
    turned("bilge water", [(2.2, 0), (0.1, 0.004)], p["oil"], at((0.2, 2.0, -2.19)), 50)
    turned("bilge water", [(1.3, 0), (0.1, 0.004)], p["oil"], at((-1.6, -6.2, -2.19)), 40)
    for s in (-1, 1):
        box("side", (0.15, 22, 16), p["hull"], at((s * 8.0, -1.5, 5.0)), 0)
        for y in np.arange(-8.6, 9, 3.1):
            box("rib", (0.7, 0.14, 16), p["hull"], at((s * 7.65, y, 5.0)), 0.03)
        box("stringer", (0.6, 22, 0.14), p["hull"], at((s * 7.7, -1.5, 3.4)), 0.03)
        sweep("conduit", spline([(s * 7.3, -9.6, 8.6), (s * 7.3, -3, 8.65), (s * 7.3, 8.5, 8.6)]), 0.22, p["plastic"], 14, rings=(0.09, 0.07))
        for y in np.arange(-8, 8, 2.3):
            box("saddle", (0.3, 0.2, 0.6), p["zinc"], at((s * 7.4, y, 8.6)), 0.03)
    box("forward bulkhead", (16, 0.2, 16), p["hull"], at((0, 9.2, 5.0)), 0)
    for x in np.arange(-6.5, 7, 2.6):
        box("stiffener", (0.14, 0.6, 16), p["hull"], at((x, 8.9, 5.0)), 0.03)
    box("step", (5.2, 1.9, 0.16), p["wood"], at((-5.2, 5.6, -0.2)), 0.04)
    for k in range(3):
        box("floor board", (1.4, 9.0, 0.22), p["wood"], at((5.0 + k * 1.45, 1.5 + rng.normal(0, 0.1), -0.3)), 0.05)
        box("floor board", (1.4, 8.0, 0.22), p["wood"], at((-5.0 - k * 1.45, -1.5 + rng.normal(0, 0.1), -0.3)), 0.05)


def bulkhead(p, rng):
    """Painted plate with stiffeners, seams, rust runs under bolts and a cable tray."""
    box("bulkhead", (16, 0.16, 18), p["bulkhead"], at((0, AFT - 0.08, 6.0)), 0)
    for x in (-6.6, -0.35, 2.9, 6.9):
        box("stiffener", (0.12, 0.42, 18), p["bulkhead"], at((x, AFT + 0.2, 6.0)), 0.03)
    box("seam", (16, 0.05, 0.12), p["bulkhead"], at((0, AFT + 0.02, 4.35)), 0.02)
    box("tray", (9.6, 0.5, 0.06), p["zinc"], at((-2.2, AFT + 0.3, 9.35)), 0.02)
    bolts([(-6.4 + i * 1.05, AFT + 0.02, 9.15) for i in range(9)], Y, p["bolt"], rng)
    for k in range(5):
        z = 9.5 + 0.12 * (k % 2)
        run = [(-6.9, AFT + 0.2 + k * 0.09, z), (-2 + rng.normal(0, 0.5), AFT + 0.2 + k * 0.09, z + 0.05), (2.4, AFT + 0.2 + k * 0.09, z)]
        sweep("tray cable", spline(run), rng.uniform(0.05, 0.1), p[["plastic", "cable GY", "cable RD", "cable BK", "hose grey"][k]], 10)
    for x, z in ((-5.9, 3.2), (4.6, 3.1), (0.9, 3.4)):
        turned("gland", [(0.34, 0), (0.34, 0.06), (0.26, 0.14), (0.2, 0.2)], p["rubber"], frame((x, AFT, z), Y), 24)
    sticker(p["sticker fuel"], 0.9, 0.52, frame((6.2, AFT, 8.1), Y, -X))


def deck(p, rng):
    """Deck underside with beams round the open hatch above the engine."""
    for s in (-1, 1):
        box("deck", (3.4, 22, 0.2), p["hull"], at((s * 6.6, -1.5, 13.2)), 0)
        box("coaming", (0.16, 12, 1.1), p["white paint"], at((s * 4.9, -1, 13.6)), 0.03)
        box("deck end", (10, 5.2, 0.2), p["hull"], at((0, -1 + s * 8.5, 13.2)), 0)
    for y in (-8, -6.8, 5.5, 7.2):
        box("beam", (16, 0.14, 0.7), p["hull"], at((0, y, 12.8)), 0.03)


def shaft(p, rng):
    """Propeller shaft, its coupling flange and the stern gland."""
    m = frame((0, -7.62, 1.7), -Y)
    turned("shaft flange", [(0.85, 0.0), (0.9, 0.03), (0.9, 0.2), (0.85, 0.24), (0.42, 0.28), (0.4, 0.9), (0.2, 0.95)], p["iron"], m, 40)
    for a in np.arange(6) * np.pi / 3:
        bolt(m @ at((0.66 * np.cos(a), 0.66 * np.sin(a), 0.23)), p["bolt"], 0.1, 0.1)
    cylinder("shaft", 0.2, 3, p["bright"], frame((0, -8.4, 1.7), -Y), 24)
    turned("gland", [(0.7, 0), (0.7, 0.2), (0.45, 0.25), (0.45, 0.7), (0.3, 0.75)], p["bronze"], frame((0, AFT, 1.7), Y), 28)


def build(p, rng):
    """Everything of the boat that stays."""
    for part in (bearers, shell, bulkhead, deck, shaft):
        part(p, rng)
