"""Two short passes with a phone in the hand: camera paths here, frames drawn elsewhere, files written by `pack`."""

import numpy as np
from mathutils import Vector

from . import days, sallow, truth
from .views import Cam

FPS, FRAMES = 10, 70
BARE = ((), (), False)


def _eye_and_aim(spot, back):
    """Where a person stands and looks for a spot, `back` times its usual distance away."""
    _, aim, d, dist = sallow.SPOTS[spot]
    return Vector(aim) + Vector(d).normalized() * dist * back, Vector(aim)


def cameras(clip, seed):
    """Camera of every frame: eased between the spots of the pass, with a hand's sway."""
    r = np.random.default_rng(seed)
    size = (480, 640) if clip["turned"] else (640, 480)
    stops = [(t, *_eye_and_aim(spot, 1.15)) for spot, t in clip["pass"]]
    sway, out = np.zeros(3), []
    for i in range(FRAMES):
        u = i / (FRAMES - 1)
        k = max(j for j in range(len(stops) - 1) if stops[j][0] <= u)
        (t0, e0, a0), (t1, e1, a1) = stops[k], stops[k + 1]
        v = (u - t0) / (t1 - t0)
        v = v * v * (3 - 2 * v)
        sway = sway * 0.9 + r.normal(0, 0.012, 3)
        cam = Cam(e0.lerp(e1, v) + Vector(sway), a0.lerp(a1, v) + Vector(sway * 1.5), 2 * np.sin(u * 5), 27, clip["turned"], size)
        out.append(cam)
    return out


def entry(clip, planner, file, cams):
    """The clip's truth: what is in view at the start of each second."""
    sight, shown = planner.sight(BARE)
    rows = []
    for k in range(0, FRAMES, FPS):
        seen: dict = {}
        for e in planner.m.ends.values():
            if cams[k].inside(e.anchor) and truth.seen(e, cams[k], sight, shown) >= 0.4:
                seen[e.spot] = seen.get(e.spot, 0) + 1
        rows.append({"second": k // FPS, "spots_in_view": sorted(s for s, n in seen.items() if n >= 2)})
    w, h = cams[0].w, cams[0].h
    return {"file": file, "bay": "sallow", "spot": clip["pass"][-1][0], "state": "found", "fps": FPS, "frames": FRAMES, "width": w, "height": h,
            "rotation": 90 if clip["turned"] else 0, "camera": clip["camera"], "creation_time": clip["time"].isoformat(),
            "creationdate_key": clip["suffix"] == "mov", "per_second": rows}


def plan(planner):
    """Truth entries and frame cameras of both clips."""
    return [(c, cameras(c, 40 + i)) for i, c in enumerate(days.CLIPS)]
