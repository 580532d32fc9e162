"""Features and likenesses of pictures: worked out once, written down, loaded again."""

from __future__ import annotations

import hashlib
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from asfound.actions import views
from asfound.actions.archive import Archive
from asfound.actions.progress import Progress
from asfound.actions.views import GrayImage, PictureSource
from asfound.archive.cache import get_cached, put_cached
from asfound.archive.layout import Layout
from asfound.core.match import IN_USE
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.features import Features, StoredFeaturesError, detect_features, pack_features, unpack_features
from asfound.core.match.landmarks import Landmarks, landmarks_of_scene, pack_landmarks, unpack_landmarks
from asfound.core.match.likeness import Likeness, LikenessSummary, pack_likeness, unpack_likeness
from asfound.core.match.place import PLACE_SIZE, describe_place, rank_places
from asfound.core.match.scene import Scene, ScenePicture, build_scene, pack_scene, unpack_scene
from asfound.core.match.verify import verify_pair
from asfound.errors import AsfoundError
from asfound.model.pictures import Picture
from asfound.store import pictures, spots
from asfound.store.spots import StoredLikeness

LOOK_PX = 1600
"""Longest side that features and patches are taken from; a method reduces further as it needs."""
THREADS = 2
CHUNK = 8
COMPARE_ALL_BELOW = 40
"""With so few pictures each is compared with each; beyond, with a shortlist and with its neighbours in time."""
SHORTLIST = 20
TIME_NEIGHBOURS = 4
ALIKE_FROM = 25
"""So many agreeing matches make two pictures alike; pictures alike to the same third one are compared too."""
KEEP_DETAIL_FROM = 8
"""Fewer agreeing matches than this carry nothing, so their detail is not stored."""


def examine_pictures(archive: Archive, progress: Progress) -> int:
    """Find features of pictures that have none, then compare them with the pictures they may look like.

    Returns how many pictures were examined. Stopping it loses at most the last few pictures' work.
    """
    todo = spots.unexamined_pictures(archive.store, archive.job.job_id, IN_USE)
    if not todo:
        return 0
    known = {p.picture_id: p for p in pictures.list_pictures(archive.store, archive.job.job_id)}
    places = {i: np.frombuffer(v, np.float16) for i, v in _whole_places(archive)}
    with ThreadPoolExecutor(THREADS) as pool:
        sources = {i: source for i in todo if (source := _source_or_none(archive, known[i])) is not None}
        for start in range(0, len(todo), CHUNK):
            progress("finding features", start, len(todo))
            chunk = [i for i in todo[start : start + CHUNK] if i in sources]
            vectors = pool.map(lambda i: _examine(archive.layout, sources[i]), chunk)
            places.update(zip(chunk, vectors, strict=True))
        # A picture whose original is not there stays in the queue until it is.
        done = [i for i in todo if i in places]
        order = list(known)
        for start in range(0, len(todo), CHUNK):
            progress("comparing pictures", start, len(todo))
            chunk = [i for i in todo[start : start + CHUNK] if i in places]
            _compare(archive, pool, {i: _candidates(i, order, places) for i in chunk}, known)
        progress("comparing pictures", len(todo), len(todo))
        _compare(archive, pool, _second_hand(archive, set(done)), known)
        with archive.store.transaction():
            for picture_id in done:
                spots.save_examined(archive.store, picture_id, IN_USE, places[picture_id].tobytes())
    return len(done)


def compare_within(archive: Archive, groups: Iterable[Sequence[int]]) -> int:
    """Compare all pictures of each group with each other; returns how many pairs had not been compared yet."""
    known = {p.picture_id: p for p in pictures.list_pictures(archive.store, archive.job.job_id)}
    candidates: dict[int, list[int]] = {}
    for group in groups:
        here = [picture.picture_id for picture in with_originals(archive, (known[i] for i in group))]
        candidates |= {i: [other for other in here if other > i] for i in here}
    with ThreadPoolExecutor(THREADS) as pool:
        return _compare(archive, pool, candidates, known)


def load_features(layout: Layout, source: PictureSource) -> Features:
    """A picture's features, found anew when the cache was deleted or is of another version."""
    stored = get_cached(layout, "features", f"{source.key}.{IN_USE}")
    if stored is not None:
        try:
            return unpack_features(stored)
        except StoredFeaturesError:
            pass
    features = detect_features(views.load_gray(source, LOOK_PX), method=IN_USE)
    put_cached(layout, "features", f"{source.key}.{IN_USE}", pack_features(features))
    return features


def scene_pictures(archive: Archive, among: Iterable[Picture]) -> list[ScenePicture]:
    """Pictures with features and focal lengths, as geometry needs them; those without an original are left out."""
    found = []
    for picture in among:
        source = _source_or_none(archive, picture)
        if source is None:
            continue
        features = _features(archive.layout, source)
        focal_px = focal_px_from_35mm(picture.focal_35mm, features.size_px)
        found.append(ScenePicture(picture.picture_id, features, focal_px, picture.taken_utc_s))
    return found


def gray_loader(archive: Archive, among: Iterable[Picture]) -> Callable[[int], GrayImage]:
    """A function from picture id to the gray picture, which keeps the last few in memory."""
    sources = {picture.picture_id: views.source_of(archive, picture) for picture in among}

    @lru_cache(maxsize=24)
    def load(picture_id: int) -> GrayImage:
        return views.load_gray(sources[picture_id], LOOK_PX)

    return load


def load_summaries(archive: Archive) -> dict[tuple[int, int], LikenessSummary]:
    """All likenesses of the job, by picture ids, the smaller first."""
    stored = spots.load_likenesses(archive.store, archive.job.job_id)
    return {(x.a_id, x.b_id): LikenessSummary(x.agreeing, x.probability, _gap(x), x.scale_ratio) for x in stored}


def load_likenesses(archive: Archive, picture_ids: Iterable[int]) -> dict[tuple[int, int], Likeness]:
    """Likenesses among some pictures with their matches, by picture ids, the smaller first."""
    stored = spots.load_details(archive.store, picture_ids)
    found = {}
    for one in stored:
        # What is torn is as if the two had not been compared; asfound rebuild compares them again.
        with suppress(ValueError):
            if one.detail is not None:
                found[one.a_id, one.b_id] = unpack_likeness(one.detail)
    return found


def scene_of(
    archive: Archive,
    members: Sequence[Picture],
    shown: Sequence[ScenePicture],
    likenesses: dict[tuple[int, int], Likeness],
) -> Scene:
    """The 3-D model of some pictures, kept in the cache under a name that depends on exactly which they are."""
    name = f"{scene_name(archive, members)}.npz"
    stored = get_cached(archive.layout, "scene", name)
    if stored is not None:
        scene = unpack_scene(stored)
        # Picture ids are the database's own: a rebuilt archive may have given them anew.
        if set(scene.picture_ids.tolist()) <= {picture.picture_id for picture in members}:
            return scene
    scene = build_scene(shown, likenesses)
    put_cached(archive.layout, "scene", name, pack_scene(scene))
    return scene


def landmarks_of(archive: Archive, picture_ids: Sequence[int]) -> Landmarks:
    """What the pictures of a spot are known by when a photo is asked about, kept in the cache beside their scene."""
    members = [pictures.get_picture(archive.store, picture_id) for picture_id in sorted(picture_ids)]
    members = with_originals(archive, members)
    name = f"{scene_name(archive, members)}.landmarks"
    stored = get_cached(archive.layout, "scene", name)
    if stored is not None:
        landmarks = unpack_landmarks(stored)
        if set(landmarks.picture_ids.tolist()) <= set(picture_ids):
            return landmarks
    shown = scene_pictures(archive, members)
    scene = scene_of(archive, members, shown, load_likenesses(archive, picture_ids))
    landmarks = landmarks_of_scene(scene, shown)
    put_cached(archive.layout, "scene", name, pack_landmarks(landmarks))
    return landmarks


def scene_name(archive: Archive, members: Sequence[Picture]) -> str:
    """A name that depends on exactly which pictures these are, by their content."""
    keys = sorted(views.source_of(archive, picture).key for picture in members)
    return hashlib.sha256(" ".join([IN_USE, *keys]).encode()).hexdigest()[:32]


def _whole_places(archive: Archive) -> list[tuple[int, bytes]]:
    """Place vectors as they are stored; torn ones are left out."""
    size = PLACE_SIZE * np.dtype(np.float16).itemsize
    return [one for one in spots.load_places(archive.store, archive.job.job_id, IN_USE) if len(one[1]) == size]


def load_place_index(archive: Archive) -> tuple[list[int], NDArray[np.float32]]:
    """Picture ids and their place vectors, shape (n, 256), float32."""
    stored = _whole_places(archive)
    joined = b"".join(vector for _, vector in stored)
    vectors = np.frombuffer(joined, np.float16).reshape(len(stored), -1) if stored else np.zeros((0, 256), np.float16)
    return [picture_id for picture_id, _ in stored], vectors.astype(np.float32)


@lru_cache(maxsize=160)
def _features(layout: Layout, source: PictureSource) -> Features:
    return load_features(layout, source)


def _examine(layout: Layout, source: PictureSource) -> NDArray[np.float16]:
    return describe_place(_features(layout, source)).astype(np.float16)


def with_originals(archive: Archive, among: Iterable[Picture]) -> list[Picture]:
    """The pictures whose originals are there. One that is lost costs what it alone can tell, and nothing else."""
    return [picture for picture in among if _source_or_none(archive, picture) is not None]


def _source_or_none(archive: Archive, picture: Picture) -> PictureSource | None:
    """The picture's source; None when its original is gone, which the check of the archive reports."""
    try:
        return views.source_of(archive, picture)
    except AsfoundError:
        return None


def _compare(
    archive: Archive, pool: ThreadPoolExecutor, candidates: dict[int, list[int]], known: dict[int, Picture]
) -> int:
    """Compare pictures with their candidates, unless that was done, and write down what came of it; how many pairs."""
    wanted: set[tuple[int, int]] = set()
    for picture_id, others in candidates.items():
        done = spots.compared_with(archive.store, picture_id, IN_USE)
        wanted |= {(min(picture_id, other), max(picture_id, other)) for other in others if other not in done}
    involved = {i for pair in wanted for i in pair}
    sources = {i: source for i in involved if (source := _source_or_none(archive, known[i])) is not None}
    pairs = sorted(pair for pair in wanted if sources.keys() >= set(pair))

    def verify(pair: tuple[int, int]) -> Likeness:
        first, second = (_features(archive.layout, sources[i]) for i in pair)
        return verify_pair(first, second)

    rows = [_row(a, b, likeness) for (a, b), likeness in zip(pairs, pool.map(verify, pairs), strict=True)]
    with archive.store.transaction():
        spots.save_likenesses(archive.store, IN_USE, rows)
    return len(rows)


def _second_hand(archive: Archive, fresh: set[int]) -> dict[int, list[int]]:
    """Pictures that are alike to a picture that a fresh one is alike to: the shortlist may have missed them."""
    alike: dict[int, set[int]] = defaultdict(set)
    job_id = archive.job.job_id
    for stored in spots.load_likenesses(archive.store, job_id, least_agreeing=ALIKE_FROM, method=IN_USE):
        alike[stored.a_id].add(stored.b_id)
        alike[stored.b_id].add(stored.a_id)
    found: dict[int, set[int]] = defaultdict(set)
    for middle in alike.values():
        for picture_id in middle & fresh:
            found[picture_id] |= middle - {picture_id}
    return {picture_id: sorted(others - alike[picture_id]) for picture_id, others in sorted(found.items())}


def _candidates(picture_id: int, order: Sequence[int], places: dict[int, NDArray[np.float16]]) -> list[int]:
    """Pictures worth comparing with this one: all when few, else a shortlist by place and its neighbours in time."""
    others = [i for i in order if i != picture_id and i in places]
    if len(others) < COMPARE_ALL_BELOW:
        return others
    vectors = np.stack([places[i] for i in others]).astype(np.float32)
    ranked = rank_places(places[picture_id].astype(np.float32), vectors)
    position = order.index(picture_id)
    near = order[max(0, position - TIME_NEIGHBOURS) : position + TIME_NEIGHBOURS + 1]
    chosen = dict.fromkeys([others[k] for k in ranked[:SHORTLIST]])
    chosen.update(dict.fromkeys(i for i in near if i != picture_id and i in places))
    return list(chosen)


def _row(a_id: int, b_id: int, likeness: Likeness) -> StoredLikeness:
    gap = likeness.centre_gap if math.isfinite(likeness.centre_gap) else None
    detail = pack_likeness(likeness) if likeness.agreeing >= KEEP_DETAIL_FROM else None
    return StoredLikeness(a_id, b_id, likeness.agreeing, likeness.probability, gap, likeness.scale_ratio, detail)


def _gap(stored: StoredLikeness) -> float:
    return math.inf if stored.centre_gap is None else stored.centre_gap
