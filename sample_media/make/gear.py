"""Marine gear behind the flywheel housing: casing, oil cooler, shift lever, flange. Mounts too. Lengths in dm."""

import numpy as np

from .fittings import bolt, bolts, ring_of_bolts, sticker
from .hull import BEARER_TOP
from .shapes import X, Y, Z, at, box, cylinder, frame, gather, shift, turned

MOUNTS = {"37": (-2.75, 2.5), "38": (2.75, 2.5), "39": (-2.75, -4.6), "40": (2.75, -4.6)}  # x, y


def casing(p, rng):
    """Gear casing with ribs, cover, filler and output flange."""
    g, bo = p["grey paint"], p["bolt"]
    turned("adapter", [(1.5, 0), (1.6, 0.05), (1.6, 0.25), (1.3, 0.4)], g, frame((0, -4.28, 2.2), -Y), 44)
    ring_of_bolts(frame((0, -4.53, 2.2), -Y), 10, 1.48, bo, rng, 0.09)
    box("gear body", (2.3, 2.3, 2.2), g, at((0, -5.7, 2.25)), 0.3, 4)
    box("gear belly", (1.8, 2.0, 1.0), g, at((0, -5.7, 1.0)), 0.3, 4)
    box("gear cover", (1.7, 1.8, 0.22), g, at((0, -5.7, 3.42)), 0.08, 3)
    for s in (-1, 1):
        bolts([(s * 0.72, y, 3.54) for y in (-6.4, -5.7, -5.0)], Z, bo, rng, 0.08)
        for y in (-5.1, -5.7, -6.3):
            box("gear rib", (0.14, 0.14, 1.9), g, at((s * 1.15, y, 2.2)), 0.05)
    turned("output", [(1.0, 0), (0.95, 0.2), (0.7, 0.5), (0.62, 0.55)], g, frame((0, -6.8, 1.8), -Y), 36)
    m = frame((0, -7.35, 1.7), -Y)
    turned("gear flange", [(0.4, 0), (0.42, 0.04), (0.85, 0.06), (0.9, 0.09), (0.9, 0.24), (0.86, 0.26)], p["iron"], m, 40)
    turned("gear dipstick", [(0.14, 0), (0.14, 0.1), (0.09, 0.12), (0.09, 0.3), (0.16, 0.32), (0.16, 0.42)], p["red paint"], at((0.45, -6.35, 3.53)), 18)
    sticker(p["plate gear"], 0.95, 0.55, frame((0.1, -5.35, 3.54), Z, -X))


def shift_lever(p, rng):
    """Shift shaft on the gear's port side; the lever has two holes, the lower one in use."""
    turned("shift boss", [(0.3, 0), (0.3, 0.16), (0.2, 0.2), (0.12, 0.22), (0.12, 0.5)], p["cast"], frame((-1.12, -6.5, 3.05), -X), 24)
    m = frame((-1.5, -6.5, 3.05), -X, (0, 0.55, 0.85))
    box("shift lever", (1.0, 0.24, 0.09), p["zinc"], shift(m, 0.38), 0.03)
    for u in (0.5, 0.78):
        turned("hole", [(0.06, 0), (0.06, 0.05)], p["rubber"], shift(m, u, 0, 0.002), 14)
    bolt(shift(m, 0, 0, 0.05), p["bolt"], 0.11)


def oil_cooler(p, rng):
    """Gear oil cooler on the port side: a small tube with two nipples' seats on top."""
    m = frame((-2.05, -4.4, 3.6), -Y, X)
    turned("cooler", [(0.3, 0), (0.36, 0.03), (0.36, 0.12), (0.3, 0.16), (0.3, 1.24), (0.36, 1.28), (0.36, 1.38), (0.3, 1.42)], p["copper"], m, 30)
    for a in (0.25, 1.12):
        box("cooler strap", (0.74, 0.16, 0.74), p["iron"], m @ at((0, 0, a)), 0.05)
    box("cooler arm", (1.1, 0.2, 0.2), p["iron"], at((-1.5, -5.3, 3.35)), 0.05)


def mount(p, rng, tag):
    """One engine mount with its bracket; returns the loose groups of its two ends."""
    x, y = MOUNTS[tag]
    inward = -np.sign(x)
    box("mount foot", (1.05, 1.9, 0.12), p["zinc"], at((x, y, BEARER_TOP + 0.06)), 0.03)
    turned("mount rubber", [(0.62, 0), (0.64, 0.05), (0.5, 0.3), (0.46, 0.5)], p["rubber"], at((x, y, BEARER_TOP + 0.12)), 34)
    turned("mount cap", [(0.56, 0), (0.58, 0.03), (0.5, 0.22), (0.2, 0.26)], p["zinc"], at((x, y, BEARER_TOP + 0.58)), 34)
    threaded = [(0.13 - 0.012 * (i % 2), 0.0 + i * 0.03) for i in range(40)]
    turned("mount stud", threaded, p["steel"], at((x, y, BEARER_TOP + 0.8)), 18)
    turned("lower nut", [(0.24, 0), (0.24, 0.2)], p["bolt"], at((x, y, BEARER_TOP + 0.84)), 6)
    z = BEARER_TOP + 1.16
    reach = 1.75 if y > 0 else 1.5
    box("engine bracket", (reach, 0.95, 0.2), p["engine"], at((x + inward * (reach / 2 - 0.42), y, z)), 0.05)
    box("bracket web", (reach * 0.7, 0.16, 0.8), p["engine"], at((x + inward * (reach * 0.62), y, z + 0.4)), 0.05)
    box("bracket pad", (0.22, 1.2, 1.1), p["engine"], at((x + inward * (reach - 0.45), y, z + 0.35)), 0.05)
    bolts([(x + inward * (reach - 0.6), y + s * 0.42, z + 0.6) for s in (-1, 1)], X * -inward, p["bolt"], rng, 0.11)
    lags = [at((x, y + s * 0.74, BEARER_TOP + 0.12)) for s in (-1, 1)]
    upper, _ = gather(_upper_nut, p, rng, at((x, y, z + 0.1)))
    lower, _ = gather(lambda: [bolt(shift(m, turn=rng.uniform(0, 6)), p["bolt"], 0.15, 0.13) for m in lags])
    thick = {"37": 3, "38": 2, "39": 0, "40": 1}[tag]
    for i in range(thick):
        box("shim", (0.9, 0.5, 0.02), p["bright"], at((x + 0.02 * i, y + 0.05 * (i - 1), BEARER_TOP + 0.0 + 0.02 * i)), 0)
    return upper, lower


def _upper_nut(p, rng, m):
    """Spring washer and nut on top of the engine bracket."""
    turned("washer", [(0.3, 0), (0.3, 0.04)], p["zinc"], m, 26)
    turned("spring washer", [(0.23, 0.04), (0.23, 0.08)], p["steel"], m, 26)
    turned("upper nut", [(0.25, 0.08), (0.25, 0.28), (0.21, 0.3)], p["bolt"], shift(m, turn=rng.uniform(0, 3)), 6)


def build(p, rng):
    """The gear and the mounts; returns the groups that come off, by tag end."""
    casing(p, rng)
    shift_lever(p, rng)
    oil_cooler(p, rng)
    loose = {}
    for tag in MOUNTS:
        loose[tag + "A"], loose[tag + "B"] = mount(p, rng, tag)
    cylinder("breather", 0.09, 0.2, p["brass"], at((-0.45, -6.3, 3.53)), 14)
    return loose
