"""Along the sides: starter, injection pump and its pipes, heat exchanger, turbo and elbow, oil filter, air filter."""

import numpy as np
from mathutils import Vector

from .block import CYLINDERS
from .fittings import bolt, bolts, hose_clamp, ring_of_bolts
from .shapes import X, Y, Z, at, box, cylinder, frame, gather, shift, turned
from .tubes import spline, sweep

PUMP_X, PUMP_Z = -2.0, 3.3  # injection pump's middle line


def starter(p, rng):
    """Starter low on the port side, its solenoid above it; the studs look forward."""
    m = frame((-1.95, -0.85, 1.85), -Y, X)
    turned("starter", [(0.2, -0.05), (0.46, 0), (0.5, 0.06), (0.5, 1.55), (0.46, 1.6), (0.46, 1.7), (0.56, 1.75), (0.56, 2.3)], p["grey paint"], m, 40)
    for a in (0.8, 3.9):
        cylinder("through bolt", 0.045, 1.6, p["bolt"], shift(m, 0.52 * np.cos(a), 0.52 * np.sin(a), 0.05), 10)
    turned("solenoid", [(0.26, 0), (0.3, 0.03), (0.3, 1.15), (0.24, 1.2)], p["grey paint"], frame((-2.25, -1.15, 2.65), -Y), 32)
    turned("solenoid cap", [(0.26, -0.2), (0.29, -0.17), (0.29, 0.02)], p["plastic"], frame((-2.25, -1.15, 2.65), -Y), 32)
    box("flange", (1.35, 0.2, 1.2), p["grey paint"], at((-1.9, -3.1, 1.95)), 0.06)
    bolts([(-2.4, -3.0, 1.6), (-1.5, -3.0, 2.4)], Y, p["bolt"], rng, 0.12)
    box("link", (0.1, 0.3, 0.05), p["copper"], at((-2.1, -1.0, 2.3)), 0.01)


def injection_pump(p, rng):
    """In-line injection pump with governor, levers, lift pump and the pipes to the injectors."""
    x, z = PUMP_X, PUMP_Z
    box("pump bed", (1.1, 2.6, 0.2), p["engine"], at((x + 0.3, 0.9, z - 0.62)), 0.05)
    box("pump body", (0.72, 2.0, 1.0), p["cast"], at((x, 0.95, z)), 0.1, 3)
    box("pump window", (0.06, 1.5, 0.5), p["steel"], at((x - 0.37, 0.95, z - 0.1)), 0.03)
    bolts([(x - 0.4, y, z + dz) for y in (0.3, 1.6) for dz in (-0.3, 0.1)], -X, p["bolt"], rng, 0.055)
    turned("governor", [(0.66, 0), (0.68, 0.05), (0.68, 0.7), (0.5, 0.86), (0.3, 0.9)], p["cast"], frame((x, -0.02, z - 0.02), -Y), 34)
    ring_of_bolts(frame((x, -0.72, z - 0.02), -Y), 6, 0.6, p["bolt"], rng, 0.055)
    turned("limiter", [(0.36, 0), (0.4, 0.03), (0.4, 0.2), (0.3, 0.34), (0.12, 0.4)], p["cast"], at((x, -0.35, z + 0.6)), 30)
    turned("drive", [(0.62, 0), (0.62, 0.5), (0.75, 0.55), (0.75, 1.2)], p["engine"], frame((x + 0.1, 1.95, z), Y), 34)
    for i, cyl in enumerate(CYLINDERS):
        y = 1.62 - i * 0.44
        turned("delivery valve", [(0.15, 0), (0.15, 0.2), (0.1, 0.22), (0.1, 0.36)], p["steel"], at((x, y, z + 0.5)), 6)
        injector(p, rng, (x, y, z + 0.86), cyl, i)
    leak = [(-0.62, y + s * 0.14, 5.98) for y in CYLINDERS for s in (1, -1)]
    for a, b in zip(leak[1::2], leak[2::2], strict=False):
        mid = ((a[0] + b[0]) / 2 + rng.normal(0, 0.04), (a[1] + b[1]) / 2, 6.12)
        sweep("leak-off", spline([a, mid, b]), 0.035, p["hose"], 10)
    turned("lift pump", [(0.34, 0), (0.34, 0.2), (0.42, 0.24), (0.42, 0.34), (0.25, 0.5)], p["cast"], frame((-1.45, 2.55, 2.35), -X), 28)
    bolts([(-1.62, 2.55, 2.35 + s * 0.42) for s in (-1, 1)], -X, p["bolt"], rng, 0.08)


def injector(p, rng, start, cyl, i):
    """One injector in the head and the steel pipe from the pump to it."""
    m = frame((-0.92, cyl, 5.55), (-0.22, 0, 1))
    turned("injector", [(0.15, 0), (0.15, 0.2), (0.11, 0.22), (0.11, 0.4), (0.14, 0.42), (0.14, 0.52), (0.06, 0.54)], p["steel"], m, 16)
    box("injector clamp", (0.2, 0.62, 0.08), p["bolt"], m @ at((0, 0, 0.16)), 0.02)
    bolt(m @ at((0, 0.24, 0.2)), p["bolt"], 0.07)
    sx, sy, sz = start
    top = m @ Vector((-0.1, 0, 0.42))
    bend = 0.12 * (i - 1.5)
    way = [start, (sx, sy, sz + 0.3), (sx - 0.35 + bend * 0.3, sy + bend, sz + 0.75), (-2.3, (sy + cyl) / 2, 5.0 + bend * 0.8),
           (-2.2, cyl * 0.9 + sy * 0.1, 5.75), (-1.7, cyl, 6.08), (-1.25, cyl, 6.02), top]
    path = spline(way, smooth=4)
    sweep("injector pipe", path, 0.036, p["steel"], 10)
    for k in (3, len(path) - 4):
        d = Vector(path[k + 1] - path[k - 1])
        turned("pipe nut", [(0.1, -0.14), (0.1, 0.1), (0.06, 0.14)], p["bolt"], frame(path[k], d if k < 9 else -d), 6)


def heat_exchanger(p, rng):
    """Heat exchanger and header along the starboard side: end caps, filler neck, saddles."""
    m = frame((2.35, 2.6, 6.2), -Y, X)
    turned("shell", [(0.6, 0), (0.62, 0.04), (0.62, 4.7), (0.6, 4.74)], p["engine2"], m, 44)
    for a, k in ((0.0, -1), (4.74, 1)):
        q = m @ at((0, 0, a)) if k > 0 else m @ frame((0, 0, a), (0, 0, -1), (1, 0, 0))
        turned("end cap", [(0.68, 0), (0.7, 0.03), (0.7, 0.14), (0.6, 0.2), (0.56, 0.34), (0.4, 0.42)], p["bronze"], q, 40)
        ring_of_bolts(q @ at((0, 0, 0.14)), 6, 0.62, p["brass"], rng, 0.06, 0.3)
    for y in (1.9, -1.4):
        box("saddle", (0.9, 0.3, 0.5), p["engine"], at((2.1, y, 5.55)), 0.06)
        turned("strap", [(0.63, -0.1), (0.66, -0.1), (0.66, 0.1), (0.63, 0.1)], p["stainless"], frame((2.35, y, 6.2), Y), 40, cap=False)
    turned("neck", [(0.36, 0), (0.34, 0.4), (0.44, 0.42), (0.44, 0.5)], p["engine2"], at((2.35, 1.45, 6.7)), 28)
    turned("pressure cap", [(0.5, 0.5), (0.52, 0.54), (0.52, 0.62), (0.4, 0.7), (0.2, 0.74)], p["zinc"], at((2.35, 1.45, 6.7)), 28)
    for s in (-1, 1):
        box("cap ear", (0.2, 0.26, 0.06), p["zinc"], at((2.35 + s * 0.56, 1.45, 7.26)), 0.02)
    feed = spline([(2.1, 3.0, 4.25), (2.35, 3.05, 4.7), (2.75, 3.3, 5.2), (2.8, 3.5, 5.8), (2.6, 3.35, 6.15), (2.35, 3.0, 6.2)])
    sweep("pump hose", feed, 0.27, p["hose 32"], 22)
    for k in (4, len(feed) - 5):
        hose_clamp(frame(feed[k], Vector(feed[k + 1] - feed[k])), 0.27, p["stainless"], 0.6)


def turbo(p, rng):
    """Turbocharger at the aft end of the exhaust manifold; the outlet flange looks aft."""
    turned("turbine", [(0.3, -0.2), (0.62, -0.18), (0.72, 0), (0.62, 0.3), (0.4, 0.36), (0.36, 0.56), (0.52, 0.58), (0.52, 0.68)], p["exhaust"], frame((1.9, -3.2, 5.15), -Y), 36)
    turned("compressor", [(0.3, 0), (0.66, 0.03), (0.78, 0.2), (0.7, 0.42), (0.42, 0.5), (0.4, 0.8)], p["cast"], frame((1.9, -2.95, 5.75), (-0.35, 0, 1)), 36)
    box("turbo foot", (0.7, 0.7, 0.5), p["exhaust"], at((1.75, -2.85, 5.0)), 0.1)
    box("centre", (0.5, 0.5, 0.6), p["iron"], at((1.9, -3.0, 5.5)), 0.1)
    oil = spline([(2.1, -2.9, 5.6), (2.6, -2.6, 5.2), (2.5, -2.4, 4.0), (1.5, -2.3, 3.6)])
    sweep("turbo oil pipe", oil, 0.05, p["copper"], 10)


def elbow(p, rng):
    """Water-cooled exhaust elbow; returns its flange nuts as a group that can come off."""
    path = spline([(1.9, -3.88, 5.15), (1.9, -4.3, 5.2), (2.05, -4.9, 5.1), (2.4, -5.5, 4.5), (2.65, -5.8, 3.95)], 0.08)
    sweep("elbow", path, 0.44, p["exhaust"], 30)
    turned("elbow flange", [(0.6, 0), (0.62, 0.03), (0.62, 0.18), (0.55, 0.22)], p["exhaust"], frame((1.9, -3.88, 5.15), -Y), 30)
    turned("jacket", [(0.52, -0.3), (0.57, -0.26), (0.57, 0.4), (0.5, 0.46)], p["exhaust"], frame(path[len(path) // 2], Vector(path[-1] - path[len(path) // 2])), 30)
    nuts, _ = gather(ring_of_bolts, frame((1.9, -4.06, 5.15), -Y), 4, 0.52, p["copper"], rng, 0.085, 0.78)
    for i in range(4):
        a = 0.78 + i * np.pi / 2
        cylinder("stud", 0.045, 0.36, p["bolt"], frame((1.9 - 0.52 * np.cos(a), -3.9, 5.15 + 0.52 * np.sin(a)), -Y), 10)
    return nuts


def oil_filter(p, rng):
    """Oil filter head and can, starboard, with the senders' hex bodies near it."""
    box("filter head", (0.9, 0.95, 0.6), p["cast"], at((1.75, -1.35, 3.35)), 0.14, 3)
    bolts([(1.95, -1.35 + s * 0.6, 3.4) for s in (-1, 1)], X, p["bolt"], rng, 0.09)
    turned("filter can", [(0.42, 0), (0.48, 0.03), (0.48, 1.3), (0.42, 1.4), (0.2, 1.44)], p["filter white"], frame((1.85, -1.35, 3.05), -Z), 36)
    turned("filter band", [(0.485, 0.35), (0.485, 0.75)], p["blue paint"], frame((1.85, -1.35, 3.05), -Z), 36, cap=False)
    for k in range(10):
        a = k * np.pi / 5
        box("flute", (0.03, 0.06, 0.2), p["filter white"], frame((1.85 + 0.47 * np.cos(a), -1.35 + 0.47 * np.sin(a), 1.72), Z), 0.01)


def air_filter(p, rng):
    """Air filter can over the flywheel housing and its elbow to the compressor."""
    m = frame((0.25, -3.95, 7.2), -Y, X)
    turned("air can", [(0.72, 0), (0.82, 0.05), (0.82, 1.5), (0.86, 1.52), (0.86, 1.62), (0.8, 1.68), (0.55, 1.72), (0.2, 1.72)], p["white paint"], m, 48)
    turned("band", [(0.83, 0.5), (0.86, 0.5), (0.86, 0.62), (0.83, 0.62)], p["zinc"], m, 48, cap=False)
    for a in (0.3, 2.4, 4.5):
        box("latch", (0.05, 0.14, 0.3), p["zinc"], m @ frame((0.88 * np.cos(a), 0.88 * np.sin(a), 1.5), (0, 0, 1), (np.cos(a), np.sin(a), 0)), 0.015)
    turned("wing nut", [(0.1, 1.72), (0.1, 1.84), (0.05, 1.86)], p["zinc"], m, 12)
    duct = spline([(0.6, -3.95, 7.2), (0.8, -3.5, 7.2), (1.2, -3.1, 7.0), (1.55, -2.95, 6.75), (1.62, -2.95, 6.45)])
    sweep("air duct", duct, 0.4, p["rubber"], 26, rings=(0.2, 0.05))
    hose_clamp(frame(duct[-4], Vector(duct[-1] - duct[-4])), 0.41, p["stainless"], 2.0)
    box("air stay", (0.1, 0.5, 2.1), p["iron"], at((0.25, -4.5, 5.5)), 0.03)
    box("air stay", (0.1, 0.5, 2.3), p["iron"], at((-0.35, -4.4, 5.5)), 0.03)


def build(p, rng):
    """Everything along the sides; returns the groups that come off, by tag."""
    for part in (starter, injection_pump, heat_exchanger, turbo, oil_filter, air_filter):
        part(p, rng)
    return {"45A": elbow(p, rng)}
