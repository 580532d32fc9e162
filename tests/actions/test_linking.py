"""A point of one picture found in another, and spots found on overviews."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from asfound.actions import overviews
from asfound.actions.link import PictureLink
from asfound.model.pictures import Spot

SIZE_HERE, SIZE_THERE = (800, 600), (1600, 900)


def plane_link(homography: Any) -> PictureLink:
    """Two pictures of one plane: matches on a grid, carried by the homography."""
    x, y = np.meshgrid(np.linspace(60, 740, 12), np.linspace(60, 540, 10))
    here = np.stack([x.ravel(), y.ravel()], axis=1)
    lifted = np.column_stack([here, np.ones(len(here))]) @ homography.T
    return PictureLink(here, lifted[:, :2] / lifted[:, 2:], SIZE_HERE, SIZE_THERE, homography)


@pytest.mark.parametrize(("x", "y"), [(0.5, 0.5), (0.2, 0.7), (0.85, 0.3)])
def test_a_point_of_a_plane_is_found_where_its_homography_says(x: float, y: float) -> None:
    """Hartley and Zisserman, Multiple View Geometry, section 2.3: a plane is carried by x' ~ H x."""
    homography = np.array([[1.7, 0.08, 40.0], [-0.05, 1.4, 30.0], [4e-5, -3e-5, 1.0]])
    at = homography @ np.array([x * 800 - 0.5, y * 600 - 0.5, 1.0])
    wanted = (at[0] / at[2] + 0.5) / 1600, (at[1] / at[2] + 0.5) / 900

    place = plane_link(homography).place_of(x, y)

    assert place is not None
    assert place[:2] == pytest.approx(wanted, abs=0.004)


def test_there_and_back_is_the_same_place_and_the_scales_undo_each_other() -> None:
    link = plane_link(np.array([[1.5, 0.0, 20.0], [0.0, 1.5, -10.0], [0.0, 0.0, 1.0]]))
    there = link.place_of(0.4, 0.6)
    assert there is not None
    back = link.reversed().place_of(*there[:2])
    assert back is not None
    assert back[:2] == pytest.approx((0.4, 0.6), abs=1e-6)
    # 1.5 times larger in pixels, in a picture twice as wide.
    assert there[2] == pytest.approx(1.5 * 800 / 1600)
    assert there[2] * back[2] == pytest.approx(1.0)


def test_without_any_matches_nothing_is_said() -> None:
    nothing = np.zeros((0, 2))
    assert PictureLink(nothing, nothing, SIZE_HERE, SIZE_THERE, None).place_of(0.5, 0.5) is None


def test_few_overviews_show_every_spot_and_unsure_likenesses_mark_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Picture 9 sees the spots 1 and 2 for sure, 10 the spot 2 and its own, 11 the spot 3 but not for sure."""
    spot_of = {1: 1, 2: 2, 3: 3, 10: 2, 11: 1}
    alike = [(1, 9, 60, 1.0), (2, 9, 40, 0.99), (2, 10, 90, 1.0), (3, 11, 26, 0.7), (1, 11, 50, 1.0)]
    points = np.stack([np.linspace(100, 300, 60), np.linspace(150, 250, 60)], axis=1)
    likeness = SimpleNamespace(
        probability=1.0, matches=np.stack([np.arange(60), np.arange(60)], axis=1), agrees=np.ones(60, bool)
    )
    store = SimpleNamespace(
        load_membership=lambda *_: spot_of,
        list_spots=lambda *_: [Spot(i, 1, "", tuple(p for p, s in spot_of.items() if s == i)) for i in (1, 2, 3)],
        load_likenesses=lambda *_, least_agreeing: [
            SimpleNamespace(a_id=a, b_id=b, probability=p, scale_ratio=0.5)
            for a, b, n, p in alike
            if n >= least_agreeing
        ],
    )
    monkeypatch.setattr(overviews, "spots", store)
    pictures = [SimpleNamespace(picture_id=i, taken_utc_s=float(i)) for i in (1, 2, 3, 9, 10, 11)]
    monkeypatch.setattr(overviews, "list_pictures", lambda *_: pictures)
    monkeypatch.setattr(overviews.views, "source_of", lambda _archive, picture: picture)
    matching = SimpleNamespace(
        ALIKE_FROM=25,
        KEEP_DETAIL_FROM=8,
        with_originals=lambda _archive, among: list(among),
        load_features=lambda *_: SimpleNamespace(size_px=(400, 400), points_px=points),
        load_likenesses=lambda _archive, ids: {(a, b): likeness for a, b, *_ in alike if {a, b} <= set(ids)},
    )
    monkeypatch.setattr(overviews, "matching", matching)
    archive: Any = SimpleNamespace(store=None, layout=Path("."), job=SimpleNamespace(job_id=1))
    archive.once = lambda read: read(archive)

    (found,) = overviews.list_overviews(archive)

    assert found.picture.picture_id == 9
    assert [spot.spot_id for spot in found.spots] == [1, 2]
    assert found.spots[0].x_frac == pytest.approx(0.5, abs=0.01)
    assert found.spots[0].w_frac == pytest.approx(0.5 * 0.7, abs=0.01)
