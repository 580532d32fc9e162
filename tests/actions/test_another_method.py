"""An archive that was sorted by another way to describe pictures is looked at anew, once."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from asfound.actions import spots
from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.actions.sort import finish_pending, is_pending
from asfound.core.match import IN_USE
from asfound.store import jobs
from asfound.store.spots import compared_with
from tests.media import samples


def test_pictures_and_their_likenesses_are_worked_out_anew_and_spots_stay(tmp_path: Path) -> None:
    card = tmp_path / "card"
    card.mkdir()
    for number in range(3):
        shot = np.roll(samples.scene(240, 180, 5), 2 * number, axis=1)
        (card / f"P1_000{number}.jpg").write_bytes(samples.jpeg(shot))
    with open_archive(tmp_path / "archive", create=True) as archive:
        jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
        add_dump(archive, [card], workers=0)
        finish_pending(archive)
        before = [(spot.spot_id, spot.picture_ids) for spot in spots.list_spots(archive)]
        with archive.store.transaction():
            archive.store.run("UPDATE examined SET method = 'former'")
            archive.store.run("UPDATE likeness SET method = 'former', agreeing = 0, detail = NULL")

        assert is_pending(archive)
        assert compared_with(archive.store, 1, IN_USE) == set()
        finish_pending(archive)

        assert not is_pending(archive)
        assert compared_with(archive.store, 1, IN_USE) == {2, 3}
        assert [(spot.spot_id, spot.picture_ids) for spot in spots.list_spots(archive)] == before
        assert archive.store.value("SELECT MIN(agreeing) FROM likeness WHERE method = ?", IN_USE) > 20
