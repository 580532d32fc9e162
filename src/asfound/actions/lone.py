"""Pictures that look like no other, or like one alone, placed in the scenes of spots: other light, or parts off.

The scenes also tell which spots are one, where pictures of one place fell apart into two groups.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from concurrent.futures import ThreadPoolExecutor

from asfound.actions import matching
from asfound.actions.archive import Archive
from asfound.actions.progress import Progress
from asfound.actions.spot_scenes import SpotScenes
from asfound.core.match.aim import Aim, are_one_place, choose_spot
from asfound.core.match.spots import with_joined, with_placed, without_pairs
from asfound.store import spots
from asfound.store.pictures import list_pictures

NEAREST_SPOTS, NEAREST_TILTED, NEAREST_JOINED = 5, 3, 2
"""So many scenes are tried for a picture, with tilted views for one that none of these takes, and for a whole spot."""
LEAST_ALIKE, LEAST_ALIKE_TILTED = 0.1, 0.18
"""Likeness of place vectors below which a scene is not tried. Of 27 pictures of a spot that stood alone on six rendered
jobs none lay below .12 and four below .18; photos of something else mostly do, and cost nothing then."""
ROUNDS = 2
"""A scene that took pictures in places more: so often it is asked again."""


def place_lone(archive: Archive, spot_of: Mapping[int, int], progress: Progress) -> dict[int, int]:
    """Spot by picture id, with those in no spot placed where the scene of a spot shows that they belong.

    Pairs of pictures that have only each other are tried as well, see `without_pairs`, and spots that are one are
    joined. What a person has said stays: a picture they placed is not moved and brings nobody along that they took it
    from, two spots they spoke of are not joined.
    """
    job_id = archive.job.job_id
    said = spots.load_placed(archive.store, job_id)
    apart = _kept_apart(said, spots.load_last_spots(archive.store, job_id))
    kept = {spot.spot_id for spot in spots.list_spots(archive.store, job_id) if spot.name}
    kept |= {spot_of[picture_id] for picture_id in said if picture_id in spot_of}
    everyone = [p.picture_id for p in list_pictures(archive.store, job_id) if p.picture_id not in said]
    joined, firm = dict(spot_of), without_pairs(spot_of, kept)
    found: dict[int, int] = {}
    with ThreadPoolExecutor(matching.THREADS) as pool:
        for _ in range(ROUNDS):
            scenes = SpotScenes(archive, firm)
            fresh = _placed(scenes, pool, [i for i in everyone if i not in firm], apart, progress)
            pairs = _one_place(scenes, pool, firm, kept, apart, progress)
            found |= fresh
            firm |= fresh
            for first, second in pairs:
                joined, firm, found = (with_joined(names, first, second, kept) for names in (joined, firm, found))
            if not fresh and not pairs:
                break
    return with_placed(joined, found)


def _kept_apart(said: Mapping[int, int | None], homes: Mapping[int, int]) -> dict[int, set[int]]:
    """By picture, the spots into which a person put others that were with it, and not this one.

    The scene of such a spot shows the picture's place as well, by those that were moved there.
    """
    to_spots: dict[int, set[int]] = defaultdict(set)
    for picture_id, spot_id in said.items():
        home = homes.get(picture_id)
        if spot_id is not None and home is not None and home != spot_id:
            to_spots[home].add(spot_id)
    return {i: to_spots[home] for i, home in homes.items() if i not in said and home in to_spots}


def _placed(
    scenes: SpotScenes,
    pool: ThreadPoolExecutor,
    lone: list[int],
    apart: Mapping[int, Collection[int]],
    progress: Progress,
) -> dict[int, int]:
    found: dict[int, int] = {}
    for done, picture_id in enumerate(lone):
        progress("placing lone pictures", done, len(lone))
        barred = apart.get(picture_id, ())
        near = [i for i in scenes.nearest([picture_id], NEAREST_SPOTS, LEAST_ALIKE) if i not in barred]
        spot_id = _chosen(scenes, picture_id, scenes.aims(pool, picture_id, near))
        if spot_id is None:
            near = [i for i in scenes.nearest([picture_id], NEAREST_TILTED, LEAST_ALIKE_TILTED) if i not in barred]
            spot_id = _chosen(scenes, picture_id, scenes.aims(pool, picture_id, near, tilted=True))
        if spot_id is not None:
            found[picture_id] = spot_id
    return found


def _chosen(scenes: SpotScenes, picture_id: int, aims: Mapping[int, Aim]) -> int | None:
    return choose_spot(aims, {spot_id: scenes.likest(picture_id, spot_id) for spot_id in aims})


def _one_place(
    scenes: SpotScenes,
    pool: ThreadPoolExecutor,
    spot_of: Mapping[int, int],
    kept: Collection[int],
    apart: Mapping[int, Collection[int]],
    progress: Progress,
) -> list[tuple[int, int]]:
    """Pairs of spots that are one, no spot in two of them. The scene of the larger is asked, being surer."""
    families = sorted(scenes.families.items(), key=lambda family: (len(family[1]), family[0]))
    barred = {(spot_of[i], other) for i, others in apart.items() if i in spot_of for other in others}
    found: list[tuple[int, int]] = []
    taken: set[int] = set()
    for done, (spot_id, members) in enumerate(families):
        progress("comparing spots", done, len(families))
        larger = {other for other, _ in families[done + 1 :]}
        ids = [picture.picture_id for picture in members if spot_of[picture.picture_id] == spot_id]
        for other in scenes.nearest(ids, NEAREST_JOINED, LEAST_ALIKE):
            if other not in larger or {spot_id, other} <= set(kept) or {spot_id, other} & taken:
                continue
            if barred & {(spot_id, other), (other, spot_id)}:
                continue
            # Two that do not even aim roughly there settle it: spots that are one agree on most.
            aims = [scenes.aims(pool, picture_id, [other]).get(other) for picture_id in ids[:2]]
            if any(aims) and are_one_place([*aims, *(scenes.aims(pool, i, [other]).get(other) for i in ids[2:])]):
                found.append((spot_id, other))
                taken |= {spot_id, other}
                break
    return found
