"""Keeps the plan between the steps, and writes the truth as manifest.json."""

import datetime as dt
import json

from mathutils import Matrix

from . import days, develop, sallow
from .views import Cam

CAMERAS = {
    "P1": {"clock_error_s": 0, "writes": "OffsetTimeOriginal and SubSecTimeOriginal"},
    "P2": {"clock_error_s": 0, "writes": "no offset, no fraction"},
    "K1": {"clock_error_s": 240, "clock_error_s_after_2025_10_26": 3840, "writes": "no offset, no fraction; left on summer time"},
}


def cam_out(cam):
    """A camera as plain numbers."""
    return {"matrix": [list(r) for r in cam.m], "lens": cam.lens, "portrait": cam.portrait, "size": [cam.w, cam.h]}


def cam_in(d):
    """The camera again, exactly as planned."""
    cam = Cam((0, 0, 1), (0, 0, 0), 0, d["lens"], d["portrait"], tuple(d["size"]))
    cam.m = Matrix(d["matrix"])
    cam.back = cam.m.inverted()
    r = cam.m.to_3x3()
    cam.eye, cam.right, cam.up = cam.m.translation.copy(), r.col[0].copy(), r.col[1].copy()
    return cam


def save_plan(path, shots, clips):
    """Write shots and clips as JSON."""
    rows = [{**s, "cam": cam_out(s["cam"]), "time": s["time"].isoformat()} for s in shots]
    path.write_text(json.dumps({"shots": rows, "clips": clips}))


def load_plan(path):
    """Shots and clips, cameras and times restored."""
    d = json.loads(path.read_text())
    for s in d["shots"]:
        s["cam"], s["time"] = cam_in(s["cam"]), dt.datetime.fromisoformat(s["time"])
    return d["shots"], d["clips"]


def picture_entry(s):
    """One picture's truth."""
    c, sideways = s["cam"], s["orientation"] in (6, 8)
    camera = s["camera"]
    w = days.written(s["time"], camera)
    e = {"file": s["file"], "bay": "sallow" if s["spot"] or s["shot"] == "overview" else None, "spot": s["spot"], "state": s["state"],
         "shot": s["shot"], "camera": camera, "time": s["time"].isoformat(timespec="milliseconds"),
         "exif_time": w.isoformat(timespec="milliseconds"), "exif_offset": w.isoformat()[-6:] if camera == "P1" else None,
         "width": c.w, "height": c.h, "stored_width": c.h if sideways else c.w, "stored_height": c.w if sideways else c.h,
         "orientation": s["orientation"], "focal_px": round(c.f, 2), "camera_to_world": [[round(float(v), 5) for v in r] for r in c.m][:3],
         "light": s["light"]["kind"], "connectors": s["connectors"], "flags": s["flags"], "faults": s["faults"]}
    e["make"], e["model"] = develop.MAKES[camera]
    for key in ("role", "view_change_deg", "scene_state", "query_connector", "shows"):
        if key in s:
            e[key] = s[key]
    return e


def spot_entries(machine):
    """The spots with their tag ends."""
    out = []
    wrong = {f["spot"]: f["kind"] for f in machine.faults}
    for spot, (name, *_rest) in sallow.SPOTS.items():
        ends = [e for e in machine.ends.values() if e.spot == spot]
        out.append({"spot": spot, "name": name, "fault_in_refit": wrong.get(spot),
                    "connectors": [{"id": e.key, "tag": int(e.number), "end": e.letter, "kind": e.kind.split()[-1],
                                    "xyz": [round(v, 4) for v in e.anchor]} for e in ends]})
    return out


def manifest(machine, shots, clips):
    """The whole truth file."""
    cameras = {k: {"make": develop.MAKES[k][0], "model": develop.MAKES[k][1], **v} for k, v in CAMERAS.items()}
    images = sorted((picture_entry(s) for s in shots), key=lambda e: (e["time"], e["file"]))
    return {"set": "sallow", "units": "1 unit of camera_to_world = 10 cm", "zone": "Europe/Amsterdam", "cameras": cameras,
            "bays": [{"bay": "sallow", "name": "river workboat Sallow, engine space", "spots": spot_entries(machine)}],
            "images": images, "clips": clips}
