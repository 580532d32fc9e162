"""The scenes of spots while pictures are being sorted: where a picture aims in each, asked once and kept."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.archive.cache import get_cached, put_cached
from asfound.core.match.aim import Aim, find_aim
from asfound.core.match.arrays import Float32Array
from asfound.core.match.scene import Scene, ScenePicture
from asfound.core.match.spots import spot_probability
from asfound.core.match.tilts import with_tilts
from asfound.errors import OriginalMissing
from asfound.model.pictures import Picture
from asfound.store.pictures import list_pictures


class SpotScenes:
    """What the scenes of some spots say of pictures outside them.

    The answers are kept in the cache under names that depend on exactly which pictures a scene is of, so that a sort
    that changed other spots need not ask again.
    """

    def __init__(self, archive: Archive, spot_of: Mapping[int, int]) -> None:
        self._archive = archive
        by_id = {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
        self.families: dict[int, list[Picture]] = {}
        for picture in matching.with_originals(archive, (by_id[i] for i in spot_of if i in by_id)):
            self.families.setdefault(spot_of[picture.picture_id], []).append(picture)
        self._by_id, self._spot_of = by_id, dict(spot_of)
        self._summaries = matching.load_summaries(archive)
        self._ids, self._vectors = matching.load_place_index(archive)
        self._row_of = {picture_id: row for row, picture_id in enumerate(self._ids)}
        self._built: dict[int, tuple[Scene, list[ScenePicture]]] = {}
        self._shown: dict[tuple[int, bool], ScenePicture] = {}

    def nearest(self, picture_ids: Iterable[int], most: int, least_alike: float) -> list[int]:
        """Spots with the pictures most like one of these by place vector, but not those that these are of."""
        rows = [self._row_of[i] for i in picture_ids if i in self._row_of]
        own = {self._spot_of.get(self._ids[row]) for row in rows}
        best: dict[int, float] = {}
        alike: Float32Array = self._vectors @ self._vectors[rows].T
        for row, value in enumerate(alike.max(axis=1) if rows else ()):
            spot_id = self._spot_of.get(self._ids[row])
            if spot_id in self.families and spot_id is not None and spot_id not in own and value >= least_alike:
                best[spot_id] = max(best.get(spot_id, -1.0), float(value))
        return sorted(best, key=lambda spot_id: (-best[spot_id], spot_id))[:most]

    def likest(self, picture_id: int, spot_id: int) -> float:
        """The greatest probability that a picture and one of a spot are of one spot."""
        pairs = [tuple(sorted((picture_id, p.picture_id))) for p in self.families[spot_id]]
        known = (self._summaries.get((first, second)) for first, second in pairs)
        return max((spot_probability(summary) for summary in known if summary is not None), default=0.0)

    def aims(
        self, pool: ThreadPoolExecutor, picture_id: int, spot_ids: Sequence[int], *, tilted: bool = False
    ) -> dict[int, Aim]:
        """Where a picture aims in the scenes of spots, without those in which it cannot be placed.

        `tilted` takes further features of tilted views, for a picture seen from well aside; several times the work.
        """
        try:
            key = views.source_of(self._archive, self._by_id[picture_id]).key
        except OriginalMissing:
            return {}
        end = "-tilted.aim" if tilted else ".aim"
        names = {s: f"{matching.scene_name(self._archive, self.families[s])}-{key}{end}" for s in spot_ids}
        kept = {spot_id: get_cached(self._archive.layout, "scene", name) for spot_id, name in names.items()}
        aims = {spot_id: _unpack(data) for spot_id, data in kept.items() if data is not None}
        asked = [spot_id for spot_id in spot_ids if spot_id not in aims]
        if asked:
            mine = self._picture(picture_id, tilted)
            scenes, shown = zip(*(self._scene(spot_id) for spot_id in asked), strict=True)
            told = pool.map(lambda scene, pictures: find_aim(scene, pictures, mine), scenes, shown)
            for spot_id, aim in zip(asked, told, strict=True):
                put_cached(self._archive.layout, "scene", names[spot_id], _pack(aim))
                aims[spot_id] = aim
        return {spot_id: aim for spot_id, aim in aims.items() if aim is not None}

    def _scene(self, spot_id: int) -> tuple[Scene, list[ScenePicture]]:
        if spot_id not in self._built:
            members = self.families[spot_id]
            shown = matching.scene_pictures(self._archive, members)
            likenesses = matching.load_likenesses(self._archive, [picture.picture_id for picture in members])
            self._built[spot_id] = matching.scene_of(self._archive, members, shown, likenesses), shown
        return self._built[spot_id]

    def _picture(self, picture_id: int, tilted: bool) -> ScenePicture:
        if (picture_id, tilted) not in self._shown:
            picture = self._by_id[picture_id]
            shown = matching.scene_pictures(self._archive, [picture])[0]
            if tilted:
                gray = views.load_gray(views.source_of(self._archive, picture), matching.LOOK_PX)
                features = with_tilts(gray, shown.features)
                shown = ScenePicture(shown.picture_id, features, shown.focal_px, shown.taken_s)
            self._shown[picture_id, tilted] = shown
        return self._shown[picture_id, tilted]


def _pack(aim: Aim | None) -> bytes:
    return json.dumps(None if aim is None else [aim.gap, aim.scale]).encode()


def _unpack(data: bytes) -> Aim | None:
    numbers = json.loads(data)
    return None if numbers is None else Aim(*numbers)
