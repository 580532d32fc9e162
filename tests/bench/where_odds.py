"""Fit the probability that a photo shows a place of the archive, on rendered bays with truth.

    python tests/bench/where_odds.py FOLDER FOLDER...

The archive of each folder holds what was photographed as found and tagged. It is asked about the folder's close-ups and
about pieces of its later pictures: 1.7 to 2.5 times nearer or .45 to .8 times as near, turned by up to half a turn,
relit, noisy. Each is asked of its own folder and of the next one, which shows another machine. Prints the
constants of `core/match/belief.py`, how many are answered rightly and wrongly, and a reliability curve: each folder is
judged by what the others teach.
"""

from __future__ import annotations

import sys
import time
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from bays import BaySet, Truth
from logistic import fit

from asfound.core.match.landmarks import Landmarks, landmarks_of_picture, landmarks_of_scene
from asfound.core.match.place import describe_place
from asfound.core.match.query import (
    SURE_PROBABILITY,
    Sight,
    _borne_out,
    by_probability,
    look_for,
    rank_originals,
    seen_again,
)
from asfound.core.match.query_photo import QueryPhoto

MOST_PLACES, MOST_PICTURES = 10, 10
SIZE = (1024, 768)
RIDGE = 0.1


@dataclass(frozen=True)
class Asked:
    """A photo and the joint that it is taken of."""

    name: str
    kind: str
    photo: QueryPhoto
    aim: str


class Archive:
    """The pictures of a bay in some states, in true spots."""

    def __init__(self, bay: BaySet, states: tuple[str, ...]) -> None:
        self.bay = bay
        self.photos = [p for p in bay.photos if p.state in states]
        spots = sorted({p.spot for p in self.photos if p.spot})
        self.places: list[Landmarks] = []
        for spot in spots:
            scene = bay.scene(tuple(p.picture_id for p in self.photos if p.spot == spot))
            if len(scene.points):
                shown = [bay.scene_picture(int(i)) for i in scene.picture_ids]
                self.places.append(landmarks_of_scene(scene, shown))
        self.vectors = {p.picture_id: describe_place(bay.features(p.picture_id)) for p in self.photos}

    def likely(self, photo: QueryPhoto) -> list[Landmarks]:
        """Its places, the likeliest by place vector first."""
        mine = describe_place(photo.first.features)
        best = [max(float(self.vectors[int(i)] @ mine) for i in place.picture_ids) for place in self.places]
        return [self.places[k] for k in np.argsort(-np.array(best), kind="stable")[:MOST_PLACES]]

    def alone(self, photo: QueryPhoto) -> Iterator[Landmarks]:
        """Its pictures, the likeliest by place vector first."""
        mine = describe_place(photo.first.features)
        for picture_id in sorted(self.vectors, key=lambda i: -float(self.vectors[i] @ mine))[:MOST_PICTURES]:
            yield landmarks_of_picture(self.bay.scene_picture(picture_id))

    def shows(self, picture_id: int, aim: str) -> bool:
        """Whether a picture shows a joint."""
        c = self.bay.pictures[picture_id].connector(aim)
        return c is not None and bool(c["visible"])


def asked_of(bay: BaySet, states: tuple[str, ...]) -> Iterator[Asked]:
    """The bay's close-ups, and pieces of its pictures in other states than those of the archive."""
    for p in bay.queries:
        yield Asked(p.file, "close-up", QueryPhoto(bay.gray(p.picture_id), _focal(bay, p)), p.entry["query_connector"])
    for p in bay.photos:
        if p.spot is None or p.state in states:
            continue
        rng = np.random.default_rng(zlib.crc32(f"{bay.folder.name}{p.file}".encode()))
        here = [c for c in p.entry["connectors"] if c["visible"] and c["spot"] == p.spot]
        here = [c for c in here if 0.15 < c["x"] < 0.85 and 0.15 < c["y"] < 0.85]
        rng.shuffle(here)
        for c, kind in zip(here, ("near", "far"), strict=False):
            zoom = rng.uniform(1.7, 2.5) if kind == "near" else rng.uniform(0.45, 0.8)
            zoom *= max(SIZE) / max(p.size)
            photo = QueryPhoto(piece(bay.gray(p.picture_id), c["x"], c["y"], zoom, rng), _focal(bay, p) * zoom)
            yield Asked(p.file, kind, photo, c["id"])


def _focal(bay: BaySet, p: Truth) -> float:
    shown = bay.scene_picture(p.picture_id)
    return shown.focal_px * max(p.size) / max(shown.features.size_px)


def piece(gray: np.ndarray, x: float, y: float, zoom: float, rng: np.random.Generator) -> np.ndarray:
    """A picture of `SIZE` around a place, `zoom` times larger, turned, relit and with noise."""
    height, width = gray.shape
    turn = np.radians(rng.uniform(-180, 180) if rng.random() < 0.5 else rng.uniform(-20, 20))
    linear = zoom * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    middle = np.array([x * width, y * height]) + rng.normal(0, 0.05, 2) * width / max(zoom, 1)
    matrix = np.column_stack([linear, np.array(SIZE) / 2 - linear @ middle])
    if zoom < 1:
        gray = cv2.GaussianBlur(gray, (0, 0), 0.5 / zoom)
    taken = cv2.warpAffine(gray, matrix, SIZE, flags=cv2.INTER_CUBIC, borderValue=float(gray.mean()))
    light = (taken.astype(np.float32) / 255) ** rng.uniform(0.6, 1.7)
    down, across = np.mgrid[: SIZE[1], : SIZE[0]]
    slope = rng.normal(0, 0.35, 2)
    light *= np.clip(1 + slope[0] * (across / SIZE[0] - 0.5) + slope[1] * (down / SIZE[1] - 0.5), 0.3, 2)
    light = light * rng.uniform(0.6, 1.3) + rng.normal(0, 0.02, light.shape)
    return np.clip(light * 255, 0, 255).astype(np.uint8)


def answers(archive: Archive, asked: Asked) -> dict:
    """What each of the stages makes of a photo: row of the fit, and whether the first and the five are right."""
    start = time.process_time()
    photo = asked.photo
    sights = [Sight(place, (look_for(photo.first, place),)) for place in archive.likely(photo)]
    first = _borne_out(sights, 1)
    between = time.process_time()
    both = _borne_out([seen_again(photo, sight) for sight in first], 1)
    after = time.process_time()
    alone = by_probability(Sight(picture, (look_for(photo.second, picture),)) for picture in archive.alone(photo))
    out = {"kind": asked.kind, "name": asked.name}
    out["took"] = between - start, after - between, time.process_time() - after
    for stage, ranked in (("one", first), ("both", both), ("picture", alone)):
        five = [archive.shows(o.picture_id, asked.aim) for o in rank_originals(ranked[:2])[:5]]
        best = ranked[0]
        out[stage] = {"row": [1.0, best.score, best.best.excess], "right": five[:1] == [True]}
        out[stage]["five"] = any(five)
    return out


def collect(bay: BaySet, other: BaySet) -> list[dict]:
    """Answers of a bay's own archive and of a foreign one to its photos."""
    states = ("found", "tagged")
    own, whole, foreign = Archive(bay, states), Archive(bay, (*states, "off", "refit")), Archive(other, states)
    found = []
    for asked in asked_of(bay, states):
        found.append(answers(whole if asked.kind == "close-up" else own, asked) | {"home": True})
        found.append(answers(foreign, asked) | {"home": False})
    return found


def odds_of(sets: dict[str, list[dict]], stage: str) -> np.ndarray:
    """The constants that some sets teach."""
    told = [each for mine in sets.values() for each in mine if each["home"] <= each[stage]["right"]]
    rows, truth = np.array([e[stage]["row"] for e in told]), np.array([e["home"] for e in told])
    return fit(rows, truth.astype(float), ridge=RIDGE)


def report(sets: dict[str, list[dict]]) -> None:
    """Print constants, counts and reliability."""
    for stage in ("one", "both", "picture"):
        print(stage, "constants", np.round(odds_of(sets, stage), 2).tolist())
        said = []
        for name, mine in sets.items():
            odds = odds_of({k: v for k, v in sets.items() if k != name} or sets, stage)
            p = 1 / (1 + np.exp(-np.array([e[stage]["row"] for e in mine]) @ odds))
            said += [(x, e["home"] and e[stage]["five"], e["home"], e["kind"]) for x, e in zip(p, mine, strict=True)]
            for kind in ("close-up", "near", "far"):
                here = [e for e in zip(p, mine, strict=True) if e[1]["kind"] == kind]
                own = [e for e in here if e[1]["home"]]
                print(
                    f"  {name} {kind}: right at 1 {sum(x >= SURE_PROBABILITY and e[stage]['right'] for x, e in own)},"
                    f" at 5 {sum(x >= SURE_PROBABILITY and e[stage]['five'] for x, e in own)}, wrong"
                    f" {sum(x >= SURE_PROBABILITY and not e[stage]['five'] for x, e in own)} of {len(own)};"
                    f" foreign answered {sum(x >= SURE_PROBABILITY for x, e in here if not e['home'])}"
                )
        for low, high in ((0, 0.1), (0.1, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.98), (0.98, 1.01)):
            band = [s for s in said if low <= s[0] < high]
            if band:
                print(f"  said {low} to {high}: {len(band)}, right {np.mean([s[1] for s in band]):.2f}")
        for least in (0.3, 0.5, 0.7, 0.9):
            own = [s for s in said if s[2]]
            right = np.mean([s[0] >= least and s[1] for s in own])
            print(f"  from {least}: right at 5 {right:.2f} of {len(own)},", end=" ")
            print(f"foreign {sum(s[0] >= least for s in said if not s[2])} of {len(said) - len(own)}")
    took = np.array([e["took"] for mine in sets.values() for e in mine])
    print("processor seconds, one size, the other, pictures:", np.round(took.mean(axis=0), 2).tolist())


def main() -> None:
    """Read the command line, collect, print."""
    cv2.setNumThreads(1)
    bays = [BaySet(Path(folder)) for folder in sys.argv[1:]]
    report({bay.folder.name: collect(bay, bays[(k + 1) % len(bays)]) for k, bay in enumerate(bays)})


if __name__ == "__main__":
    main()
