"""One lost original costs what it alone could tell; everything else goes on."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from asfound.actions import overviews, spots
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.sort import finish_pending
from asfound.archive.put import find_original
from asfound.store import jobs
from asfound.store.pictures import list_pictures
from tests.media import samples


def shot(step: int) -> bytes:
    """One place, looked at a little from the side."""
    return samples.jpeg(np.roll(samples.scene(240, 180, 5), 2 * step, axis=1))


@pytest.fixture
def archive(tmp_path: Path):
    card = tmp_path / "card"
    card.mkdir()
    for number in range(4):
        (card / f"P1_000{number}.jpg").write_bytes(shot(number))
    with open_archive(tmp_path / "archive", create=True) as opened:
        jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        add_dump(opened, [card], workers=0)
        yield opened


def lose(archive: Archive, file: str) -> None:
    picture = next(p for p in list_pictures(archive.store, archive.job.job_id) if p.file == file)
    path = find_original(archive.layout, picture.digest or "", ".jpg")
    assert path is not None
    path.unlink()
    shutil.rmtree(archive.layout.cache)
    archive.layout.cache.mkdir()


@pytest.mark.parametrize("sorted_before", [True, False])
def test_one_lost_original_stops_nothing_else(archive: Archive, tmp_path: Path, sorted_before: bool):
    if sorted_before:
        finish_pending(archive)
    lose(archive, "P1_0002.jpg")
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "P1_0009.jpg").write_bytes(shot(5))

    report = add_dump(archive, [tmp_path / "more"], workers=0)
    finish_pending(archive)

    assert [one.file for one in report.added] == ["P1_0009.jpg"]
    by_file = {p.file: p.picture_id for p in list_pictures(archive.store, archive.job.job_id)}
    together = [set(spot.picture_ids) for spot in spots.list_spots(archive)]
    whole = {by_file[name] for name in ("P1_0000.jpg", "P1_0001.jpg", "P1_0003.jpg", "P1_0009.jpg")}
    assert any(whole <= group for group in together)
    spots.list_pairs(archive)
    overviews.list_overviews(archive)
