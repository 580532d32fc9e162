"""Likeness of pairs, with the awkward ones."""

from __future__ import annotations

import io

import numpy as np
import pytest

from asfound.core.match import IN_USE
from asfound.core.match.belief import ONE_PLACE
from asfound.core.match.features import Features, detect_features
from asfound.core.match.geometry import apply_homography
from asfound.core.match.likeness import Likeness
from asfound.core.match.verify import _growth, pack_likeness, place_measures, unpack_likeness, verify_pair

from .pictures import World, by_flash, ribs, textured, warped


@pytest.fixture(scope="module")
def whole() -> Features:
    return detect_features(textured(5))


def test_identical_pictures_are_one_plane_and_sure(whole: Features) -> None:
    likeness = verify_pair(whole, whole)

    assert likeness.probability > 0.99
    assert likeness.degenerate == "one plane"
    assert likeness.centre_gap < 0.01


def test_unrelated_pictures_are_unlike(whole: Features) -> None:
    assert verify_pair(whole, detect_features(textured(99))).probability < 0.2


def test_blank_picture_is_like_nothing(whole: Features) -> None:
    blank = detect_features(np.zeros((480, 640), np.uint8))

    for likeness in (verify_pair(whole, blank), verify_pair(blank, whole), verify_pair(blank, blank)):
        assert likeness.probability == 0
        assert len(likeness.matches) == 0
        assert likeness.degenerate == "no matches"


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_picture_held_another_way_is_the_same_place(whole: Features, turns: int) -> None:
    turned = detect_features(np.ascontiguousarray(np.rot90(textured(5), turns)))

    likeness = verify_pair(whole, turned)

    assert likeness.probability > 0.99
    assert likeness.centre_gap < 0.02


def one_place(cells: float, along: int, astray: int) -> float:
    return ONE_PLACE.at(*place_measures(cells, along, astray))


def test_matches_on_one_unit_are_less_sure_than_as_many_over_the_picture() -> None:
    """Worked: as many along as astray over 8 cells leave the constant alone."""
    assert one_place(8, 20, 20) == pytest.approx(1 / (1 + np.exp(-ONE_PLACE.constant)))
    assert one_place(4, 60, 20) < one_place(16, 60, 20) < one_place(16, 60, 0)


def test_pictures_that_share_one_part_alone_are_less_sure(whole: Features) -> None:
    """A sixth of one picture stands in another: as a label or an equal unit would."""
    gray = textured(99)
    gray[100:260, 200:420] = textured(5)[140:300, 100:320]
    part, turned = (
        verify_pair(whole, detect_features(gray)),
        verify_pair(whole, detect_features(textured(5)[::-1, ::-1])),
    )

    assert part.agreeing > 30
    assert part.probability < 0.99 < turned.probability


def test_pure_zoom_gives_its_scale(whole: Features) -> None:
    zoom = np.array([[1.8, 0, -256], [0, 1.8, -192], [0, 0, 1.0]])

    likeness = verify_pair(whole, detect_features(warped(textured(5), zoom)))

    assert likeness.probability > 0.9
    assert likeness.scale_ratio == pytest.approx(1.8, rel=0.1)


def test_mirror_view_is_not_taken_for_the_place(whole: Features) -> None:
    mirrored = detect_features(np.ascontiguousarray(textured(5)[:, ::-1]))

    assert verify_pair(whole, mirrored).probability < 0.5


def test_flash_at_night_shows_the_same_place_as_daylight(whole: Features) -> None:
    assert verify_pair(whole, detect_features(by_flash(textured(5)))).probability > 0.9


@pytest.mark.parametrize("gray", [np.full((480, 640), 128, np.uint8), ribs()], ids=["blank wall", "ribs"])
def test_picture_of_nothing_in_particular_is_like_no_other(whole: Features, gray: np.ndarray) -> None:
    assert verify_pair(whole, detect_features(gray)).probability < 0.2


def test_blank_walls_with_the_grain_of_two_cameras_are_unlike() -> None:
    grain = [np.random.default_rng(seed).normal(128, 6, (480, 640)).clip(0, 255).astype(np.uint8) for seed in (1, 2)]

    assert verify_pair(*map(detect_features, grain)).probability < 0.2


def test_points_in_depth_are_not_one_plane() -> None:
    world = World()

    likeness = verify_pair(world.features(0), world.features(20))

    assert likeness.degenerate is None
    assert likeness.inliers > 200


def test_same_seed_gives_the_same_likeness(whole: Features) -> None:
    other = detect_features(warped(textured(5), np.array([[1, 0.1, 3], [0, 1, 8], [0, 0, 1.0]])))

    assert pack_likeness(verify_pair(whole, other, seed=3)) == pack_likeness(verify_pair(whole, other, seed=3))


def test_stored_likeness_comes_back_and_reverses(whole: Features) -> None:
    matrix = np.array([[1, 0.1, 3], [0, 1.1, 8], [0, 0, 1.0]])
    likeness = verify_pair(whole, detect_features(warped(textured(5), matrix)))

    back = unpack_likeness(pack_likeness(likeness))
    reverse = back.reversed()

    assert np.array_equal(back.matches, likeness.matches)
    assert back.summary == likeness.summary
    assert back.homography is not None
    assert reverse.homography is not None
    there = apply_homography(back.homography, np.array([[200.0, 150.0]]))
    assert np.allclose(apply_homography(reverse.homography, there), [[200, 150]], atol=1e-6)


def test_features_of_two_methods_cannot_be_compared(whole: Features) -> None:
    other = Features("other", whole.size_px, whole.points_px, whole.scales, whole.angles, whole.descriptors)

    with pytest.raises(ValueError, match="other"):
        verify_pair(whole, other)


@pytest.mark.parametrize("damage", [b"", b"PK", b"x" * 100])
def test_damaged_likeness_is_refused(damage: bytes) -> None:
    with pytest.raises(ValueError, match="likeness"):
        unpack_likeness(damage)


def test_growth_is_that_of_the_keypoints_where_wrong_matches_narrow_the_spread() -> None:
    """Twenty keypoints twice as large in b, nine of them matched to places that do not fit."""
    rng = np.random.default_rng(4)
    places = rng.uniform(100, 400, (20, 2)).astype(np.float32)
    moved = places * 2
    moved[:9] = moved[9:].mean(axis=0)
    nothing, descriptors = np.zeros(20, np.float32), np.zeros((20, 128), np.uint8)
    a = Features(IN_USE, (1024, 1024), places, np.full(20, 4, np.float32), nothing, descriptors)
    b = Features(IN_USE, (1024, 1024), moved, np.full(20, 8, np.float32), nothing, descriptors)

    assert _growth(a, b, np.column_stack([np.arange(20), np.arange(20)])) == 2.0
    assert np.linalg.norm(moved - moved.mean(axis=0)) / np.linalg.norm(places - places.mean(axis=0)) < 1.8


@pytest.fixture(scope="module")
def moved_part() -> Likeness:
    """A picture with another in its middle, and the same shifted by 30 px with that one turned by a quarter."""
    ground, part = textured(5), textured(99)
    before, after = ground.copy(), np.roll(ground, 30, axis=1)
    before[160:400, 200:440] = part[160:400, 200:440]
    after[120:360, 200:440] = np.rot90(part[160:400, 200:440])
    return verify_pair(detect_features(before), detect_features(after))


def test_part_that_moved_against_the_rest_is_a_group_of_its_own(moved_part: Likeness) -> None:
    """What the pictures aim at comes first, though more agrees around it."""
    assert moved_part.agreeing < len(moved_part.further[0])
    assert moved_part.homography is not None
    turn = moved_part.homography[:2, :2] / moved_part.homography[2, 2]
    assert np.allclose(np.abs(turn), [[0, 1], [1, 0]], atol=0.05), "a quarter turn"


def test_stored_groups_come_back(moved_part: Likeness) -> None:
    back = unpack_likeness(pack_likeness(moved_part))

    assert [group.tolist() for group in back.further] == [group.tolist() for group in moved_part.further]
    assert back.reversed().further[0].tolist() == moved_part.further[0][:, ::-1].tolist()


def test_likeness_stored_before_there_were_groups_is_read(whole: Features) -> None:
    packed = pack_likeness(verify_pair(whole, whole))
    with np.load(io.BytesIO(packed)) as stored:
        older = {name: stored[name] for name in stored.files if not name.startswith("further")}
    target = io.BytesIO()
    np.savez(target, **older)

    assert unpack_likeness(target.getvalue()).further == ()
