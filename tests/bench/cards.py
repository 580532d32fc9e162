"""A stand-in for engine bays: pieces of real photographs on cards and hoses at many depths, with ground truth.

    python tests/bench/cards.py OUT [--photos FOLDER] [--bays 4] [--spots 8] [--seed 1] [--no-equal]

Writes JPEGs and `manifest.json` into OUT, as `bays.py` reads them. A moving camera sees each spot as found, with parts
in front taken off, and refitted with one part missing and one moved, every time in another light: true parallax and
occlusion and the surfaces of real photographs, but no engine. Nearly half of the parts come from one catalogue, so that
equal ones lie in every bay, and a piece of one bay's floor may be a part of another; --no-equal leaves nothing shared.

Every part near a spot is one of its connectors. Its place is that of the part's middle: where a moved part now is, and
where one that is off was (never `visible`). Same photographs, options and seed, same pictures.

FOLDER holds photographs of any kind (JPEG or PNG); without it some that scikit-image carries are used.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import skimage
from cards_paint import FOCAL_35MM, NEAREST_M, SIZE, Bay, Camera, Card, Hose, light_up, paint, take
from PIL import ExifTags, Image

CARDS, HOSES, CATALOGUE = 420, 45, 30
FLOORS_M = 1.3, 2.2, 4.0
FLOOR_PX, PART_PX, CATALOGUE_PX = 900, 260, 200
CLEAR_PX = 12
START = datetime(2024, 3, 2, 9)
DAY_OF = {"found": 0, "off": 2, "refit": 30}
CARRIED = "brick chelsea clock_motion coffee coins grass gravel hubble_deep_field ihc motorcycle_left retina rocket"


def read_photos(folder: Path | None) -> list[np.ndarray]:
    """Photographs large and lively enough to be cut up, BGR, in the order of their names."""
    carried = Path(skimage.__file__).parent / "data"
    paths = sorted(p for p in (folder or carried).iterdir() if p.suffix in (".jpg", ".png"))
    read = [cv2.imread(str(p)) for p in paths if folder or p.stem in CARRIED.split()]
    photos = [p for p in read if p is not None and min(p.shape[:2]) > 160 and p.std() > 20]
    if not photos:
        raise SystemExit(f"no usable photograph in {folder or carried}")
    return photos


def strip(photo: np.ndarray, number: int, count: int) -> np.ndarray:
    """One of `count` strips of a photograph across its longer side."""
    longer = int(photo.shape[1] >= photo.shape[0])
    edges = np.linspace(0, photo.shape[longer], count + 1).astype(int)
    return photo.take(range(edges[number], edges[number + 1]), axis=longer)


def make_part(rng: np.random.Generator, photos: list[np.ndarray], side: int) -> tuple[np.ndarray, np.ndarray]:
    """A piece of a photograph in the tones of an engine bay with an edge and a few screws: BGR and mask."""
    photo = photos[rng.integers(len(photos))]
    cut = min(photo.shape[:2]) - 1
    if side < FLOOR_PX:
        cut = min(cut, int(rng.integers(60, 160)))
    y, x = rng.integers(0, photo.shape[0] - cut), rng.integers(0, photo.shape[1] - cut)
    piece = cv2.resize(photo[y : y + cut, x : x + cut], (side, side), interpolation=cv2.INTER_CUBIC)
    gray = cv2.cvtColor(piece, cv2.COLOR_BGR2GRAY)[..., None].astype(np.float32)
    tone = rng.choice([35, 60, 110, 160]) * np.exp(rng.normal(0, 0.08, 3))
    if rng.random() < 0.2:
        tone = tone * np.exp(rng.normal(0, 0.3, 3))
    texture = ((gray - gray.mean()) * rng.uniform(0.3, 1.0) + tone).astype(np.float32)
    mask = np.zeros((side, side), np.uint8)
    half, shape = side // 2, rng.integers(3)
    if shape == 0:
        cv2.rectangle(mask, (4, 4), (side - 5, side - 5), 255, -1)
    elif shape == 1:
        cv2.circle(mask, (half, half), half - 4, 255, -1)
    else:
        angles = np.sort(rng.uniform(0, 2 * np.pi, 7))
        corners = half + (half - 4) * np.c_[np.cos(angles), np.sin(angles)] * rng.uniform(0.6, 1, (7, 1))
        cv2.fillPoly(mask, [corners.astype(np.int32)], 255)
    texture += (cv2.morphologyEx(mask, cv2.MORPH_GRADIENT, np.ones((5, 5))) > 0)[..., None] * np.float32(40)
    for _ in range(rng.integers(0, 5)):
        at = [int(v) for v in rng.uniform(0.15, 0.85, 2) * side]
        cv2.circle(texture, at, int(side * 0.05) + 1, rng.uniform(20, 220, 3).tolist(), -1)
        cv2.circle(texture, at, int(side * 0.025) + 1, (10.0, 10.0, 10.0), -1)
    return np.clip(texture, 0, 255).astype(np.uint8), mask


def make_bay(rng: np.random.Generator, photos: list[np.ndarray], floors: list[np.ndarray], catalogue: list[Any]) -> Bay:
    """A floor of each of three photographs, parts of the catalogue and of their own kind, hoses."""
    cards, hoses = [], []
    for k, (side, floor) in enumerate(zip(FLOORS_M, floors, strict=True)):
        texture, _ = make_part(rng, [floor], FLOOR_PX)
        middle = np.array([rng.uniform(-0.3, 0.3), rng.uniform(-0.2, 0.2), 0.42 + 0.02 * k])
        cards.append(
            Card(CARDS + HOSES + k, middle, side, np.eye(3), texture, np.full_like(texture[..., 0], 255), True)
        )
    for k in range(CARDS):
        if rng.random() < 0.45:
            texture, mask = catalogue[rng.integers(len(catalogue))]
            side = rng.uniform(0.03, 0.07)
        else:
            texture, mask = make_part(rng, photos, PART_PX)
            side = float(np.exp(rng.uniform(np.log(0.04), np.log(0.22))))
        middle = rng.uniform([-0.9, -0.7, 0.02], [0.9, 0.7, 0.40])
        tilt_x, tilt_y = rng.normal(0, 0.38, 2)
        turn = turned(0, tilt_x) @ turned(1, tilt_y) @ turned(2, rng.uniform(0, 2 * np.pi))
        cards.append(Card(k, middle, side, turn, texture, mask))
    for k in range(HOSES):
        start = rng.uniform([-0.8, -0.6, 0.05], [0.8, 0.6, 0.3])
        points = np.cumsum(np.vstack([start, rng.normal(0, 0.09, (5, 3)) * [1, 1, 0.4]]), axis=0)
        points[:, 2] = np.clip(points[:, 2], 0.02, 0.38)
        colour = rng.choice([25, 40, 60, 120]) * np.exp(rng.normal(0, 0.25, 3))
        hoses.append(Hose(CARDS + k, points, rng.uniform(0.004, 0.014), colour))
    return Bay(cards, hoses)


def turned(axis: int, angle: float) -> np.ndarray:
    """Rotation about an axis of the bay, radians."""
    return cv2.Rodrigues(np.eye(3)[axis] * angle)[0]


def aim_camera(target: np.ndarray, sideways: float, down: float, roll: float, distance: float) -> Camera:
    """A camera outside the bay that looks at `target`; angles in radians."""
    out = np.array([np.sin(sideways) * np.cos(down), np.sin(down), -np.cos(sideways) * np.cos(down)])
    right = np.cross(-out, [np.sin(roll), -np.cos(roll), 0])
    right /= np.linalg.norm(right)
    return Camera(np.stack([right, np.cross(-out, right), -out]), target + out * distance)


Shot = tuple[np.ndarray, str, list[dict[str, Any]], list[dict[str, Any]]]


def shoot_spot(rng: np.random.Generator, bay: Bay, number: int, counts: Mapping[str, int]) -> Iterator[Shot]:
    """Every picture of a spot of the bay with its state, the places of its connectors, and its faults."""
    column, row = number % 4, number // 4
    target = np.array([0.4 * column - 0.6, 0.36 * row - 0.36, 0.2]) + rng.normal(0, 0.02, 3) * [1, 1, 0]
    distance, sideways, down = rng.uniform(0.42, 0.55), *rng.normal(0, 0.15, 2)
    near = [c for c in bay.cards if not c.floor and np.linalg.norm((c.middle - target)[:2]) < 0.2]
    near.sort(key=lambda c: c.middle[2])
    hoses = [h for h in bay.hoses if np.linalg.norm((h.points - target)[:, :2], axis=1).min() < 0.15]
    off = {t.key for t in (*near[: len(near) // 2], *hoses) if rng.random() < 0.7}
    missing, shifted = (near[k] for k in rng.permutation([k for k, c in enumerate(near) if c.side > 0.035][:14])[:2])
    angle = rng.uniform(0, 2 * np.pi)
    shift = np.array([np.cos(angle), np.sin(angle), 0]) * shifted.side * 0.8
    for state, count in counts.items():
        gone = {"found": set(), "off": off, "refit": {missing.key}}[state]
        moved = {shifted.key: shift} if state == "refit" else {}
        for _ in range(count):
            camera = aim_camera(
                target + rng.normal(0, 0.03, 3) * [1, 1, 0],
                sideways + rng.uniform(-0.38, 0.38),
                down + rng.uniform(-0.3, 0.3),
                rng.uniform(-0.35, 0.35),
                distance * np.exp(rng.uniform(-0.28, 0.28)),
            )
            even, keys = paint(bay, camera, gone, moved)
            sightings = [s for c in near if (s := sighting(c, camera, keys, moved.get(c.key)))]
            faults = []
            if state == "refit":
                whole = paint(bay, camera)[1]
                faults.append(fault("missing", whole == missing.key))
                faults.append(fault("moved", (whole == shifted.key) | (keys == shifted.key)))
            yield take(rng, light_up(rng, even)), state, sightings, [f for f in faults if f]


def sighting(card: Card, camera: Camera, keys: np.ndarray, shift: np.ndarray | None) -> dict[str, Any] | None:
    """Where the middle of a part lies and how clear it is; None where it is out of the frame."""
    at, depth = camera.see((card.middle if shift is None else card.middle + shift)[None])
    x, y = np.rint(at[0]).astype(int)
    if depth[0] < NEAREST_M or not (0 <= x < SIZE[0] and 0 <= y < SIZE[1]):
        return None
    around = keys[max(0, y - CLEAR_PX) : y + CLEAR_PX + 1, max(0, x - CLEAR_PX) : x + CLEAR_PX + 1]
    place = (at[0] + 0.5) / SIZE
    return {
        "id": card.key,
        "x": place[0],
        "y": place[1],
        "visible": bool(keys[y, x] == card.key),
        "clear": float((around == card.key).mean()),
        "moved": shift is not None,
    }


def fault(kind: str, where: np.ndarray) -> dict[str, Any] | None:
    """The box around what is not as it was, in pixels; None where next to nothing of it shows."""
    if where.sum() < 400:
        return None
    y, x = np.nonzero(where)
    return {"kind": kind, "box": [int(v) for v in (x.min(), y.min(), x.max() + 1, y.max() + 1)], "visible": True}


def main() -> None:
    """Read the command line and write the set."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("out", type=Path)
    parser.add_argument("--photos", type=Path)
    for name, value in (("bays", 4), ("spots", 8), ("found", 4), ("off", 2), ("refit", 2), ("seed", 1)):
        parser.add_argument(f"--{name}", type=int, default=value)
    parser.add_argument("--no-equal", action="store_true", help="bays share no piece of any photograph")
    options = parser.parse_args()
    cv2.setNumThreads(1)
    options.out.mkdir(parents=True, exist_ok=True)
    photos = read_photos(options.photos)
    rng = np.random.default_rng(options.seed)
    catalogue = [make_part(rng, photos, CATALOGUE_PX) for _ in range(CATALOGUE)]
    # Floors fill much of a picture, and own parts are to be unlike those of other bays: both are each bay's own.
    order = rng.permutation(len(photos))
    if len(photos) < len(FLOORS_M) * options.bays:
        print(f"{len(photos)} photographs are few for {options.bays} bays: some bays share a floor")
    entries: list[dict[str, Any]] = []
    for b in range(options.bays):
        rng = np.random.default_rng([options.seed, b])
        floors = [photos[order[(len(FLOORS_M) * b + k) % len(photos)]] for k in range(len(FLOORS_M))]
        own = [strip(p, b, options.bays) for p in photos]
        if options.no_equal:
            catalogue = [make_part(rng, own, CATALOGUE_PX) for _ in range(CATALOGUE)]
            floors = [strip(p, b, options.bays) for p in floors]
        bay = make_bay(rng, own, floors, catalogue)
        clock = 0.0
        for s in range(options.spots):
            spot = f"bay{b}-spot{s}"
            shots = shoot_spot(rng, bay, s, {state: getattr(options, state) for state in DAY_OF})
            for k, (picture, state, sightings, faults) in enumerate(shots):
                clock += rng.uniform(60, 400) if k == 0 else rng.uniform(5, 40)
                taken = START + timedelta(days=60 * b + DAY_OF[state], seconds=round(clock))
                exif = Image.Exif()
                exif.get_ifd(ExifTags.IFD.Exif).update(
                    {
                        ExifTags.Base.FocalLengthIn35mmFilm: FOCAL_35MM,
                        ExifTags.Base.DateTimeOriginal: taken.strftime("%Y:%m:%d %H:%M:%S"),
                    }
                )
                name = f"{spot}-{k}-{state}.jpg"
                Image.fromarray(picture[..., ::-1]).save(options.out / name, quality=90, exif=exif)
                entries.append(
                    {
                        "file": name,
                        "bay": f"bay{b}",
                        "spot": spot,
                        "state": state,
                        "shot": "spot",
                        "exif_time": taken.isoformat(),
                        "width": SIZE[0],
                        "height": SIZE[1],
                        "connectors": [{**c, "id": f"{spot}-{c['id']}", "spot": spot} for c in sightings],
                        "faults": [{**f, "spot": spot} for f in faults],
                    }
                )
        (options.out / "manifest.json").write_text(json.dumps({"images": entries}, indent=1))
        print(f"bay {b}: {len(entries)} pictures", flush=True)


if __name__ == "__main__":
    main()
