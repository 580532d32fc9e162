"""Holds the sample pictures against their truth file: python -m make.check FOLDER (needs numpy, pillow, pillow-heif, av)."""

import datetime as dt
import json
import sys
from pathlib import Path

import av
import numpy as np
import pillow_heif
from PIL import Image, ImageOps

MADE_BY = {"P1": ("Pocket", True), "P2": ("Handset", False), "K1": ("Compact", False)}


def exif_faults(image, path):
    """What the file's Exif says wrongly of when, by what and which way up; places must be absent."""
    im = Image.open(path)
    x = im.getexif()
    d, out = x.get_ifd(0x8769), []
    wrote = dt.datetime.fromisoformat(image["exif_time"])
    taken = dt.datetime.strptime(d[0x9003], "%Y:%m:%d %H:%M:%S")
    make, full = MADE_BY[image["camera"]]
    if taken != wrote.replace(tzinfo=None, microsecond=0):
        out.append("time")
    if d.get(0x9011) != (wrote.isoformat()[-6:] if full else None) or d.get(0x9291) != (f"{wrote.microsecond // 1000:03d}" if full else None):
        out.append("offset or fraction")
    if x[0x010F] != make or x[0x0110] != image["camera"] or x.get_ifd(0x8825):
        out.append("camera or place")
    if not path.suffix == ".heic" and (x[0x0112] != image["orientation"] or im.size != (image["stored_width"], image["stored_height"])):
        out.append("orientation")
    if ImageOps.exif_transpose(im).size != (image["width"], image["height"]):
        out.append("size")
    return out


def clock_faults(image):
    """K1 is 4 minutes fast, and an hour more while winter time holds."""
    true, wrote = (dt.datetime.fromisoformat(image[k]) for k in ("time", "exif_time"))
    slow = 0 if image["camera"] != "K1" else 240 + (3600 if true.utcoffset() == dt.timedelta(hours=1) else 0)
    return [] if abs((wrote - true).total_seconds() - slow) < 0.01 else ["clock"]


def place_faults(image, xyz):
    """Tag ends must lie where the camera projects them; boxes must lie inside."""
    c, out = np.array(image["camera_to_world"]), []
    for e in image["connectors"]:
        q = c[:, :3].T @ (np.array(xyz[e["id"]]) - c[:, 3])
        u = 0.5 - image["focal_px"] * q[0] / q[2] / image["width"], 0.5 + image["focal_px"] * q[1] / q[2] / image["height"]
        if max(abs(u[0] - e["x"]), abs(u[1] - e["y"])) > 5e-4 or not (0 <= e["x"] <= 1 and 0 <= e["y"] <= 1):
            out.append("place of " + e["id"])
    for f in image["flags"] + image["faults"]:
        b = f["box"]
        if not (0 <= b[0] < b[2] <= image["width"] and 0 <= b[1] < b[3] <= image["height"]):
            out.append("box")
    return out


def clip_faults(clip, path):
    """Length, turn and times of a clip."""
    with av.open(str(path)) as box:
        frames = list(box.decode(video=0))
        created, key = box.metadata.get("creation_time", ""), box.metadata.get("com.apple.quicktime.creationdate")
    when, out = dt.datetime.fromisoformat(clip["creation_time"]), []
    if len(frames) != clip["frames"] or frames[0].rotation % 360 != (270 if clip["rotation"] else 0):
        out.append(f"frames or turn ({len(frames)}, {frames[0].rotation})")
    if dt.datetime.fromisoformat(created) != when or (key is not None) != clip["creationdate_key"]:
        out.append(f"times ({created}, {key})")
    return out


def main(folder):
    """Check every file and print what was found."""
    pillow_heif.register_heif_opener()
    truth = json.loads((folder / "manifest.json").read_text())
    xyz = {c["id"]: c["xyz"] for s in truth["bays"][0]["spots"] for c in s["connectors"]}
    bad, states = [], {}
    for i in truth["images"]:
        path = folder / i["file"]
        bad += [f"{i['file']}: {w}" for w in exif_faults(i, path) + clock_faults(i) + place_faults(i, xyz)]
        states[i["state"]] = states.get(i["state"], 0) + 1
    for c in truth["clips"]:
        bad += [f"{c['file']}: {w}" for w in clip_faults(c, folder / c["file"])]
    seen = {c["id"] for i in truth["images"] for c in i["connectors"] if c["visible"] and i["state"] == "found"}
    read = {f["connector"] for i in truth["images"] for f in i["flags"]}
    size = sum(f.stat().st_size for f in folder.rglob("*") if f.is_file() and "__pycache__" not in f.parts) / 1e6
    print(len(truth["images"]), "pictures", states, len(truth["clips"]), "clips", f"{size:.1f} MB")
    print(len(seen), "of", len(xyz), "tag ends seen as found;", len(read), "with their tape in sight")
    print("faults:", bad or "none")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
