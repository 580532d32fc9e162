"""How well pictures are sorted, pins carried and changes found, on rendered bays.

    python tests/bench/matching.py FOLDER...

Scores `core/match` directly, the way the product is scored through its command line. Prints one table for each folder.
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from bays import BaySet, Truth
from rivals import OneHomography

from asfound.core.match.aim import Aim, choose_spot, find_aim
from asfound.core.match.carry import CarriedPin, HandPin, carry_pins
from asfound.core.match.compare import compare_pictures
from asfound.core.match.drawn_pins import PinSighting, draw_pins
from asfound.core.match.landmarks import landmarks_of_picture, landmarks_of_scene
from asfound.core.match.pairs import SpotPicture, propose_pairs
from asfound.core.match.place import describe_place, rank_places
from asfound.core.match.query import find_originals
from asfound.core.match.query_photo import QueryPhoto
from asfound.core.match.scene import Scene, ScenePicture
from asfound.core.match.spots import PictureEvidence, group_spots, spot_probability, with_placed, without_pairs
from asfound.core.match.tilts import with_tilts

KINDS = {"found": "near", "tagged": "near", "off": "part_off", "refit": "refit"}


def home_pins(bay: BaySet) -> list[tuple[str, Truth, dict[str, Truth]]]:
    """For each connector its clearest as-found picture and the spot's pictures whose frame holds it."""
    out = []
    ids = sorted({c["id"] for p in bay.photos for c in p.entry["connectors"]})
    for connector_id in ids:
        seen = {p.file: p for p in bay.photos if p.connector(connector_id)}
        founds = []
        for p in seen.values():
            c = p.connector(connector_id)
            if p.state == "found" and p.spot == c["spot"] and c["visible"] and _within(c, 0.05):
                founds.append((c["clear"], -abs(c["x"] - 0.5) - abs(c["y"] - 0.5), p))
        if founds:
            out.append((connector_id, max(founds, key=lambda f: f[:2])[2], seen))
    return out


def _within(c: dict, margin: float) -> bool:
    return margin < c["x"] < 1 - margin and margin < c["y"] < 1 - margin


def score_carry(
    bay: BaySet, carry: Callable[[str, Truth, HandPin], list[CarriedPin]], detail: list | None = None
) -> dict:
    """Recall of visible sightings within 2 and 5 percent, by kind, and the share of carried pins that are wrong."""
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    wrong = carried = 0
    for connector_id, home, seen in home_pins(bay):
        c = home.connector(connector_id)
        said = {
            p.picture_id: p for p in carry(connector_id, home, HandPin(connector_id, home.picture_id, c["x"], c["y"]))
        }
        for p in seen.values():
            s = p.connector(connector_id)
            if p is home or p.spot != c["spot"] or not s["visible"] or not _within(s, 0):
                continue
            pin = said.get(p.picture_id)
            gap = 1.0 if pin is None else p.gap(pin.x_frac, pin.y_frac, s)
            for k, hit in enumerate((True, gap <= 0.02, gap <= 0.05)):
                counts[KINDS[p.state]][k] += hit
            if detail is not None:
                detail.append((connector_id, home, p, gap, pin))
        for pin in said.values():
            p = bay.pictures[pin.picture_id]
            s = p.connector(connector_id)
            carried += 1
            miss = s is None or p.gap(pin.x_frac, pin.y_frac, s) > 0.05
            wrong += miss
    total = [sum(v[k] for v in counts.values()) for k in range(3)]
    score = {"all": f"{total[1] / max(1, total[0]):.3f}/{total[2] / max(1, total[0]):.3f}", "sightings": total[0]}
    score |= {k: f"{v[1] / v[0]:.2f}/{v[2] / v[0]:.2f}" for k, v in sorted(counts.items())}
    return score | {"carried": carried, "wrong": f"{wrong / max(1, carried):.3f}"}


def scenes_of(bay: BaySet, spot_of: dict[int, Any]) -> dict[Any, Scene]:
    """One scene for each spot, kept on disk."""
    scenes = {}
    for spot in sorted(set(spot_of.values())):
        ids = sorted(i for i, s in spot_of.items() if s == spot)
        scenes[spot] = bay.scene(tuple(ids))
    return scenes


def carrier(bay: BaySet, spot_of: dict[int, Any]) -> Callable[[str, Truth, HandPin], list[CarriedPin]]:
    """Carry within the spot of the pin's picture."""
    scenes = scenes_of(bay, spot_of)

    def carry(connector_id: str, home: Truth, pin: HandPin) -> list[CarriedPin]:
        spot = spot_of.get(home.picture_id)
        if spot is None:
            return []
        ids = [i for i, s in spot_of.items() if s == spot]
        pictures = [bay.scene_picture(i) for i in ids]
        said = carry_pins([pin], pictures, bay.likenesses(ids), load_gray=bay.gray, scene=scenes[spot])
        return [p for p in said if p.inside]

    return carry


def said_spots(bay: BaySet) -> dict[int, int]:
    """The machine's own spots."""
    evidence = [PictureEvidence(p.picture_id, p.taken_s) for p in bay.photos]
    likenesses = bay.likenesses([p.picture_id for p in bay.photos])
    spot_of = group_spots(evidence, {pair: likeness.summary for pair, likeness in likenesses.items()}).spot_of
    return with_placed(spot_of, joined_lone(bay, without_pairs(spot_of)))


def joined_lone(bay: BaySet, spot_of: dict[int, int]) -> dict[int, int]:
    """Lone pictures that the scene of a spot takes in, as it is or by its tilted views."""
    scenes = scenes_of(bay, spot_of)
    places = {p.picture_id: describe_place(bay.features(p.picture_id)) for p in bay.photos}
    ids = [i for i in places if i in spot_of]
    vectors = np.stack([places[i] for i in ids])
    found = {}
    for p in bay.photos:
        if p.picture_id in spot_of:
            continue
        likely = list(dict.fromkeys(spot_of[ids[k]] for k in rank_places(places[p.picture_id], vectors)))
        likest = {
            spot: max(
                spot_probability(bay.likeness(*sorted((i, p.picture_id))).summary) for i in ids if spot_of[i] == spot
            )
            for spot in likely
        }
        plain = bay.scene_picture(p.picture_id)
        for shown, most in ((plain, 5), (None, 3)):
            picture = shown or replace(plain, features=with_tilts(bay.gray(p.picture_id), plain.features))
            aims = {spot: aim_in(bay, scenes[spot], picture) for spot in likely[:most]}
            spot = choose_spot({spot: aim for spot, aim in aims.items() if aim is not None}, likest)
            if spot is not None:
                found[p.picture_id] = spot
                break
    return found


def aim_in(bay: BaySet, scene: Scene, picture: ScenePicture) -> Aim | None:
    """Where a picture aims in a scene of the set."""
    return find_aim(scene, [bay.scene_picture(int(i)) for i in scene.picture_ids], picture)


def score_spots(bay: BaySet, spot_of: dict[int, int]) -> dict:
    """Pairwise precision, recall and F1; overviews of one bay may lie together."""
    tp = fp = fn = 0
    for a, b in combinations(bay.photos, 2):
        if a.shot == b.shot == "overview" and a.bay == b.bay:
            continue
        true = a.spot is not None and a.spot == b.spot
        said = spot_of.get(a.picture_id) is not None and spot_of.get(a.picture_id) == spot_of.get(b.picture_id)
        tp, fp, fn = tp + (true and said), fp + (said and not true), fn + (true and not said)
    return {
        "precision": round(tp / max(1, tp + fp), 3),
        "recall": round(tp / max(1, tp + fn), 3),
        "F1": round(2 * tp / max(1, 2 * tp + fp + fn), 3),
    }


def score_pairs(bay: BaySet, spot_of: dict[int, int]) -> dict:
    """Share of proposals that show one spot in two states, and of spots whose removal is covered."""
    good = said = 0
    covered = set()
    for spot in sorted(set(spot_of.values())):
        ids = [i for i, s in spot_of.items() if s == spot]
        members = [SpotPicture(i, bay.pictures[i].taken_s) for i in ids]
        for pair in propose_pairs(members, bay.likenesses(ids), load_gray=bay.gray):
            a, b = bay.pictures[pair.before_id], bay.pictures[pair.after_id]
            right = a.spot is not None and a.spot == b.spot
            right &= (a.state in ("found", "tagged") and b.state in ("off", "refit")) or (a.state, b.state) == (
                "off",
                "refit",
            )
            said, good = said + 1, good + right
            if right and b.state == "off":
                covered.add(a.spot)
    with_off = {p.spot for p in bay.photos if p.state == "off" and p.spot}
    return {
        "said": said,
        "precision": round(good / max(1, said), 3),
        "covered": round(len(covered & with_off) / max(1, len(with_off)), 3),
    }


def score_where(bay: BaySet, spot_of: dict[int, int]) -> dict:
    """Recall at 1 and 5 of a picture that shows the joint aimed at, and the error of all connectors drawn."""
    at1 = at5 = drawn = near = 0
    took = []
    homes = home_pins(bay)
    places = {}
    for spot, scene in scenes_of(bay, spot_of).items():
        if len(scene.points):
            places[spot] = landmarks_of_scene(scene, [bay.scene_picture(int(i)) for i in scene.picture_ids])
    vectors = {p.picture_id: describe_place(bay.features(p.picture_id)) for p in bay.photos}
    carry = carrier(bay, spot_of)
    sightings = []
    for name, home, _ in homes:
        pin = HandPin(name, home.picture_id, home.connector(name)["x"], home.connector(name)["y"])
        sightings.append(PinSighting(name, home.picture_id, pin.x_frac, pin.y_frac))
        sightings += [
            PinSighting(name, p.picture_id, p.x_frac, p.y_frac, p.confidence)
            for p in carry(name, home, pin)
            if p.how == "depth"
        ]
    for q in bay.queries:
        start = time.process_time()
        shown = bay.scene_picture(q.picture_id)
        gray = bay.gray(q.picture_id)
        photo = QueryPhoto(gray, shown.focal_px * max(gray.shape) / max(shown.features.size_px))
        mine = describe_place(photo.first.features)
        likely = sorted(places.values(), key=lambda x: -max(vectors[int(i)] @ mine for i in x.picture_ids))[:10]
        alone = sorted(vectors, key=lambda i: -(vectors[i] @ mine))[:10]
        originals = find_originals(photo, likely, (landmarks_of_picture(bay.scene_picture(i)) for i in alone))[:5]
        right = []
        for original in originals:
            c = bay.pictures[original.picture_id].connector(q.entry["query_connector"])
            right.append(c is not None and c["visible"])
        at1, at5 = at1 + any(right[:1]), at5 + any(right[:5])
        said = {}
        for sight in {id(original.sight): original.sight for original in originals}.values():
            for pin in draw_pins(sight, sightings):
                if pin.key not in said or pin.confidence > said[pin.key].confidence:
                    said[pin.key] = pin
        took.append(time.process_time() - start)
        for pin in said.values():
            c = q.connector(pin.key)
            if c is not None and c["visible"]:
                drawn, near = drawn + 1, near + (q.gap(pin.x_frac, pin.y_frac, c) <= 0.05)
    n = max(1, len(bay.queries))
    return {
        "at 1": f"{at1}/{n}",
        "at 5": f"{at5}/{n}",
        "drawn": drawn,
        "within 5 %": round(near / max(1, drawn), 2),
        "processor seconds": round(sum(took) / n, 2),
    }


def score_compare(bay: BaySet, spot_of: dict[int, Any]) -> dict:
    """Faults of the spot met by the strongest 1 and 3 boxes; strong boxes on pictures without a fault."""
    scenes = scenes_of(bay, spot_of)
    hits1 = hits3 = faulty = sound = alarms = registered = tried = 0
    for after in bay.photos:
        founds = [p for p in bay.photos if p.spot == after.spot and p.state == "found"]
        if after.state != "refit" or not after.spot or not founds:
            continue
        said = compare_as_scored(bay, founds[0], after, scenes.get(spot_of.get(after.picture_id)), spot_of)
        tried, registered = tried + 1, registered + said.registered
        faults = [f["box"] for f in after.entry["faults"] if f["visible"] and f["spot"] == after.spot]
        met = [any(_overlap(d, box, after.size) >= 0.15 for box in faults) for d in said.differences]
        if faults:
            faulty, hits1, hits3 = faulty + 1, hits1 + any(met[:1]), hits3 + any(met[:3])
        elif not after.entry["faults"]:
            sound, alarms = sound + 1, alarms + sum(d.score >= 0.5 for d in said.differences)
    return {
        "registered": f"{registered}/{tried}",
        "top 1": f"{hits1}/{faulty}",
        "top 3": f"{hits3}/{faulty}",
        "alarms": f"{alarms}/{sound}",
    }


def compare_as_scored(bay: BaySet, before: Truth, after: Truth, scene: Scene | None, spot_of: dict[int, Any]):
    """Compare with every connector pinned by hand on its clearest picture and carried."""
    spot = spot_of.get(after.picture_id)
    ids = [i for i, s in spot_of.items() if s == spot]
    hand = [
        HandPin(name, home.picture_id, home.connector(name)["x"], home.connector(name)["y"])
        for name, home, _ in home_pins(bay)
        if home.picture_id in ids
    ]
    sides = {before.picture_id: [], after.picture_id: []}
    for pin in hand:
        if pin.picture_id in sides:
            sides[pin.picture_id].append(
                CarriedPin(pin.key, pin.picture_id, pin.x_frac, pin.y_frac, None, None, 1.0, True, "near")
            )
    if spot is not None:
        pictures = [bay.scene_picture(i) for i in ids]
        for pin in carry_pins(hand, pictures, bay.likenesses(ids), load_gray=bay.gray, scene=scene, onto=list(sides)):
            sides[pin.picture_id].append(pin)
    return compare_pictures(
        bay.scene_picture(before.picture_id),
        bay.scene_picture(after.picture_id),
        bay.likeness(before.picture_id, after.picture_id),
        before_rgb=bay.rgb(before.picture_id),
        after_rgb=bay.rgb(after.picture_id),
        before_pins=sides[before.picture_id],
        after_pins=sides[after.picture_id],
        scene=scene,
    )


def _overlap(d, box: list[float], size: tuple[int, int]) -> float:
    x0, y0 = d.x_frac * size[0], d.y_frac * size[1]
    x1, y1 = x0 + d.w_frac * size[0], y0 + d.h_frac * size[1]
    both = max(0, min(x1, box[2]) - max(x0, box[0])) * max(0, min(y1, box[3]) - max(y0, box[1]))
    return both / ((x1 - x0) * (y1 - y0) + (box[2] - box[0]) * (box[3] - box[1]) - both)


def main() -> None:
    """Read the command line and print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--detail", action="store_true")
    parser.add_argument("--skip", default="", help="any of where, compare, carry")
    parser.add_argument("--rivals", action="store_true")
    options = parser.parse_args()
    cv2.setNumThreads(1)
    for folder in options.folders:
        bay = BaySet(folder)
        detail: list = []
        spot_of = said_spots(bay)
        print(folder.name, "spots", score_spots(bay, spot_of))
        print(folder.name, "pairs", score_pairs(bay, spot_of))
        if "where" not in options.skip:
            print(folder.name, "where", score_where(bay, spot_of))
        if "compare" not in options.skip:
            print(folder.name, "compare", score_compare(bay, spot_of))
        if "carry" in options.skip:
            continue
        start = time.perf_counter()
        truth_spots = {p.picture_id: p.spot for p in bay.photos if p.spot}
        print(folder.name, "carry, true spots", score_carry(bay, carrier(bay, truth_spots), detail))
        print("  seconds", round(time.perf_counter() - start, 1))
        if options.rivals:
            for kind in ("orb", "sift"):
                print(folder.name, kind, "and homography", score_carry(bay, OneHomography(bay, kind).carry))
        if options.detail:
            for connector_id, home, p, gap, pin in detail:
                if gap > 0.02:
                    print(
                        "   ",
                        connector_id,
                        home.picture_id,
                        "->",
                        p.picture_id,
                        p.state,
                        f"gap {gap:.3f}",
                        "none" if pin is None else f"{pin.how} {pin.confidence:.2f}",
                    )


if __name__ == "__main__":
    main()
