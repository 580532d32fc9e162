"""Plans every picture: camera, light, state, truth. Nothing is drawn here; the plan is written as JSON."""

import datetime as dt

import numpy as np
from mathutils import Matrix, Vector

from . import days, sallow, shapes, truth
from .sight import Sight
from .views import Cam, find

OVERVIEWS = {"front": ((-1.4, 8.2, 10.6), (0, -0.4, 3.7)), "port": ((-6.7, 3.2, 8.8), (0, -0.9, 3.6)),
             "starboard": ((6.8, 1.8, 9.3), (0.2, -1.6, 3.8)), "top": ((0.4, 1.6, 12.4), (0, -2.2, 4.0))}


LOW = ("s01", "s09", "s13", "s14")  # too dark without the flash


class Planner:
    """Collects shots of one machine."""

    def __init__(self, machine, seed):
        self.m, self.rng = machine, np.random.default_rng(seed)
        self.shots, self._sights, self.first = [], {}, {}

    def sight(self, state):
        """Rays against the objects that show in a state (apart, flags, faults)."""
        if state not in self._sights:
            apart, flags, faults = state
            h = self.m.hidden(apart, flags, faults)
            obs = [o for o in shapes.MADE if o.name not in h]
            self._sights[state] = (Sight(obs), {o.name for o in obs})
        return self._sights[state]

    def add(self, cam, state, light, label, spot, camera, time, **more):
        """Record a shot with what it truly shows."""
        r = self.rng
        sight, shown = self.sight(state)
        shot = {"cam": cam, "state": label, "spot": spot, "camera": camera, "time": time, "look": state,
                "light": {"kind": light, "seed": int(r.integers(1 << 30)), "eye": tuple(cam.eye), "target": tuple(cam.eye - cam.m.to_3x3() @ shapes.Z * 4)},
                "finish": finish_of(r, light), "exposure": 0.0,
                "connectors": truth.connectors(self.m, cam, sight, shown), "flags": truth.flags(self.m, cam, sight, shown),
                "faults": truth.faults(self.m, cam, sight) if state[2] else [], "orientation": turn_of(r, cam), **more}
        self.shots.append(shot)
        return shot

    def view(self, spot, state, angles, base=None, scale=1.0, ends=None, target=None, portrait=False):
        """Search a view of a spot."""
        _, aim, d, dist = sallow.SPOTS[spot]
        sight, shown = self.sight(state)
        ends = ends or [e for e in self.m.ends.values() if e.spot == spot]
        return find(ends, lambda e, cam: truth.seen(e, cam, sight, shown), sight, target or aim, base or Vector(d), angles, dist * scale, self.rng, portrait)


def finish_of(r, light):
    """How the camera developed this picture: noise, warmth, softness, vignette."""
    dim = 1.6 if light in ("lamp", "tubes") else 1.0
    warm = {"hatch": (0.985, 1, 1.02), "lamp": (1.0, 1, 0.97), "flash": (1.01, 1, 0.98), "tubes": (0.99, 1, 0.99)}[light]
    return {"seed": int(r.integers(1 << 30)), "gain": float(r.normal(1.0, 0.04)), "noise": float(r.uniform(0.005, 0.011) * dim),
            "warm": [float(a * r.normal(1, 0.012)) for a in warm], "vignette": float(r.uniform(0.08, 0.26)),
            "blur": float(r.choice([0, 0, 0, 0.4, 0.7])), "sharpen": int(r.integers(30, 90))}


def turn_of(r, cam):
    """Exif orientation: upright pictures are stored sideways."""
    return int(r.choice([6, 8], p=[0.7, 0.3])) if cam.portrait else 1


def plan(machine, seed=87):
    """All shots of the machine, in no particular order."""
    pl = Planner(machine, seed)
    r = pl.rng
    bare, done = ((), (), False), tuple(sallow.ORDER)
    for view, camera, time in days.overviews():
        pl.add(Cam(*OVERVIEWS[view], r.normal(0, 1.5), 25.4), bare, "hatch", "found", None, camera, time, shot="overview", exposure=0.15, orientation=1)
    for spot, role, camera, time in days.found():
        _found(pl, spot, role, camera, time, bare)
    for i, (spot, camera, time) in enumerate(days.tagged()):
        state = ((), tuple(sallow.ORDER[: i + 1]), False)
        cam, angle = _tape_view(pl, spot, state)
        pl.add(cam, state, "flash" if spot in LOW else "tubes" if i % 2 else "hatch", "tagged", spot, camera, time, shot="spot", view_change_deg=round(angle, 1))
    for i, (spot, camera, time) in enumerate(days.off()):
        state = (tuple(sallow.ORDER[: i + 1]), True, False)
        cam, angle, _ = pl.view(spot, state, (8, 26), pl.first[spot], r.uniform(0.88, 1.1), portrait=i in (4, 13))
        pl.add(cam, state, "lamp" if i % 3 else "hatch", "off", spot, camera, time, shot="spot", view_change_deg=round(angle, 1), exposure=0.1)
    wrong = {f["spot"] for f in machine.faults}
    for i, (spot, camera, time) in enumerate(days.refitted()):
        state = ((), tuple(s for s in days.REFITTED if days.REFITTED.index(s) % 3 == 0), spot in wrong)
        cam, angle, _ = pl.view(spot, state, (12, 30), pl.first[spot], r.uniform(0.9, 1.1))
        pl.add(cam, state, ("hatch", "flash", "tubes")[i % 3], "refit", spot, camera, time, shot="spot", view_change_deg=round(angle, 1))
    for spot, key, scene, camera, time in days.asked():
        state = (done if scene == "off" else (), (), False)
        e = machine.ends[key]
        cam, angle, _ = pl.view(spot, state, (14, 32), pl.first[spot], 0.56, [e], e.anchor)
        pl.add(cam, state, "flash", "query", spot, camera, time, shot="query", scene_state=scene, query_connector=key, view_change_deg=round(angle, 1))
    return pl


def _tape_view(pl, spot, state):
    """Of a few views of a taped spot, the one in which most of its numbers can be read."""
    sight, shown = pl.sight(state)
    best = (-1.0, None, 0.0)
    for _ in range(5):
        cam, angle, count = pl.view(spot, state, (6, 18), pl.first[spot], 0.94)
        read = sum(f["connector"] in pl.m.ends and pl.m.ends[f["connector"]].spot == spot for f in truth.flags(pl.m, cam, sight, shown))
        if read + 0.6 * count > best[0]:
            best = (read + 0.6 * count, cam, angle)
    return best[1], best[2]


def _found(pl, spot, role, camera, time, bare):
    """A picture of a spot as it was met; a burst is the same view moved by a breath."""
    r = pl.rng
    if role == "burst":
        last = pl.shots[-1]
        eye = last["cam"].eye + Vector(r.normal(0, 0.035, 3))
        cam = Cam(eye, eye - last["cam"].m.to_3x3() @ shapes.Z, 0, last["cam"].lens, last["cam"].portrait)
        cam = like(cam, last["cam"], r)
        pl.add(cam, bare, "hatch", "found", spot, camera, time, shot="spot", role="burst", exposure=0.1, orientation=last["orientation"])
        return
    portrait = spot in ("s03", "s16", "s18") or (role == "second" and spot == "s12")
    base = pl.first.get(spot)
    cam, angle, _ = pl.view(spot, bare, (0, 5) if base is None else (10, 22), base, 1.0 if base is None else r.uniform(0.88, 1.12), portrait=portrait)
    if base is None:
        pl.first[spot] = (cam.eye - Vector(sallow.SPOTS[spot][1])).normalized()
    kind = "flash" if spot in LOW else "hatch"
    pl.add(cam, bare, kind, "found", spot, camera, time, shot="spot", role=role, exposure=0.1, view_change_deg=round(angle, 1))


def like(cam, other, r):
    """cam with the other's own rotation, twisted by a third of a degree."""
    cam.m = Matrix.Translation(cam.eye) @ (other.m.to_3x3() @ Matrix.Rotation(r.normal(0, 0.005), 3, "Z")).to_4x4()
    cam.back = cam.m.inverted()
    cam.right, cam.up = cam.m.to_3x3() @ shapes.X, cam.m.to_3x3() @ shapes.Y
    return cam


def number(shots):
    """File names as the cameras give them: a running number each, by the camera's own time."""
    count: dict = {}
    for s in sorted(shots, key=lambda s: s["time"]):
        count[s["camera"]] = count.get(s["camera"], 0) + 1
        s["file"] = f"{s['camera']}_{count[s['camera']]:04d}.{s.get('suffix', 'jpg')}"


def stamp(time, camera):
    """(ISO time the camera wrote, with the zone's offset; milliseconds only where the camera keeps them)."""
    w = days.written(time, camera)
    return w.isoformat(timespec="milliseconds" if camera == "P1" else "seconds")


def milliseconds(shots):
    """P1 keeps thousandths: give each of its pictures its own."""
    for n, s in enumerate(x for x in sorted(shots, key=lambda s: s["time"]) if x["camera"] == "P1"):
        s["time"] += dt.timedelta(milliseconds=37 * (n + 1) % 1000)
