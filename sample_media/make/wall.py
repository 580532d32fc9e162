"""What hangs on the engine-room bulkhead: switch, relays, plug, pipes, loop, filter, bottle. Lengths in dm."""

from mathutils import Vector

from .fittings import bolt, bolts, hose_clamp, sticker
from .hull import AFT
from .shapes import X, Y, at, box, cylinder, frame, shift, turned
from .tubes import spline, sweep

W = AFT + 0.02  # y of things that lie on the plate


def isolator(p, rng):
    """Main switch on a board: red body, key, two studs at its foot."""
    box("board", (2.0, 0.16, 2.2), p["wood"], at((-4.7, W + 0.08, 5.9)), 0.04)
    m = frame((-4.7, W + 0.16, 6.1), Y, -X)
    box("switch body", (1.15, 1.15, 0.5), p["red paint"], shift(m, z=0.25), 0.1, 3)
    turned("switch collar", [(0.4, 0.5), (0.4, 0.62), (0.3, 0.64)], p["plastic"], m, 30)
    box("key", (0.16, 0.75, 0.3), p["red paint"], shift(m, z=0.78, turn=0.5), 0.05)
    bolts([(-4.7 + s * 0.85, W + 0.17, 5.9 + t * 0.95) for s in (-1, 1) for t in (-1, 1)], Y, p["bolt"], rng, 0.07)
    sticker(p["plate switch"], 0.85, 0.4, frame((-4.7, W + 0.17, 6.82), Y, -X))
    return m


def relays(p, rng):
    """Glow relay and slave relay, side by side under a rail with fuse holders."""
    box("relay plate", (2.9, 0.08, 1.5), p["zinc"], at((-2.05, W + 0.04, 7.5)), 0.02)
    for x, mat in ((-2.75, "plastic"), (-1.4, "plug grey")):
        box("relay", (0.62, 0.62, 0.8), p[mat], at((x, W + 0.4, 7.75)), 0.06, 3)
        box("relay tongue", (0.3, 0.05, 0.4), p["zinc"], at((x, W + 0.1, 8.28)), 0.01)
        bolt(frame((x, W + 0.13, 8.36), Y), p["bolt"], 0.08)
        box("relay foot", (0.56, 0.5, 0.1), p["plastic"], at((x, W + 0.4, 7.3)), 0.03)
    for i in range(4):
        box("fuse", (0.16, 0.3, 0.34), p[["cable RD", "cable BU", "cable YE", "cable BU"][i]], at((-0.95 + i * 0.2, W + 0.23, 7.0)), 0.03)
    bolts([(-3.35, W + 0.09, 6.9), (-0.75, W + 0.09, 8.1)], Y, p["bolt"], rng, 0.07)


def panel_plug(p, rng):
    """Round flange that holds the panel half of the main plug."""
    box("plug plate", (1.1, 0.07, 1.1), p["zinc"], at((-3.1, W + 0.03, 5.5)), 0.02)
    bolts([(-3.1 + s * 0.42, W + 0.07, 5.5 + t * 0.42) for s in (-1, 1) for t in (-1, 1)], Y, p["bolt"], rng, 0.06)


def heater_pipes(p, rng):
    """Two heater pipes through the bulkhead, one above the other; the lower one is in use too."""
    for z in (7.6, 6.8):
        turned("pipe flange", [(0.34, 0), (0.34, 0.06), (0.24, 0.1)], p["brass"], frame((-6.0, W, z), Y), 24)
        turned("pipe", [(0.11, 0), (0.11, 0.16)], p["copper"], frame((-6.0, W, z), Y), 18)
    back = spline([(-6.0, W + 0.3, 6.8), (-6.0, W + 0.9, 6.75), (-6.3, W + 1.1, 6.2), (-6.6, W + 0.6, 5.0), (-6.9, W + 0.4, 3.0)])
    sweep("heater return", back, 0.14, p["hose 19"], 16)
    hose_clamp(frame(back[3], Vector(back[4] - back[3])), 0.14, p["stainless"], 1.0)


def vented_loop(p, rng):
    """Bronze U with a valve on top, held by two saddles; its legs end in nipples."""
    bend = spline([(0.75, W + 0.42, 7.0), (0.75, W + 0.42, 8.0), (0.85, W + 0.42, 8.5), (1.25, W + 0.42, 8.78), (1.65, W + 0.42, 8.5), (1.75, W + 0.42, 8.0), (1.75, W + 0.42, 7.0)], 0.07)
    sweep("loop", bend, 0.17, p["bronze"], 24)
    turned("valve", [(0.14, 0), (0.14, 0.14), (0.24, 0.16), (0.24, 0.36), (0.16, 0.42)], p["bronze"], at((1.25, W + 0.42, 8.92)), 8)
    for z in (8.05, 7.35):
        box("saddle bar", (1.6, 0.12, 0.24), p["bronze"], at((1.25, W + 0.2, z)), 0.03)
        bolts([(1.25 + s * 0.28, W + 0.26, z) for s in (-1, 1)], Y, p["stainless"], rng, 0.07)
        box("saddle block", (1.5, 0.24, 0.2), p["wood"], at((1.25, W + 0.1, z)), 0.03)


def fuel_filter(p, rng):
    """Primary filter: cast head, spin-on element, clear bowl with a drain, all on a bracket."""
    x, z = 5.3, 6.9
    box("filter plate", (1.3, 0.1, 1.7), p["zinc"], at((x, W + 0.05, z + 0.1)), 0.03)
    box("filter arm", (0.7, 0.6, 0.16), p["zinc"], at((x, W + 0.3, z + 0.55)), 0.03)
    box("filter head", (1.0, 0.9, 0.5), p["cast"], at((x, W + 0.72, z + 0.28)), 0.14, 3)
    m = at((x, W + 0.72, z))
    turned("element", [(0.4, 0), (0.46, -0.04), (0.46, -0.95), (0.4, -1.0)], p["filter white"], m, 36)
    turned("element band", [(0.465, -0.25), (0.465, -0.62)], p["red paint"], m, 36, cap=False)
    turned("bowl", [(0.4, -1.0), (0.43, -1.04), (0.4, -1.5), (0.2, -1.66)], p["glass bowl"], m, 32)
    turned("drain", [(0.1, -1.66), (0.1, -1.8), (0.16, -1.82), (0.16, -1.9)], p["brass"], m, 10)
    bolts([(x + s * 0.5, W + 0.1, z + t * 0.68) for s in (-1, 1) for t in (-0.8, 1.1)], Y, p["bolt"], rng, 0.08)
    turned("priming pump", [(0.2, 0), (0.2, 0.1), (0.26, 0.12), (0.26, 0.22), (0.1, 0.26)], p["plastic"], at((x + 0.05, W + 0.8, z + 0.53)), 20)


def bottle(p, rng):
    """Coolant expansion bottle in a strap, coolant showing through, cap on top."""
    x, z = 3.85, 8.0
    box("bottle plate", (1.2, 0.08, 1.2), p["zinc"], at((x, W + 0.04, z)), 0.02)
    box("bottle", (1.25, 0.85, 1.5), p["tank white"], at((x, W + 0.52, z)), 0.2, 4)
    box("bottle coolant", (1.256, 0.856, 0.62), p["coolant"], at((x, W + 0.52, z - 0.4)), 0.2, 4)
    for s in (-1, 1):
        box("bottle strap", (1.3, 0.9, 0.12), p["zinc"], at((x, W + 0.5, z + s * 0.45)), 0.05)
    turned("bottle neck", [(0.26, 0), (0.26, 0.14), (0.36, 0.15), (0.38, 0.2), (0.38, 0.42), (0.3, 0.48)], p["blue paint"], at((x, W + 0.55, z + 0.74)), 18)
    for dz in (-0.15, 0.3):
        box("level", (0.3, 0.01, 0.025), p["plastic"], at((x + 0.36, W + 0.955, z + dz)), 0)
    over = spline([(x + 0.4, W + 0.6, z + 0.85), (x + 0.75, W + 0.6, z + 0.95), (x + 0.85, W + 0.5, z), (x + 0.8, W + 0.4, z - 2.2)])
    sweep("overflow", over, 0.05, p["hose clear"], 12)


def extras(p, rng):
    """Fixed cables and a hanging work lamp lead that give the wall its usual mess."""
    for k, (x, mat) in enumerate(((-3.9, "cable BK"), (-3.7, "cable RD"), (-0.55, "plastic"), (2.35, "hose grey"))):
        way = [(x, W + 0.25, 9.3), (x + rng.normal(0, 0.05), W + 0.22, 7.5), (x + rng.normal(0, 0.1), W + 0.22, 5.8), (x + 0.2, W + 0.2, 3.6)]
        sweep("wall cable", spline(way), 0.06 + 0.02 * (k % 2), p[mat], 10)
        for z in (8.6, 7.4, 5.2):
            box("cable clip", (0.26, 0.12, 0.1), p["tie black"], at((x, W + 0.24, z)), 0.02)
    cylinder("buzzer", 0.35, 0.4, p["plastic"], frame((-6.6, W, 8.4), Y), 26)


def build(p, rng):
    """Everything on the bulkhead that stays."""
    for part in (isolator, relays, panel_plug, heater_pipes, vented_loop, fuel_filter, bottle, extras):
        part(p, rng)
