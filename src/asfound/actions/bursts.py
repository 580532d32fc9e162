"""Look-alike bursts: one picture in front, the others behind it. All of them stay; a later sort keeps what was said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.actions.archive import Archive, kept
from asfound.core.capture.bursts import BurstShot, find_bursts
from asfound.store import bursts
from asfound.store.pictures import get_picture, list_pictures


def open_bursts(archive: Archive) -> list[tuple[int, ...]]:
    """Bursts that wait for a word: picture ids, the sharpest first."""
    shots = [
        BurstShot(p.picture_id, p.camera_id, p.taken_utc_s, p.phash, p.sharpness)
        for p in list_pictures(archive.store, archive.job.job_id)
        if p.taken_utc_s is not None and p.phash is not None and p.sharpness is not None
    ]
    return find_bursts(shots, bursts.load_behind(archive.store, archive.job.job_id))


@kept
def behind(archive: Archive) -> Mapping[int, int]:
    """Folded picture to the one that it is behind."""
    said = bursts.load_behind(archive.store, archive.job.job_id)
    return {picture_id: front_id for picture_id, front_id in said.items() if picture_id != front_id}


def fold(archive: Archive, front_id: int, others: Sequence[int]) -> None:
    """Put look-alikes, and whatever is behind them already, behind one picture."""
    front = get_picture(archive.store, front_id)
    with archive.step(f"{len(others)} look-alike{'s' if len(others) > 1 else ''} put behind {front.file}"):
        moved = [one for one, mine in behind(archive).items() if mine in others]
        bursts.put_behind(archive.store, front_id, front_id)
        for picture_id in dict.fromkeys((*others, *moved)):
            if picture_id != front_id:
                bursts.put_behind(archive.store, picture_id, front_id)


def fold_all(archive: Archive, folded: Sequence[Sequence[int]]) -> None:
    """Put all pictures of each burst behind its first one, in one step."""
    many = sum(len(one) - 1 for one in folded)
    with archive.step(f"{many} look-alike{'s' if many != 1 else ''} put behind the sharpest"):
        for front, *others in folded:
            fold(archive, front, others)


def let_stand(archive: Archive, picture_ids: Sequence[int]) -> None:
    """Say that each of these pictures stands alone; also takes one out again from behind another."""
    with archive.step(f"{len(picture_ids)} look-alike{'s' if len(picture_ids) > 1 else ''} left apart"):
        for picture_id in picture_ids:
            bursts.put_behind(archive.store, picture_id, picture_id)
