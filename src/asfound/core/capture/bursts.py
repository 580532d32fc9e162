"""Look-alike bursts: the same shot taken again within seconds, of which one picture is enough to look at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

WITHIN_S = 5.0
"""From one press of the shutter to the next."""
WITHIN_BITS = 8
"""Of 64. In `sample_media` a burst differs in 6, the nearest others of one camera within 5 s in 10 or more."""


@dataclass(frozen=True, slots=True)
class BurstShot:
    """What is asked of a picture: when (Unix seconds), by which camera, its signed fingerprint, how sharp."""

    picture_id: int
    camera_id: int | None
    taken_utc_s: float
    phash: int
    sharpness: float


def find_bursts(shots: Iterable[BurstShot], said: Mapping[int, int]) -> list[tuple[int, ...]]:
    """Bursts that hold a picture of which nothing was said yet.

    Parameters
    ----------
    said : mapping
        Picture to the one it is behind, or to itself where a person let it stand alone.

    Returns
    -------
    list of tuple of int
        Picture ids, in order of the bursts' first pictures; in each the sharpest first, then by time. What a person
        left apart is not brought together again: of pictures with a word only the sharpest is in a burst.
    """
    asked = []
    for run in _runs(one for one in shots if said.get(one.picture_id, one.picture_id) == one.picture_id):
        while run:
            front = max(run, key=lambda shot: (shot.sharpness, -shot.picture_id))
            alike = [one for one in run if hamming(one.phash, front.phash) <= WITHIN_BITS]
            run = [one for one in run if one not in alike]
            new = [one for one in alike if one.picture_id not in said]
            known = [one for one in alike if one.picture_id in said]
            known = [max(known, key=lambda shot: (shot.sharpness, -shot.picture_id))] if known else []
            if new and len(new) + len(known) > 1:
                rest = sorted((one for one in (*new, *known) if one != front), key=_in_time)
                asked.append((front.picture_id, *(one.picture_id for one in rest)))
    return asked


def _runs(shots: Iterable[BurstShot]) -> list[list[BurstShot]]:
    """Pictures of one camera, each within `WITHIN_S` of the one before."""
    runs: list[list[BurstShot]] = []
    last: dict[int | None, list[BurstShot]] = {}
    for shot in sorted(shots, key=_in_time):
        run = last.get(shot.camera_id)
        if run is None or shot.taken_utc_s - run[-1].taken_utc_s > WITHIN_S:
            run = last[shot.camera_id] = []
            runs.append(run)
        run.append(shot)
    return runs


def _in_time(shot: BurstShot) -> tuple[float, int]:
    return shot.taken_utc_s, shot.picture_id


def hamming(first: int, second: int) -> int:
    """Bits that differ between two signed 64-bit fingerprints, 0 to 64."""
    return ((first ^ second) & 0xFFFF_FFFF_FFFF_FFFF).bit_count()
