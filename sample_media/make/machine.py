"""Puts the whole engine space together and knows which objects show in which state."""

import bpy
import numpy as np
from mathutils import Vector

from . import block, fittings, frontend, gear, hull, joints, sallow, shapes, sides, wall
from .palette import palette
from .shapes import X, Y, Z, at, box, frame, gather, shift
from .sight import Sight, reset
from .tubes import spline
from .views import Cam


class Machine:
    """The Sallow's engine space. `ends` by key such as '5B', `runs` by tag, `loose` groups by end key."""

    def __init__(self, seed):
        bpy.ops.wm.read_factory_settings(use_empty=True)
        shapes.MADE.clear()
        fittings.reset()
        reset()
        self.rng = rng = np.random.default_rng(seed)
        self.p, self.maker = palette(rng)
        p = self.p
        hull.build(p, rng)
        block.build(p, rng)
        loose = {**frontend.build(p, rng), **sides.build(p, rng), **gear.build(p, rng)}
        wall.build(p, rng)
        self._levers()
        self.ends = {key: joints.End(key) for key in sallow.ENDS}
        for e in self.ends.values():
            e.fixed, _ = gather(joints.fixed, e, p)
        self.runs = {tag: joints.Run(tag, self.ends) for tag in sallow.RUNS}
        for run in self.runs.values():
            self._fit(run)
        self._clip_and_loom(loose)
        self._groups(loose)
        self._flags()
        self.faults = [self._swapped("9A", "10A"), self._clamp_missing("24B"), self._left_off("16A")]

    def _levers(self):
        """Pump levers, stop lever, stop solenoid, bell crank, plug bracket, branch rail."""
        p = self.p
        box("throttle lever", (0.08, 0.2, 1.0), p["zinc"], at((-2.76, -0.35, 3.65)), 0.03)
        fittings.bolt(frame((-2.8, -0.35, 3.25), -X), p["bolt"], 0.1)
        fittings.cylinder("lever shaft", 0.09, 0.3, p["steel"], frame((-2.6, -0.35, 3.25), -X), 14)
        box("stop lever", (0.1, 0.16, 0.62), p["zinc"], frame((-2.34, -0.74, 4.02), (-0.15, 0, 1)), 0.03)
        fittings.cylinder("stop shaft", 0.08, 0.3, p["steel"], frame((-2.2, -0.74, 3.78), -X), 14)
        fittings.cylinder("solenoid", 0.25, 0.55, p["zinc"], frame((-2.0, -0.9, 3.3), -Y), 26)
        box("bell crank", (0.09, 0.22, 0.8), p["zinc"], frame((-1.98, -1.72, 3.55), Z, X), 0.03)
        fittings.cylinder("crank shaft", 0.1, 0.75, p["steel"], frame((-1.25, -1.72, 3.25), -X), 14)
        box("plug bracket", (0.9, 0.1, 0.75), p["zinc"], at((-1.5, -3.32, 6.15)), 0.02)
        box("plug bracket", (0.3, 0.5, 0.1), p["zinc"], at((-1.25, -3.1, 5.78)), 0.02)
        box("branch rail", (1.7, 0.5, 0.08), p["zinc"], at((-1.42, 3.12, 5.6)), 0.02)
        box("branch foot", (0.3, 0.3, 0.5), p["zinc"], at((-0.85, 3.0, 5.4)), 0.02)
        for x in (-2.1, -0.7):
            fittings.bolt(at((x, 3.0, 5.64)), p["bolt"], 0.07)

    def _fit(self, run):
        """Lay a run and seat its moving halves and clamps."""
        p = self.p
        cable = p["rubber"] if run.surface in ("loom", "zinc", "copper") else p[run.surface]
        run.body, run.path = run.lay(p, self.rng)
        for e in run.ends:
            e.moving, _ = gather(joints.moving, e, p, e.m, cable)
            e.cover = run.body
            if e.kind == "hose":
                e.clamp, _ = gather(self._clamps, e, run.r)

    def _clamps(self, e, r):
        """One worm-drive clamp, two on the raw-water hose at the pump."""
        turn = self.rng.uniform(0, 6)
        places = (0.22, 0.45) if e.key == "24B" else (0.24 if r < 0.4 else 0.4,)
        for i, z in enumerate(places):
            fittings.hose_clamp(shift(e.m, z=z), r, self.p["stainless"], turn + np.pi * i)

    def _clip_and_loom(self, loose):
        """Loom across the back of the head and along the inlet manifold; its clip at the lifting eye comes off."""
        p, rng = self.p, self.rng
        back = spline([(-1.5, -3.1, 6.25), (-1.15, -3.42, 6.32), (-0.62, -3.46, 6.28), (0.3, -3.5, 6.25), (0.95, -3.6, 6.0)])
        fittings.loom(back, 0.12, p, rng)
        side = spline([(-1.5, -3.1, 6.2), (-1.62, -2.7, 5.75), (-1.66, -1.5, 5.52), (-1.66, 0.5, 5.5), (-1.66, 2.2, 5.52), (-1.5, 2.9, 5.62)])
        fittings.loom(side, 0.13, p, rng)
        m = frame((-0.62, -3.3, 6.28), -Y, X)
        loose["46A"], _ = gather(fittings.p_clip, shift(m, z=-0.06), 0.13, p["zinc"], p["rubber"], p["bolt"])

    def _groups(self, loose):
        """Give the ends without a run the objects that come off with them."""
        for key in ("42A", "45A", "46A", "37A", "37B", "38A", "38B"):
            self.ends[key].moving = loose[key]
        for key in ("43A", "43B"):
            self.ends[key].moving = loose["43"]
        self.raw_belt = loose["44"]
        self.mount_rest = {k: v for k, v in loose.items() if k[:2] in ("39", "40")}

    def _flags(self):
        """A tape flag at every end; flat tape on brackets and mounts."""
        sight = Sight(shapes.MADE)
        for n, e in enumerate(self.ends.values()):
            run = self.runs.get(e.tag)
            if run:
                _, aim, d, dist = sallow.SPOTS[e.spot]
                cam = Cam(Vector(aim) + Vector(d).normalized() * dist, aim)
                joints.flag(e, run, self.p, self.maker, self.rng, n, cam, sight)
        flat = {"42A": frame((-1.62, 3.73, 5.24), Y, (-1, 0, -0.3)), "37A": frame((-2.28, 2.55, 2.17), Z, Y), "38A": frame((2.28, 2.55, 2.17), Z, -Y),
                "37B": frame((-2.75, 3.62, 0.96), Z, (-1, 0, 0)), "38B": frame((2.75, 3.62, 0.96), Z, (-1, 0, 0)), "46A": frame((-0.28, -3.34, 5.98), (0, -1, 0.1), X)}
        for n, (key, m) in enumerate(flat.items()):
            joints.stuck_flag(self.ends[key], self.maker, self.rng, n, m)

    def _swapped(self, one, other):
        """Two look-alike wires on each other's terminals."""
        a, b = self.ends[one], self.ends[other]
        ra, rb = self.runs[a.tag], self.runs[b.tag]
        show = []
        for e, to, run in ((a, b, ra), (b, a, rb)):
            e.swap = run.lay(self.p, self.rng, {e.key: to.m})[0] + gather(joints.moving, e, self.p, to.m, self.p[run.surface])[0]
            show += e.swap
        hide = [*ra.body, *rb.body, *a.moving, *b.moving, *a.flag, *b.flag]
        around = [a.anchor, b.anchor, *(e.m @ Vector((0, 0, 0.5)) for e in (a, b))]
        return {"kind": "swapped_ends", "spot": a.spot, "keys": [one, other], "hide": hide, "show": show, "points": around,
                "note": f"wires {a.number} and {b.number} are on each other's terminals"}

    def _clamp_missing(self, key):
        """A hose pushed on without its clamps."""
        e = self.ends[key]
        points = [o.matrix_world.translation.copy() for o in e.clamp]
        return {"kind": "clamp_missing", "spot": e.spot, "keys": [key], "hide": list(e.clamp), "show": [], "points": points,
                "note": f"the clamps of {e.number} at end {e.letter} are missing"}

    def _left_off(self, key):
        """A plug-in connector not pushed home but lying beside its switch."""
        e = self.ends[key]
        run = self.runs[e.tag]
        m = frame(e.m @ Vector((-0.55, 0.35, 0.15)), (-0.7, 0.5, -0.05), Z)
        e.swap = run.lay(self.p, self.rng, {key: m, "hang": True})[0] + gather(joints.moving, e, self.p, m, self.p[run.surface])[0]
        points = [e.anchor, e.m.translation.copy(), m @ Vector((0, 0, 0.3))]
        return {"kind": "left_off", "spot": e.spot, "keys": [key], "hide": [*run.body, *e.moving, *e.flag], "show": e.swap,
                "points": points, "note": f"plug {e.number} is not pushed on; it lies beside the switch"}

    def hidden(self, apart=(), flags=(), faults=False):
        """Names of objects that do not show. apart: spots taken down; flags: spots with tape on (True for all)."""
        names: set = set()

        def drop(obs):
            names.update(o.name for o in obs)

        for e in self.ends.values():
            off = e.spot in apart or self._partner_off(e, apart)
            if off:
                drop([*e.moving, *e.clamp, *e.flag])
            elif not (flags is True or e.spot in flags):
                drop(e.flag)
        for run in self.runs.values():
            if any(e.spot in apart for e in run.ends):
                drop(run.body)
        for f in self.faults:
            drop(f["hide"] if faults and f["spot"] not in apart else f["show"])
        return names

    def _partner_off(self, e, apart):
        """True when the other end's spot is down, so that the whole run is gone."""
        run = self.runs.get(e.tag)
        if run is None:
            return e.tag == "43" and "s03" in apart
        return any(q.spot in apart for q in run.ends)
