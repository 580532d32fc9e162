"""Small hardware: bolts, clamps, nipples, studs, lugs, plugs, unions, ties. Lengths in dm, joints along z."""

import numpy as np
from mathutils import Matrix, Vector

from .shapes import X, box, card, cylinder, frame, put, shift, solid, turned
from .tubes import sweep

_HEADS: dict = {}


def reset():
    """Forget shared meshes when a new scene begins."""
    _HEADS.clear()


def bolt(m, mat, r=0.085, h=0.07, washer=True):
    """Hex head on a washer; `r` is half the width across corners."""
    key = (round(r, 3), round(h, 3), washer, mat.name)
    if key in _HEADS:
        return put("bolt", _HEADS[key], None, m)
    verts, faces = [], []
    if washer:
        for rr, z in ((r * 1.6, 0), (r * 1.6, 0.018), (r * 1.2, 0.02)):
            verts += [(rr * np.cos(a), rr * np.sin(a), z) for a in np.linspace(0, 2 * np.pi, 24, endpoint=False)]
        faces += [(k * 24 + i, k * 24 + (i + 1) % 24, k * 24 + 24 + (i + 1) % 24, k * 24 + 24 + i) for k in (0, 1) for i in range(24)]
    base = len(verts)
    for rr, z in ((r, 0.0), (r, h * 0.84), (r * 0.86, h), (r * 0.6, h)):
        verts += [(rr * np.cos(a), rr * np.sin(a), z + 0.018) for a in np.linspace(0, 2 * np.pi, 6, endpoint=False)]
    for k in range(3):
        faces += [(base + k * 6 + i, base + k * 6 + (i + 1) % 6, base + k * 6 + 6 + (i + 1) % 6, base + k * 6 + 6 + i) for i in range(6)]
    faces.append(tuple(base + 18 + i for i in range(6)))
    ob = solid("bolt", verts, faces, mat, m, flat=True)
    _HEADS[key] = ob.data
    return ob


def bolts(points, z, mat, rng, r=0.085):
    """Bolt heads at points, all facing z, each turned as it happened to end up."""
    return [bolt(shift(frame(p, z), turn=rng.uniform(0, 6)), mat, r) for p in points]


def ring_of_bolts(m, n, radius, mat, rng, r=0.07, start=0.0):
    """n bolt heads on a pitch circle about z."""
    angles = [start + i * 2 * np.pi / n for i in range(n)]
    return [bolt(shift(m, radius * np.cos(a), radius * np.sin(a), 0, rng.uniform(0, 6)), mat, r) for a in angles]


def nipple(m, r, length, mat):
    """Barbed hose nipple; r is the hose's bore radius."""
    p = [(r * 1.5, -0.04), (r * 1.5, 0.05), (r * 0.92, 0.07), (r * 0.92, length * 0.45), (r * 1.06, length * 0.55),
         (r * 0.93, length * 0.66), (r * 1.06, length * 0.8), (r * 0.9, length), (r * 0.66, length), (r * 0.6, length * 0.3)]
    return turned("nipple", p, mat, m, 22)


def hose_clamp(m, r, steel, turn=0.0):
    """Worm-drive clamp round a hose of outer radius r."""
    q = shift(m, turn=turn)
    band = turned("clamp", [(r, -0.06), (r + 0.02, -0.06), (r + 0.028, 0), (r + 0.02, 0.06), (r, 0.06)], steel, q, 32, cap=False)
    slots = [box("slot", (0.012, 0.02, 0.075), steel, q @ Matrix.Rotation(a, 4, "Z") @ Matrix.Translation((r + 0.024, 0, 0)), bevel=0)
             for a in np.linspace(0.5, 2.6, 12)]
    house = box("worm", (0.1, 0.2, 0.13), steel, shift(q, r + 0.06), bevel=0.03)
    head = bolt(q @ Matrix.Translation((r + 0.065, 0.1, 0)) @ Matrix.Rotation(-np.pi / 2, 4, "X"), steel, 0.045, 0.06, False)
    return [band, house, head, *slots]


def stud(m, mat, r=0.06, length=0.4):
    """Threaded stud on a round seat."""
    p = [(r * 2.3, 0), (r * 2.3, 0.05), (r, 0.055)]
    for i in range(int((length - 0.1) / 0.03)):
        p += [(r, 0.06 + i * 0.03), (r * 0.9, 0.075 + i * 0.03)]
    return turned("stud", [*p, (r * 0.85, length)], mat, m, 18)


def nut(m, mat, r=0.1, h=0.09):
    """Nut with its washer, over a stud."""
    return [bolt(m, mat, r, h)]


def lug(m, mat, sleeve, nut_mat, lift=0.06, turn=0.0, size=1.0):
    """Crimped cable lug on a stud: the tongue leaves along +x of m turned by `turn`; a nut on top."""
    q, s = shift(m, z=lift, turn=turn), size
    return [
        turned("lug", [(0.07 * s, 0), (0.17 * s, 0), (0.17 * s, 0.035), (0.07 * s, 0.035)], mat, q, 20, cap=False),
        box("tongue", (0.3 * s, 0.19 * s, 0.035), mat, shift(q, 0.25 * s, 0, 0.018), bevel=0.012),
        cylinder("crimp", 0.085 * s, 0.3 * s, mat, frame((q @ Vector((0.36 * s, 0, 0.05))), q.to_3x3() @ X), 14),
        cylinder("boot", 0.1 * s, 0.34 * s, sleeve, frame((q @ Vector((0.55 * s, 0, 0.05))), q.to_3x3() @ X), 14),
        bolt(shift(q, z=0.035, turn=0.7), nut_mat, 0.11 * s, 0.09),
    ]


def spade(m, brass, sleeve):
    """Push-on terminal on a blade that stands along z."""
    return [box("spade", (0.08, 0.035, 0.16), brass, shift(m, z=0.14), bevel=0.01),
            box("spade sleeve", (0.11, 0.075, 0.2), sleeve, shift(m, z=0.26), bevel=0.03)]


def blade(m, brass, body):
    """The blade a spade goes on, with its insulating seat."""
    return [box("blade", (0.063, 0.01, 0.2), brass, shift(m, z=0.1), bevel=0.004), cylinder("seat", 0.09, 0.05, body, m, 16)]


def socket(m, w, h, mat, pins, n=2):
    """Open half of a plug-in connector, blades inside, along z."""
    d, t = 0.28, 0.03
    out = [box("socket", (w, h, 0.05), mat, m, bevel=0.01)]
    out += [box("socket", (w, t, d), mat, shift(m, y=s * (h - t) / 2, z=d / 2), bevel=0.01) for s in (-1, 1)]
    out += [box("socket", (t, h, d), mat, shift(m, x=s * (w - t) / 2, z=d / 2), bevel=0.01) for s in (-1, 1)]
    out += [box("pin", (0.025, 0.05, 0.18), pins, shift(m, x=(i - (n - 1) / 2) * w / (n + 0.6), z=0.1), bevel=0) for i in range(n)]
    return out


def plug(m, w, h, mat, seal):
    """Cable half of a plug-in connector, seated on its socket, latch toward +y."""
    out = [box("plug", (w * 1.12, h * 1.14, 0.36), mat, shift(m, z=0.3), bevel=0.03),
           box("plug", (w * 0.82, h * 0.8, 0.16), mat, shift(m, z=0.54), bevel=0.03),
           box("latch", (w * 0.36, 0.05, 0.34), mat, shift(m, y=h * 0.62, z=0.3), bevel=0.015),
           box("seal", (w * 1.15, h * 1.17, 0.035), seal, shift(m, z=0.12), bevel=0.01)]
    return out + [box("rib", (0.022, h * 1.22, 0.2), mat, shift(m, x=s * w * 0.38, z=0.32), bevel=0.008) for s in (-1, 1)]


def union(m, r, mat):
    """Hex union nut that holds a metal line, and the line's short straight."""
    return [turned("union", [(r * 2.1, 0.1), (r * 2.1, 0.36), (r * 1.25, 0.4)], mat, m, 6),
            turned("olive", [(r * 1.2, 0.4), (r * 1.35, 0.43), (r * 1.05, 0.48)], mat, m, 16)]


def boss(m, r, mat):
    """Fixed half of a union: a hex body and a male cone."""
    return [turned("boss", [(r * 2.5, -0.05), (r * 2.5, 0.1)], mat, m, 6),
            turned("cone", [(r * 1.5, 0.1), (r * 1.5, 0.24), (r * 1.0, 0.28), (r * 0.6, 0.28)], mat, m, 18)]


def banjo(m, r, mat, copper):
    """Banjo ring, bolt head and two copper washers; its line leaves along +x."""
    out = [turned("washer", [(r * 2, z), (r * 2, z + 0.02)], copper, m, 20) for z in (0.03, 0.23)]
    out += [turned("banjo", [(r * 1.7, 0.05), (r * 2.1, 0.08), (r * 2.1, 0.2), (r * 1.7, 0.23)], mat, m, 20),
            cylinder("neck", r * 1.15, r * 3.4, mat, frame(m @ Vector((0, 0, 0.14)), m.to_3x3() @ X), 14)]
    return [*out, bolt(shift(m, z=0.25), mat, r * 1.9, 0.1, False)]


def tie(path, k, r, mat, rng):
    """Cable tie round a run of outer radius r at step k of its path."""
    m = shift(frame(path[k], Vector(path[k + 1] - path[k - 1])), turn=rng.uniform(0, 6))
    return [turned("tie", [(r, -0.025), (r + 0.014, -0.025), (r + 0.014, 0.025), (r, 0.025)], mat, m, 16, cap=False),
            box("tie head", (0.06, 0.055, 0.06), mat, shift(m, r + 0.03), bevel=0.012),
            box("tie tail", (0.2, 0.03, 0.012), mat, shift(m, r + 0.12, 0.01, 0.01, 0.4), bevel=0)]


def p_clip(m, r, steel, rubber, bolt_mat):
    """Rubber-lined clip round a run along x of m, its foot bolted down along z of m."""
    ring = frame(m @ Vector((0, 0, r + 0.1)), m.to_3x3() @ X)
    return [turned("clip", [(r, -0.07), (r + 0.05, -0.07), (r + 0.05, 0.07), (r, 0.07)], rubber, ring, 20, cap=False),
            turned("clip", [(r + 0.05, -0.05), (r + 0.07, -0.05), (r + 0.07, 0.05), (r + 0.05, 0.05)], steel, ring, 20, cap=False),
            box("clip foot", (0.13, 0.36, 0.03), steel, shift(m, y=r + 0.16, z=0.02), bevel=0.01),
            bolt(shift(m, y=r + 0.24, z=0.03), bolt_mat, 0.08)]


def sticker(mat, w, h, m):
    """Placard or sticker lying a hair above a surface."""
    return card("sticker", w, h, mat, shift(m, z=0.012))


def loom(path, r, mats, rng):
    """Corrugated trunk with bands of tape."""
    sweep("loom", path, r, mats["plastic"], 14, rings=(0.07, 0.07))
    for k in range(5, len(path) - 5, 11):
        sweep("loom tape", path[k : k + 4], r * 1.12, mats["black tape"], 14)
    for k in range(9, len(path) - 9, 17):
        tie(path, k, r * 1.05, mats["tie black"], rng)
