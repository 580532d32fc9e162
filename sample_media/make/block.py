"""The engine's body: block, sump, head, rocker cover, manifolds, flywheel housing. Lengths in dm."""

import numpy as np

from .fittings import bolt, bolts, ring_of_bolts, sticker
from .shapes import X, Y, Z, at, box, cylinder, frame, plate, shift, turned
from .tubes import spline, sweep

CYLINDERS = (2.35, 0.78, -0.78, -2.35)  # y of each, number 1 at the belt end
TOP = 6.34  # top of the rocker cover


def crankcase(p, rng):
    """Block with ribs, core plugs, sump with its flange and drain."""
    eng, bo = p["engine"], p["bolt"]
    box("block", (2.5, 6.4, 2.4), eng, at((0, 0, 3.4)), 0.1)
    box("skirt", (2.9, 6.4, 1.2), eng, at((0, 0, 1.85)), 0.14, 3)
    box("deck rail", (2.7, 6.5, 0.22), eng, at((0, 0, 4.5)), 0.05)
    box("sump rail", (3.1, 6.5, 0.2), eng, at((0, 0, 1.25)), 0.05)
    box("sump", (2.5, 6.0, 1.1), p["engine2"], at((0, 0, 0.62)), 0.28, 4)
    turned("drain", [(0.2, 0), (0.2, 0.1), (0.13, 0.12), (0.13, 0.22)], p["brass"], frame((0.6, -2.4, 0.08), -Z), 6)
    for s in (-1, 1):
        bolts([(s * 1.42, y, 1.14) for y in np.arange(-2.9, 3.0, 0.58)], -Z, bo, rng, 0.07)
        for y in (-3.0, -1.55, 0, 1.55, 3.0):
            box("rib", (0.16, 0.2, 2.2), eng, at((s * 1.28, y, 3.3)), 0.06)
        for y in CYLINDERS:
            turned("core plug", [(0.36, 0), (0.36, 0.05), (0.3, 0.07), (0.27, 0.02)], p["engine2"], frame((s * 1.24, y, 3.4), X * s), 26)
        box("gallery", (0.3, 5.6, 0.3), eng, at((s * 1.35, 0, 2.55)), 0.12, 3)
        bolts([(s * 1.5, y, 2.55) for y in (-2.0, 0.1, 2.3)], X * s, bo, rng, 0.1)
    sticker(p["plate"], 1.1, 0.62, frame((-1.27, 2.1, 4.05), -X, -Y))


def head(p, rng):
    """Cylinder head with its bolts, and the ribbed rocker cover with the oil cap."""
    eng, bo = p["engine"], p["bolt"]
    box("gasket", (2.42, 6.34, 0.05), p["copper"], at((0, 0, 4.62)), 0)
    box("head", (2.3, 6.3, 0.95), eng, at((0, 0, 5.1)), 0.08)
    box("cover rail", (1.75, 6.0, 0.14), p["engine2"], at((0, 0, 5.64)), 0.04)
    box("cover", (1.6, 5.85, 0.7), p["engine2"], at((0, 0, 5.98)), 0.26, 4)
    for x in (-0.42, -0.14, 0.14, 0.42):
        box("cover rib", (0.07, 4.9, 0.06), p["engine2"], at((x, -0.1, TOP)), 0.025)
    for s in (-1, 1):
        for i, y in enumerate(np.linspace(-2.85, 2.85, 7)):
            bolt(shift(frame((s * 1.0, y, 5.57), Z), turn=rng.uniform(0, 6)), bo, 0.12, 0.12)
            if i % 2 == 0:
                bolt(shift(frame((s * 0.83, y * 0.97, 5.71), Z), turn=rng.uniform(0, 6)), p["steel"], 0.075)
    turned("oil cap", [(0.36, 0), (0.4, 0.05), (0.4, 0.2), (0.34, 0.27), (0.1, 0.28)], p["plastic"], at((0, 2.15, TOP)), 14)
    box("cap grip", (0.62, 0.12, 0.14), p["plastic"], at((0, 2.15, TOP + 0.3)), 0.04)
    sticker(p["sticker hot"], 0.62, 0.36, frame((0.0, 0.9, TOP + 0.035), Z, X))
    for y, k in ((3.22, 1), (-3.22, -1)):
        lifting_eye(p, frame((0.55 * k, y, 5.25), Y * k, X))


def lifting_eye(p, m):
    """Plate with a hole at the head's end; z of m faces outward."""
    ring = [(0.3 * np.cos(a), 0.95 + 0.3 * np.sin(a)) for a in np.linspace(0, np.pi, 9)]
    plate("lifting eye", [(0.34, -0.35), *ring, (-0.34, -0.35)], 0.14, p["steel"], shift(m, turn=0))
    turned("eye hole", [(0.15, 0), (0.15, 0.16)], p["rubber"], m @ at((0, 0.95, -0.005)), 20)
    for x in (-0.17, 0.17):
        bolt(m @ at((x, -0.15, 0.14)), p["bolt"], 0.1)


def inlet(p, rng):
    """Inlet manifold on the port side and the charge pipe that feeds it round the back of the head."""
    box("inlet", (0.66, 5.4, 0.66), p["cast"], at((-1.72, 0, 5.02)), 0.2, 3)
    for y in CYLINDERS:
        box("runner", (0.6, 0.72, 0.5), p["cast"], at((-1.3, y, 5.0)), 0.12, 3)
        box("port flange", (0.12, 1.05, 0.66), p["cast"], at((-1.2, y, 5.0)), 0.04)
        bolts([(-1.27, y + s * 0.43, 5.0) for s in (-1, 1)], -X, p["bolt"], rng, 0.08)
    pipe = [(1.3, -3.55, 5.35), (0.7, -3.72, 5.6), (-0.6, -3.78, 5.7), (-1.4, -3.55, 5.4), (-1.72, -3.0, 5.05), (-1.72, -2.6, 5.02)]
    sweep("charge pipe", spline(pipe), 0.27, p["cast"], 20)
    sweep("charge hose", spline(pipe)[-12:-5], 0.32, p["hose blue"], 20)


def manifold(p, rng):
    """Water-cooled exhaust manifold on the starboard side."""
    box("manifold", (0.8, 5.6, 0.8), p["engine"], at((1.7, 0.1, 5.0)), 0.24, 3)
    for y in CYLINDERS:
        box("branch", (0.45, 0.7, 0.55), p["engine"], at((1.3, y, 5.0)), 0.1)
        bolts([(1.27, y + s * 0.5, 5.25) for s in (-1, 1)], X, p["bolt"], rng, 0.09)
    for y in (-1.5, 0.1, 1.6):
        turned("cover", [(0.26, 0), (0.26, 0.06), (0.2, 0.08)], p["engine2"], frame((2.1, y, 5.0), X), 24)
        bolts([(2.12, y + s * 0.33, 5.0) for s in (-1, 1)], X, p["bolt"], rng, 0.06)


def bell(p, rng):
    """Flywheel housing, and the feet that carry the rear mounts."""
    m = frame((0, -3.2, 2.25), -Y)
    turned("bell", [(1.95, 0), (2.05, 0.06), (2.05, 0.22), (1.9, 0.3), (1.8, 0.85), (1.85, 0.9), (1.85, 1.08), (1.5, 1.1)], p["engine"], m, 56)
    ring_of_bolts(m @ at((0, 0, 1.08)), 12, 1.68, p["bolt"], rng, 0.1)
    ring_of_bolts(frame((0, -3.2, 2.25), Y) @ at((0, 0, 0.01)), 10, 1.92, p["bolt"], rng, 0.1, 0.2)
    cylinder("dipstick tube", 0.07, 2.2, p["steel"], frame((1.36, 0.9, 2.6), (0.12, 0, 1)), 12)
    turned("dipstick", [(0.1, 0), (0.12, 0.05), (0.12, 0.2), (0.05, 0.24)], p["red paint"], frame((1.63, 0.9, 4.8), (0.12, 0, 1)), 12)


def build(p, rng):
    """Everything of the engine's body that stays."""
    for part in (crankcase, head, inlet, manifold, bell):
        part(p, rng)
