"""The belt end: cover, pulleys, belts, alternator and its bracket, raw-water pump, thermostat. Lengths in dm."""

import numpy as np
from mathutils import Vector

from .fittings import bolt, bolts, ring_of_bolts, sticker
from .shapes import X, Y, Z, at, box, cylinder, frame, gather, plate, shift, turned
from .tubes import band, spline, sweep

CRANK, PUMP, ALTERNATOR, RAW = (0.0, 2.2, 0.92), (0.05, 4.35, 0.72), (-2.25, 4.5, 0.4), (1.95, 3.35, 0.55)  # x, z, radius


def cover(p, rng):
    """Timing cover with its bolts, front plate and the engine's water pump."""
    outline = [(-1.35, 1.3), (-0.9, 0.9), (0.9, 0.9), (1.35, 1.3), (1.45, 4.0), (0.95, 4.9), (-0.95, 4.9), (-1.45, 4.0)]
    m = frame((0, 3.2, 0), Y, X)
    plate("timing cover", [(-x, z) for x, z in outline][::-1], 0.38, p["engine"], frame((0, 3.2, 0), Y, -X), 0.08)
    for x, z in outline:
        bolt(shift(frame((x * 0.92, 3.58, 0.12 + z * 0.96), Y), turn=rng.uniform(0, 6)), p["bolt"], 0.09)
    turned("seal", [(0.55, 0), (0.55, 0.14), (0.4, 0.16)], p["engine2"], frame((0, 3.58, 2.2), Y), 30)
    turned("water pump", [(0.85, 0), (0.85, 0.12), (0.55, 0.2), (0.42, 0.4)], p["engine2"], frame((0.05, 3.56, 4.35), Y), 32)
    ring_of_bolts(frame((0.05, 3.7, 4.35), Y), 5, 0.7, p["bolt"], rng, 0.075)
    return m


def pulley(p, x, z, r, y0, grooves, hub_bolts, rng):
    """V-belt pulley facing forward; y0 is the middle of its first groove, further grooves lie forward of it."""
    prof, pitch = [(r * 0.3, -0.12), (r, -0.1)], 0.15
    for g in range(grooves):
        mid = g * pitch
        prof += [(r, mid - 0.065), (r * 0.86 if r > 0.5 else r - 0.09, mid - 0.02), (r * 0.86 if r > 0.5 else r - 0.09, mid + 0.02), (r, mid + 0.065)]
    end = (grooves - 1) * pitch + 0.1
    prof += [(r, end), (r * 0.88, end), (r * 0.8, end - 0.1), (r * 0.45, end - 0.12), (r * 0.4, end + 0.02), (r * 0.15, end + 0.02)]
    m = frame((x, y0, z), Y, X)
    turned("pulley", prof, p["steel"], m, 48)
    if hub_bolts:
        ring_of_bolts(shift(m, z=end + 0.015), hub_bolts, r * 0.3, p["bolt"], rng, 0.06)
    turned("hub nut", [(0.15, 0), (0.15, 0.14), (0.12, 0.16)], p["bolt"], shift(m, z=end + 0.02), 6)


def loop(circles, y, step=0.06):
    """Path of a belt round circles (x, z, r) listed clockwise as seen from the bow."""
    pts, n = [], len(circles)
    centre = np.mean([(x, z) for x, z, _ in circles], 0)
    for i in range(n):
        x, z, r = circles[i]
        before, after = np.array(circles[i - 1][:2]), np.array(circles[(i + 1) % n][:2])
        here = np.array((x, z))
        a0, a1 = (_outward(before, here, centre), _outward(here, after, centre))
        turn = (a1 - a0 + np.pi) % (2 * np.pi) - np.pi
        pts += [(x + r * np.cos(a0 + turn * t), y, z + r * np.sin(a0 + turn * t)) for t in np.linspace(0, 1, 14)]
    p = np.array([*pts, pts[0]])
    s = np.r_[0, np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))]
    u = np.linspace(0, s[-1], int(s[-1] / step))[:-1]
    return np.stack([np.interp(u, s, p[:, j]) for j in range(3)], 1)


def _outward(a, b, centre):
    """Angle of the belt's outside normal on the run from pulley a to pulley b."""
    d = b - a
    n = np.array((-d[1], d[0]))
    if n.dot((a + b) / 2 - centre) < 0:
        n = -n
    return np.arctan2(n[1], n[0])


def belts(p, rng):
    """The pair of alternator belts, and the raw-water belt; each as a group that can come off."""
    three = [(*CRANK[:2], CRANK[2] * 0.95), (*RAWLESS, PUMP[2] * 0.95), (*ALTERNATOR[:2], ALTERNATOR[2] * 0.92)]
    pair, _ = gather(lambda: [band("belt", loop(three, y), 0.05, 0.11, p["rubber"]) for y in (4.12, 4.27)])
    two = [(*CRANK[:2], CRANK[2] * 0.95), (*RAW[:2], RAW[2] * 0.94)]
    raw, _ = gather(lambda: [band("belt", loop(two, 3.92), 0.05, 0.11, p["rubber"])])
    return pair, raw


RAWLESS = PUMP[:2]


def alternator(p, rng):
    """Alternator on its lower bracket; the slotted adjusting bracket is a group that can come off."""
    x, z, _ = ALTERNATOR
    m = frame((x, 3.9, z), -Y, X)
    turned("alternator", [(0.3, 0), (0.66, 0.04), (0.74, 0.12), (0.74, 0.5), (0.7, 0.54), (0.7, 0.84), (0.74, 0.88), (0.74, 1.25), (0.6, 1.42), (0.3, 1.46)], p["cast"], m, 44)
    for a in np.arange(16) * np.pi / 8:
        for zz in (0.3, 1.06):
            box("vent", (0.05, 0.09, 0.26), p["plastic"], m @ frame((0.735 * np.cos(a), 0.735 * np.sin(a), zz), (0, 0, 1), (np.cos(a), np.sin(a), 0)), 0)
    for a in (0.4, 1.97, 3.54, 5.1):
        cylinder("through bolt", 0.05, 1.3, p["bolt"], shift(m, 0.7 * np.cos(a), 0.7 * np.sin(a), 0.06), 10)
    for y in (3.6, 2.75):
        box("ear", (0.34, 0.2, 0.75), p["cast"], at((x + 0.12, y, z - 0.85)), 0.06)
    box("alt bracket", (1.0, 1.25, 0.2), p["iron"], at((x + 0.55, 3.2, z - 1.28)), 0.05)
    box("alt bracket", (0.22, 1.25, 0.8), p["iron"], at((-1.28, 3.1, z - 1.0)), 0.05)
    bolts([(-1.42, y, z - 1.0) for y in (2.7, 3.5)], -X, p["bolt"], rng, 0.1)
    cylinder("pivot", 0.08, 1.5, p["bolt"], frame((x + 0.12, 3.95, z - 1.12), -Y), 12)
    box("rear cover", (0.95, 0.16, 0.8), p["plastic"], at((x, 2.4, z + 0.02)), 0.06)
    return gather(adjuster, p, rng, x, z)[0]


def adjuster(p, rng, x, z):
    """Slotted strap from the front cover to the alternator's upper ear."""
    a, b = Vector((-0.85, 3.62, 4.95)), Vector((x + 0.2, 3.62, z + 0.95))
    m = frame((a + b) / 2, Y, b - a)
    half = (b - a).length / 2 + 0.12
    plate("adjuster", [(half, 0.14), (-half, 0.17), (-half - 0.1, 0), (-half, -0.17), (half, -0.14), (half + 0.1, 0)], 0.09, p["zinc"], m)
    box("slot", (half * 1.1, 0.1, 0.02), p["rubber"], shift(m, half * 0.3, 0, 0.095), 0)
    for u in (-half + 0.1, half * 0.55):
        bolt(shift(m, u, 0, 0.1, rng.uniform(0, 6)), p["bolt"], 0.11, 0.09)


def raw_pump(p, rng):
    """Raw-water pump on the starboard front: body, cover plate with screws, bracket."""
    x, z, _ = RAW
    m = frame((x, 3.72, z), -Y, X)
    turned("pump neck", [(0.3, 0), (0.3, 0.3), (0.4, 0.35), (0.62, 0.38), (0.62, 1.0), (0.6, 1.02)], p["bronze"], m, 36)
    turned("pump cover", [(0.62, 1.02), (0.62, 1.1), (0.6, 1.11)], p["brass"], m, 36)
    ring_of_bolts(frame((x, 2.6, z), -Y), 6, 0.52, p["brass"], rng, 0.05)
    box("pump bracket", (0.7, 0.22, 1.1), p["iron"], at((1.5, 3.35, z - 0.1)), 0.05)
    bolts([(1.45, 3.47, z + s * 0.42) for s in (-1, 1)], Y, p["bolt"], rng, 0.09)
    turned("outlet", [(0.3, 0.4), (0.3, 0.62), (0.21, 0.64), (0.21, 0.95)], p["bronze"], frame((x, 3.0, z), (0.25, 0, 1)), 22)


def thermostat(p, rng):
    """Thermostat housing at the front of the head, its top hose to the heat exchanger."""
    box("thermostat", (1.15, 0.85, 0.75), p["cast"], at((0.45, 3.55, 5.25)), 0.16, 3)
    turned("thermostat cap", [(0.5, 0), (0.5, 0.12), (0.36, 0.25), (0.3, 0.5)], p["cast"], at((0.45, 3.6, 5.62)), 30)
    bolts([(0.45 + s * 0.44, 3.6, 5.74) for s in (-1, 1)], Z, p["bolt"], rng, 0.08)
    top = spline([(0.45, 3.6, 5.98), (0.45, 3.62, 6.5), (0.9, 3.6, 6.85), (1.7, 3.3, 6.75), (2.3, 3.05, 6.5), (2.35, 2.7, 6.35)])
    sweep("top hose", top, 0.3, p["hose 32"], 22)
    bypass = spline([(0.2, 3.95, 5.1), (0.15, 4.15, 5.0), (0.1, 4.0, 4.9)])
    sweep("bypass", bypass, 0.16, p["hose"], 14)


def build(p, rng):
    """Everything at the belt end; returns the groups that come off, by tag."""
    cover(p, rng)
    pulley(p, *CRANK, 3.92, 3, 4, rng)
    pulley(p, *PUMP, 4.12, 2, 4, rng)
    pulley(p, *ALTERNATOR, 4.12, 2, 0, rng)
    pulley(p, *RAW, 3.92, 1, 3, rng)
    strap = alternator(p, rng)
    raw_pump(p, rng)
    thermostat(p, rng)
    pair, raw = belts(p, rng)
    sticker(p["sticker belt"], 0.7, 0.42, frame((-0.35, 3.6, 3.25), Y, -X))
    return {"42A": strap, "43": pair, "44": raw}
