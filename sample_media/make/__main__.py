"""Steps of making the sample pictures.

python -m make plan WORK            lay out the machine, plan every picture, write WORK/plan.json and WORK/manifest.json
python -m make draw WORK [--gpu] [--samples N] [--part K/N] [--scale S] [--only TEXT]   draw what is missing
"""

import argparse
import json
import tempfile
import time
from pathlib import Path

import bpy  # noqa: F401  (first: it brings mathutils with it)
import numpy as np

from . import clips, days, develop, draw, plan, record, scenes
from .machine import Machine
from .views import Cam

SEED = 1987


def unrelated_shots():
    """Pictures of other things; they hold no tag ends."""
    r, out = np.random.default_rng(5), []
    for kind, camera, when in days.unrelated():
        scene = scenes.Scene(kind, SEED)
        cam = Cam(scene.eye, scene.aim, r.normal(0, 2), 26.5)
        light = {"kind": scene.light, "seed": 1, "eye": tuple(scene.eye), "target": tuple(scene.aim)}
        more = {"shows": f"P1's screen with its clock, {when:%H:%M:%S}"} if kind.startswith("clock") else {}
        out.append({"cam": cam, "state": "unrelated", "shot": "clock" if more else "unrelated", "spot": None, "camera": camera, "time": when,
                    "scene": kind, "light": light, "finish": plan.finish_of(r, "hatch"), "exposure": 0.0, "connectors": [],
                    "flags": [], "faults": [], "orientation": 1, **more})
    return out


def do_plan(work):
    """Plan everything and write the truth."""
    others = unrelated_shots()
    machine = Machine(SEED)
    pl = plan.plan(machine)
    shots = pl.shots + others
    passes = clips.plan(pl)
    stand_ins = [{"camera": c["camera"], "time": c["time"], "suffix": c["suffix"]} for c, _ in passes]
    plan.number(shots + stand_ins)
    plan.milliseconds(shots)
    heic = next(s for s in shots if (s["spot"], s.get("role"), s["camera"]) == ("s17", "first", "P2"))
    heic["file"] = heic["file"].replace(".jpg", ".heic")
    entries = [clips.entry(c, pl, s["file"], cams) for (c, cams), s in zip(passes, stand_ins, strict=True)]
    rows = [{"file": s["file"], "cams": [record.cam_out(q) for q in cams]} for (_, cams), s in zip(passes, stand_ins, strict=True)]
    record.save_plan(work / "plan.json", shots, rows)
    (work / "manifest.json").write_text(json.dumps(record.manifest(machine, shots, entries), indent=1))
    print(len(shots), "pictures planned")


def do_draw(work, a):
    """Draw pictures and clip frames that are not there yet; --part shares the work among several runs."""
    shots, passes = record.load_plan(work / "plan.json")
    part, parts = map(int, a.part.split("/"))
    mine = [s for s in shots[part::parts] if a.only in s["file"] + s["state"] + str(s["spot"])]
    machine = None
    for s in sorted(mine, key=lambda s: s.get("scene", "")):
        out = work / s["file"].replace(".heic", ".jpg")
        if out.exists():
            continue
        if "scene" in s:
            scenes.Scene(s["scene"], SEED)
            machine = None
            draw.setup(a.samples, a.gpu)
            draw.show(set())
        else:
            machine = machine or _machine(a)
            apart, flags, faults = s["look"]
            draw.show(machine.hidden(apart, flags, faults))
        began = time.time()
        png = Path(tempfile.mkdtemp()) / "one.png"
        exposure = draw.metered(s["cam"], s["light"], s["exposure"], str(png))
        draw.picture(s["cam"], s["light"], exposure, str(png), a.scale)
        develop.save(develop.finish(png, s["finish"]), out, s)
        print(s["file"], s["state"], s["spot"], f"{time.time() - began:.1f} s", flush=True)
    if not a.only:
        _frames(work, passes, machine, a, part, parts)


def _machine(a):
    m = Machine(SEED)
    draw.setup(a.samples, a.gpu)
    return m


def _frames(work, passes, machine, a, part, parts):
    """Frames of the clips, as JPEGs in a folder each."""
    machine = machine or _machine(a)
    draw.show(machine.hidden(*clips.BARE))
    for row in passes:
        folder = work / ("frames_" + row["file"].split(".")[0])
        folder.mkdir(exist_ok=True)
        for i in range(part, len(row["cams"]), parts):
            out = folder / f"{i:03d}.jpg"
            if out.exists():
                continue
            cam = record.cam_in(row["cams"][i])
            light = {"kind": "hatch", "seed": 4, "eye": tuple(cam.eye), "target": tuple(cam.eye)}
            png = Path(tempfile.mkdtemp()) / "one.png"
            draw.picture(cam, light, 0.5, str(png), a.scale)
            finish = {"seed": i, "gain": 1.0, "noise": 0.006, "warm": [0.99, 1, 1.01], "vignette": 0.15, "blur": 0, "sharpen": 30}
            develop.finish(png, finish).save(out, quality=92)


def main():
    """Read the command line."""
    ap = argparse.ArgumentParser(prog="make", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("step", choices=["plan", "draw"])
    ap.add_argument("work", type=Path)
    ap.add_argument("--gpu", action="store_true")
    ap.add_argument("--samples", type=int, default=96)
    ap.add_argument("--part", default="0/1")
    ap.add_argument("--scale", type=float, default=1.0)
    ap.add_argument("--only", default="")
    a = ap.parse_args()
    a.work.mkdir(parents=True, exist_ok=True)
    if a.step == "plan":
        do_plan(a.work)
    else:
        do_draw(a.work, a)


main()
