"""Builds the tag ends and runs of `sallow`: fixed halves, moving halves, clamps, tape flags, wrong refits."""

import numpy as np
from mathutils import Matrix, Vector

from . import fittings as f
from . import sallow, tape
from .fittings import tie
from .palette import TAPES
from .shapes import Z, at, box, card, frame, gather, shift, turned
from .surfaces import image
from .tubes import along, spline, sweep

SEAT = {"hose": 0.08, "line": 0.4, "spade": 0.34, "small plug": 0.42, "plug": 0.58, "round plug": 0.62}
ANCHOR = {"hose": 0.25, "line": 0.2, "spade": 0.16, "small plug": 0.2, "plug": 0.25, "round plug": 0.3, "banjo": 0.14,
          "lug": 0.12, "top lug": 0.2, "fork": 0.02, "group": 0.0}


class End:
    """One tag end: its frame, what stays on the machine, what comes off with the run."""

    def __init__(self, key):
        self.key = key
        self.tag, self.letter = key[:-1], key[-1]
        self.number = sallow.NUMBER.get(self.tag, self.tag)
        self.spot, self.kind, origin, z, self.size, x = sallow.ENDS[key]
        self.m = frame(origin, z, x)
        self.anchor = self.m @ Vector((0, 0, ANCHOR[self.kind]))
        self.fixed, self.moving, self.clamp, self.flag, self.flag_face = [], [], [], [], None
        self.swap: list = []
        self.cover: list = []  # the run's own body, which hides the fixed half while it is on


def fixed(end, p):
    """What stays on the machine at this end."""
    m, k, s = end.m, end.kind, end.size
    if k == "hose":
        metal = p["cast"] if s > 0.15 else p["brass"]
        f.nipple(m, s, 0.5 if s < 0.2 else 0.7, metal)
    elif k in ("lug", "top lug"):
        if k == "lug":
            turned("lug seat", [(0.24 * s, -0.25), (0.24 * s, 0), (0.2 * s, 0.05)], p["brass" if s < 0.7 else "cast"], m, 6 if s < 0.7 else 20)
        f.stud(m, p["copper" if s > 0.7 else "brass"], 0.065 * s, 0.42 * max(s, 0.7))
    elif k == "spade":
        turned("terminal base", [(0.13, -0.22), (0.13, 0.0), (0.1, 0.04)], p["brass"], m, 6)
        f.blade(m, p["brass"], p["plastic"])
    elif k in ("plug", "small plug"):
        w, h = (0.3, 0.24) if k == "plug" else (0.2, 0.17)
        f.socket(m, w, h, p["plastic"], p["brass"])
        if k == "plug":
            turned("switch body", [(0.22, -0.3), (0.22, -0.05), (0.17, 0)], p["brass"], m, 6)
    elif k == "round plug":
        turned("receptacle", [(s * 1.1, -0.1), (s * 1.1, 0.05), (s * 0.86, 0.06), (s * 0.86, 0.3), (s * 0.78, 0.3), (s * 0.78, 0.08)], p["plastic"], m, 32)
        for i in range(12):
            a, r = i * 2 * np.pi / 9, s * (0.5 if i < 9 else 0.22)
            turned("pin", [(0.022, 0.05), (0.022, 0.26)], p["brass"], shift(m, r * np.cos(a), r * np.sin(a)), 8)
    elif k == "line":
        f.boss(m, s, p["brass"])
    elif k == "banjo":
        f.boss(m, s, p["steel"])
    elif k == "fork":
        turned("ball", [(0.05, -0.16), (0.05, 0), (0.07, 0.02), (0.07, 0.08), (0.03, 0.11)], p["bright"], m, 16)


def moving(end, p, m, cable):
    """The half that comes off with the run, seated at frame m."""
    k, s = end.kind, end.size
    if k in ("lug", "top lug"):
        f.lug(m, p["copper" if s > 0.7 else "brass"], cable, p["brass"], 0.05 if k == "lug" else 0.2, 0.0, s)
    elif k == "spade":
        f.spade(m, p["brass"], p["hose clear"] if end.tag in ("9", "10", "6", "7") else p["cable BU"])
    elif k in ("plug", "small plug"):
        w, h = (0.3, 0.24) if k == "plug" else (0.2, 0.17)
        f.plug(m, w, h, p["plug grey"] if k == "plug" else p["plug white"], p["seal"])
    elif k == "round plug":
        turned("ring", [(s * 1.0, 0.1), (s * 1.08, 0.13), (s * 1.08, 0.34), (s * 0.95, 0.38), (s * 0.8, 0.4), (s * 0.7, 0.62), (s * 0.5, 0.68)], p["plastic"], m, 36)
        for i in range(14):
            box("grip", (0.03, 0.05, 0.18), p["plastic"], m @ Matrix.Rotation(i * np.pi / 7, 4, "Z") @ at((s * 1.08, 0, 0.23)), 0.01)
    elif k == "line":
        f.union(m, s, p["brass"])
    elif k == "banjo":
        f.banjo(m, s, p["steel"], p["copper"])
    elif k == "fork":
        q = shift(m, z=0.04)
        box("fork", (0.3, 0.16, 0.05), p["zinc"], shift(q, 0.08, 0, 0.07), 0.02)
        f.bolt(shift(q, 0, 0, 0.1), p["bolt"], 0.055, 0.05)
        d = m.to_3x3() @ Vector((1, 0, 0))
        sweep("rod", [q @ Vector((0.2, 0, 0.05)), q @ Vector((0.75, 0, 0.05))], 0.032, p["bright"], 10)
        turned("lock nut", [(0.07, 0), (0.07, 0.08)], p["zinc"], frame(q @ Vector((0.27, 0, 0.05)), d), 6)


def seat(end, m):
    """Where the run begins at frame m, and the direction it leaves in."""
    if end.kind in ("lug", "top lug"):
        lift = 0.1 if end.kind == "lug" else 0.25
        return m @ Vector((0.75 * end.size, 0, lift)), m.to_3x3() @ Vector((1, 0, 0))
    if end.kind == "fork":
        return m @ Vector((0.7, 0, 0.09)), m.to_3x3() @ Vector((1, 0, 0))
    if end.kind == "banjo":
        return m @ Vector((0.16, 0, 0.14)), m.to_3x3() @ Vector((1, 0, 0))
    return m @ Vector((0, 0, SEAT[end.kind])), m.to_3x3() @ Z


class Run:
    """A hose, wire, line or cable between two ends, or from an end out of the scene."""

    def __init__(self, tag, ends):
        self.tag = tag
        self.a, self.b, self.r, self.surface, self.via, self.stripe = sallow.RUNS[tag]
        self.ends = [ends[q] for q in (self.a, self.b) if isinstance(q, str)]
        self.body, self.path = [], None

    def lay(self, p, rng, places=None):
        """Sweep the run; places moves an end to another frame. Returns (objects, path)."""
        places = places or {}
        points = []
        for which, leads in ((self.a, True), (self.b, False)):
            if isinstance(which, str):
                end = next(e for e in self.ends if e.key == which)
                s, d = seat(end, places.get(which, end.m))
                near = [s, s + d.normalized() * (0.12 + 1.1 * self.r), s + d.normalized() * (0.3 + 2.0 * self.r)]
                points.append(near if leads else near[::-1])
            else:
                points.append([Vector(which)])
        via = [Vector(v) for v in self.via]
        if places and "hang" in places:
            via = via[1:]
        path = spline([*points[0], *via, *points[1]]) if self.surface != "zinc" else np.array([list(points[0][0]), list(points[1][-1])])
        return gather(self._sweep, p, rng, path)[0], path

    def _sweep(self, p, rng, path):
        seg = 24 if self.r > 0.12 else 12
        if self.surface == "loom":
            f.loom(path, self.r, p, rng)
            return
        sweep("run", path, self.r, p[self.surface], seg)
        if self.stripe:
            offset = np.array([0, 0, self.r * 0.62])
            sweep("stripe", path + offset, self.r * 0.45, p[self.stripe], 8)
        if self.tag in ("4", "13", "21", "31", "33"):
            for k in range(20, len(path) - 20, 23):
                tie(path, k, self.r * 1.08, p["tie"], rng)


def flag(end, run, p, maker, rng, n, cam, sight):
    """Tape folded round the run near this end, standing where it can be read from where a person looks."""
    path = run.path if run.a == end.key else run.path[::-1]
    toward = (cam.eye - end.anchor).normalized()
    best, lean = (-1.0, None, None), _lean(rng)
    for far in (0.55, 0.75, 0.95, 1.2, 1.5, 1.9):
        c, ax = _on_path(path, far + run.r * 1.4)
        for side in (1, -1):
            m = _stand(c, ax, toward, run.r, side) @ lean
            score = _readable(m, cam, sight) - 0.15 * far + 0.01 * side
            if score > best[0]:
                best = (score, m, (c, ax))
    m, (c, ax) = best[1], best[2]
    mat, colour = _tape_face(end, maker, rng, n)

    def make():
        bend = rng.normal(0, 0.03)
        card("flag", W, H, mat, shift(m, z=0.005), bend)
        card("flag", W, H, mat, shift(m, z=-0.005), bend, mirror=True)
        r = run.r
        turned("wrap", [(r + 0.006, -H / 2), (r + 0.014, -H / 2), (r + 0.014, H / 2), (r + 0.006, H / 2)], p[f"tape {colour}"], frame(c, ax), 18, cap=False)

    end.flag, _ = gather(make)
    end.flag_face = _face(m, W, H)


W, H = 0.62, 0.4  # a flag's width and height


def _lean(rng):
    """How crookedly a flag was folded."""
    turn = Matrix.Rotation
    return turn(rng.normal(0, 0.1), 4, "Z") @ turn(rng.normal(0, 0.16), 4, "X") @ turn(rng.normal(0, 0.16), 4, "Y")


def _on_path(path, far):
    """Point and direction of a run some way from its end."""
    if len(path) < 6:
        return Vector(path[0]).lerp(Vector(path[-1]), 0.5), Vector(path[-1] - path[0]).normalized()
    k = int(np.clip(np.searchsorted(along(path), far), 2, len(path) - 3))
    return Vector(path[k]), Vector(path[k + 1] - path[k - 1]).normalized()


def _stand(c, ax, toward, r, side):
    """Frame of a flag beside a run at c, its face turned to the looker, figures upright."""
    z = toward
    x = Z.cross(z).normalized()
    level = abs(x.dot(ax)) > 0.62
    off = (z.cross(x) if level else x) * side
    return frame(c + off * (r + (H if level else W) / 2 - 0.01) + z * (0.03 + r), z, x)


def _readable(m, cam, sight):
    """Share of a flag's face that a looker sees, less when near the edge of the picture."""
    points = [m @ Vector((a * W * 0.45, b * H * 0.45, 0.01)) for a, b in ((0, 0), (-1, -1), (1, -1), (1, 1), (-1, 1))]
    clear = sum(cam.inside(q, 0.06) and sight.first(cam.eye, q, 0.0)[0] is None for q in points)
    return clear / 5


def _tape_face(end, maker, rng, n):
    """Surface with this end's number on it, and the tape's colour."""
    colour = n % 4
    return maker.get(f"flag {end.key}", (1, 1, 1), rough=0.5, grime=0.08, wear=0, rust=0, dust=0.1, grain=0.1, bump=0.04,
                     picture=image(f"flag {end.key}", tape.face(rng, end.number, TAPES[colour], printed=n % 3 == 2))), colour


def _face(m, w, h):
    corners = [list(m @ Vector((a * w / 2, b * h / 2, 0))) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return {"corners": corners, "normal": list(m.to_3x3() @ Z)}


def stuck_flag(end, maker, rng, n, m):
    """Tape stuck flat on a bracket or mount that has no hose or wire."""
    mat, _ = _tape_face(end, maker, rng, n)
    end.flag, _ = gather(lambda: card("flag", 0.5, 0.32, mat, shift(m, z=0.012)))
    end.flag_face = _face(m, 0.5, 0.32)
