"""What one picture truly shows: tag ends, readable tapes, faults. Positions in the displayed picture."""

import numpy as np
from mathutils import Vector


def own(end, shown):
    """Objects of a joint that show."""
    return [o for o in [*end.fixed, *end.moving, *end.clamp, *end.swap, *end.cover] if o.name in shown]


def seen(end, cam, sight, shown):
    """Share of 5 rays that reach the joint; brackets and mounts count whatever lies at their place."""
    if end.kind == "group":
        return sight.share(cam, end.anchor, sight.obs, near=0.32)
    return sight.share(cam, end.anchor, own(end, shown))


def connectors(machine, cam, sight, shown):
    """Every tag end whose joint falls in the frame."""
    out = []
    for key, e in machine.ends.items():
        if not cam.inside(e.anchor):
            continue
        x, y, depth = cam.pixel(e.anchor)
        share = seen(e, cam, sight, shown)
        on = any(o.name in shown for o in [*e.moving, *e.swap])
        out.append({"id": key, "spot": e.spot, "tag": int(e.number), "end": e.letter, "kind": e.kind.split()[-1],
                    "x": round(x / cam.w, 5), "y": round(y / cam.h, 5), "visible": share >= 0.4, "clear": round(share, 1),
                    "depth_cm": round(depth * 10, 1), "attached": on})
    return out


def flags(machine, cam, sight, shown):
    """Tape faces in sight, wholly in the frame and mostly uncovered."""
    out = []
    for key, e in machine.ends.items():
        if not e.flag or e.flag[0].name not in shown:
            continue
        k = np.array(e.flag_face["corners"])
        b = cam.box(k)
        if not b or not all(cam.inside(q) for q in k):
            continue
        mid, names = k.mean(0), {o.name for o in e.flag}
        points = [mid, *(mid * 0.35 + q * 0.65 for q in k)]
        hits = [sight.first(cam.eye, q)[0] for q in points]
        share = sum(h is not None and h.name in names for h in hits) / 5
        facing = abs((cam.eye - Vector(mid)).normalized().dot(Vector(e.flag_face["normal"])))
        if share >= 0.6 and facing > 0.25:
            side = [np.hypot(*np.subtract(cam.pixel(k[i])[:2], cam.pixel(k[j])[:2])) for i, j in ((0, 3), (1, 2))]
            out.append({"tag": int(e.number), "end": e.letter, "connector": key, "box": b, "clear": round(share, 1),
                        "facing": round(float(facing), 2), "height_px": round(float(min(side)), 1)})
    return out


def faults(machine, cam, sight):
    """Wrong refits in the frame, with a box round the place."""
    out = []
    for f in machine.faults:
        pts = np.array([list(q) for q in f["points"]])
        lo, hi = pts.min(0) - 0.16, pts.max(0) + 0.16
        b = cam.box([(x, y, z) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])])
        mid = [q for q in f["points"] if cam.inside(q)]
        if b and mid:
            seen = any(sight.first(cam.eye, q)[2] > (cam.eye - Vector(q)).length - 0.5 for q in mid)
            out.append({"spot": f["spot"], "kind": f["kind"], "connectors": f["keys"], "box": b, "visible": bool(seen), "note": f["note"]})
    return out
