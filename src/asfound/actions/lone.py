"""Pictures that look like no other, or like one alone, placed in the scenes of spots: other light, or parts off."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.progress import Progress
from asfound.archive.cache import get_cached, put_cached
from asfound.core.match.aim import Aim, find_aim
from asfound.core.match.likeness import LikenessSummary
from asfound.core.match.place import rank_places
from asfound.core.match.scene import Scene, ScenePicture
from asfound.core.match.spots import spot_probability, with_placed, without_pairs
from asfound.errors import OriginalMissing
from asfound.model.pictures import Picture
from asfound.store import spots
from asfound.store.pictures import list_pictures

NEAREST_SPOTS = 5
"""A lone picture is tried in the scenes of so many spots, those with the picture most like it by place vector first."""


def place_lone(archive: Archive, spot_of: Mapping[int, int], progress: Progress) -> dict[int, int]:
    """Spot by picture id, with those in no spot placed where the scene of a spot shows that they belong.

    Pairs of pictures that have only each other are tried as well, see `without_pairs`.

    What a scene says of a picture is kept in the cache, so that a sort that changed other spots need not ask again.
    """
    by_id = {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
    said = spots.load_placed(archive.store, archive.job.job_id)
    firm = without_pairs(spot_of, {spot_of[picture_id] for picture_id in said if picture_id in spot_of})
    families: dict[int, list[Picture]] = {}
    for picture in matching.with_originals(archive, (by_id[i] for i in firm if i in by_id)):
        families.setdefault(firm[picture.picture_id], []).append(picture)
    summaries = matching.load_summaries(archive)
    likely = _likely_spots(archive, [i for i in by_id if i not in firm and i not in said], firm)
    found: dict[int, int] = {}
    with ThreadPoolExecutor(matching.THREADS) as pool:
        scenes: dict[int, tuple[Scene, list[ScenePicture]]] = {}
        for done, (picture_id, spot_ids) in enumerate(likely.items()):
            progress("placing lone pictures", done, len(likely))
            aims = _aims(archive, pool, by_id[picture_id], {s: families[s] for s in spot_ids if s in families}, scenes)
            near = [
                (aim.excess, spot_id)
                for spot_id, aim in aims.items()
                if aim is not None and aim.takes_in(_likest(picture_id, families[spot_id], summaries))
            ]
            if near:
                found[picture_id] = max(near)[1]
    return with_placed(spot_of, found)


def _likely_spots(archive: Archive, lone: Iterable[int], spot_of: Mapping[int, int]) -> dict[int, list[int]]:
    """For each lone picture the spots most like it."""
    ids, vectors = matching.load_place_index(archive)
    row_of = {picture_id: row for row, picture_id in enumerate(ids)}
    likely = {}
    for picture_id in lone:
        if picture_id in row_of:
            ranked = rank_places(vectors[row_of[picture_id]], vectors)
            nearest = dict.fromkeys(spot_of[ids[k]] for k in ranked if ids[k] in spot_of)
            likely[picture_id] = list(nearest)[:NEAREST_SPOTS]
    return likely


def _likest(picture_id: int, members: list[Picture], summaries: Mapping[tuple[int, int], LikenessSummary]) -> float:
    """The greatest probability that a picture and one of a spot are of one spot."""
    pairs = [(min(picture_id, p.picture_id), max(picture_id, p.picture_id)) for p in members]
    return max((spot_probability(summaries[pair]) for pair in pairs if pair in summaries), default=0.0)


def _aims(
    archive: Archive,
    pool: ThreadPoolExecutor,
    picture: Picture,
    families: Mapping[int, list[Picture]],
    scenes: dict[int, tuple[Scene, list[ScenePicture]]],
) -> dict[int, Aim | None]:
    """What the scene of each spot says of a picture, from the cache where it was asked before."""
    try:
        key = views.source_of(archive, picture).key
        names = {s: f"{matching.scene_name(archive, members)}-{key}.json" for s, members in families.items()}
    except OriginalMissing:
        return {}
    kept = {spot_id: get_cached(archive.layout, "scene", name) for spot_id, name in names.items()}
    aims = {spot_id: _unpack(data) for spot_id, data in kept.items() if data is not None}
    asked = [spot_id for spot_id in families if spot_id not in aims]
    if asked:
        for spot_id in asked:
            if spot_id not in scenes:
                scenes[spot_id] = _scene(archive, families[spot_id])
        mine = matching.scene_pictures(archive, [picture])[0]
        for spot_id, aim in zip(asked, pool.map(lambda s: find_aim(*scenes[s], mine), asked), strict=True):
            put_cached(archive.layout, "scene", names[spot_id], _pack(aim))
            aims[spot_id] = aim
    return aims


def _scene(archive: Archive, members: list[Picture]) -> tuple[Scene, list[ScenePicture]]:
    shown = matching.scene_pictures(archive, members)
    likenesses = matching.load_likenesses(archive, [picture.picture_id for picture in members])
    return matching.scene_of(archive, members, shown, likenesses), shown


def _pack(aim: Aim | None) -> bytes:
    return json.dumps(None if aim is None else [aim.gap, aim.scale, aim.excess]).encode()


def _unpack(data: bytes) -> Aim | None:
    numbers = json.loads(data)
    return None if numbers is None else Aim(*numbers)
