"""Finding the originals of a photo of today, and the known pins in it."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from asfound.core.match import IN_USE
from asfound.core.match.drawn_pins import PinSighting, draw_pins, pin_points
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.landmarks import (
    Landmarks,
    Vote,
    collect_votes,
    landmarks_of_picture,
    landmarks_of_scene,
    pack_landmarks,
    unpack_landmarks,
)
from asfound.core.match.query import (
    LEAST_PROBABILITY,
    SURE_PROBABILITY,
    Look,
    Sight,
    find_originals,
    look_for,
    probability_among,
    rank_originals,
)
from asfound.core.match.query_photo import Sized
from asfound.core.match.scene import Scene, ScenePicture

from .pictures import World, asked, by_flash, ribs, shown, textured, warped


@pytest.fixture(scope="module")
def archive() -> list[Landmarks]:
    return [landmarks_of_picture(shown(k, textured(k, (800, 600)))) for k in range(4)]


def seen_through(gray: np.ndarray, zoom: float, turn: float) -> np.ndarray:
    matrix = np.vstack([cv2.getRotationMatrix2D((400, 300), turn, zoom), [0, 0, 1]])
    return warped(gray, matrix)


@pytest.mark.parametrize(("zoom", "turn"), [(2.5, 40), (0.4, 180), (1.0, 90), (1.0, 270)])
def test_original_is_found_nearer_farther_and_turned(archive: list[Landmarks], zoom: float, turn: float) -> None:
    found = find_originals(asked(seen_through(textured(2, (800, 600)), zoom, turn)), [], archive)

    assert found[0].picture_id == 2
    assert found[0].probability > 0.9


def test_original_is_found_by_flash_at_night(archive: list[Landmarks]) -> None:
    photo = asked(by_flash(textured(1, (800, 600))))

    assert find_originals(photo, [], archive)[0].picture_id == 1


def test_photo_of_another_place_finds_nothing(archive: list[Landmarks]) -> None:
    assert find_originals(asked(textured(77, (800, 600))), [], archive) == []


@pytest.mark.parametrize(
    "photo",
    [np.zeros((600, 800), np.uint8), np.full((600, 800), 128, np.uint8), ribs()],
    ids=["dark", "blank wall", "ribs"],
)
def test_photo_that_shows_next_to_nothing_finds_nothing(archive: list[Landmarks], photo: np.ndarray) -> None:
    assert find_originals(asked(photo), [], archive) == []


def test_mirror_view_finds_nothing(archive: list[Landmarks]) -> None:
    photo = np.ascontiguousarray(textured(2, (800, 600))[:, ::-1])

    assert find_originals(asked(photo), [], archive) == []


def test_empty_archive_has_nothing() -> None:
    assert find_originals(asked(textured(2)), []) == []


def _keypoints(places: list[tuple[float, float]], scales: list[float], angles: list[float]) -> Features:
    descriptors = np.zeros((len(places), 128), np.uint8)
    descriptors[np.arange(len(places)), np.arange(len(places))] = 200
    return Features(
        IN_USE, (640, 480), np.array(places, np.float32), np.array(scales, np.float32), np.array(angles, np.float32),
        descriptors,
    )  # fmt: skip


def test_votes_by_hand() -> None:
    """Four matches say: twice as large, turned by 90 degrees about the middle; one says something else."""
    places = [(300.0, 200.0), (340, 240), (319.5, 300), (250, 239.5), (100, 100)]
    a = _keypoints(places, [4.0] * 5, [0.0] * 5)
    turned = [(319.5 - 2 * (y - 239.5), 239.5 + 2 * (x - 319.5)) for x, y in places[:4]]
    b = _keypoints([*turned, (100, 100)], [8.0] * 4 + [4.0], [90.0] * 4 + [200.0])
    place = landmarks_of_picture(ScenePicture(7, a, 640.0))

    votes, putative = collect_votes(b, place.likeness(normalised_descriptors(b)), place)

    assert putative == 5
    assert sorted(map(tuple, votes[0].matches)) == [(0, 0), (1, 1), (2, 2), (3, 3)]


class Built:
    """A scene of a `World` with the true cameras at -12, 0 and 12 degrees, each seeing every point."""

    def __init__(self) -> None:
        self.world = World(300)
        self.degrees = (-12.0, 0.0, 12.0)
        count = len(self.world.points)
        pictures, sightings = [], []
        for row, degrees in enumerate(self.degrees):
            features = self.world.features(degrees, noise_px=0.0)
            places = self.world.project(self.world.points, degrees)
            index = [int(np.argmin(np.linalg.norm(features.points_px - place, axis=1))) for place in places]
            sightings += [(row, keypoint, point) for point, keypoint in enumerate(index)]
            pictures.append(ScenePicture(10 + row, features, self.world.focal))
        cameras = [self.world.camera(degrees) for degrees in self.degrees]
        self.scene = Scene(
            np.array([10, 11, 12], np.int32),
            np.stack([camera.rotation for camera in cameras]),
            np.stack([camera.translation for camera in cameras]),
            np.full(3, self.world.focal),
            np.tile(np.array(self.world.size, np.int32), (3, 1)),
            np.full(3, count, np.int32),
            self.world.points,
            np.array(sightings, np.int32),
        )
        self.landmarks = landmarks_of_scene(self.scene, pictures)

    def frac(self, point: np.ndarray, degrees: float) -> tuple[float, float]:
        """Where a point shows, as a fraction of the picture."""
        x, y = (self.world.project(point[None], degrees)[0] + 0.5) / self.world.size
        return float(x), float(y)


@pytest.fixture(scope="module")
def built() -> Built:
    return Built()


def sight_at(built: Built, degrees: float) -> Sight:
    features = built.world.features(degrees, noise_px=0.2)
    sized = Sized(features, normalised_descriptors(features), built.world.focal)
    return Sight(built.landmarks, (look_for(sized, built.landmarks),))


def test_pin_is_drawn_through_depth_within_a_pixel(built: Built) -> None:
    """A place in space pinned on two pictures, no keypoint near it, shows where its projection lies in a third view."""
    pin = np.array([0.31, -0.22, 0.45])
    sightings = [
        PinSighting("17", 10, *built.frac(pin, -12)),
        PinSighting("17", 12, *built.frac(pin, 12), confidence=0.9),
        PinSighting("18", 11, 0.5, 0.5),
    ]

    drawn = draw_pins(sight_at(built, 25), sightings)

    assert [one.key for one in drawn] == ["17"]
    assert (drawn[0].x_frac, drawn[0].y_frac) == pytest.approx(built.frac(pin, 25), abs=1 / 800)
    assert drawn[0].confidence <= 0.9


def test_pin_seen_in_one_picture_is_no_point(built: Built) -> None:
    assert pin_points(built.scene, [PinSighting("17", 10, 0.4, 0.4), PinSighting("17", 99, 0.5, 0.5)]) == {}


def test_pictures_that_share_most_come_first_and_none_comes_twice(built: Built) -> None:
    sight = sight_at(built, 5)

    found = rank_originals([sight, sight])

    assert sorted(original.picture_id for original in found) == [10, 11, 12]
    assert found[0].agreeing >= found[1].agreeing > 0


def test_stored_landmarks_come_back(built: Built) -> None:
    for landmarks in (built.landmarks, landmarks_of_picture(shown(3, textured(3)))):
        back = unpack_landmarks(pack_landmarks(landmarks))

        assert np.array_equal(back.descriptors, landmarks.descriptors)
        assert np.array_equal(back.keypoints, landmarks.keypoints)
        assert np.array_equal(back.scene.points, landmarks.scene.points)
        assert np.array_equal(back.scene.sightings, landmarks.scene.sightings)


@pytest.mark.parametrize("damage", [b"", b"PK", b"x" * 100])
def test_damaged_landmarks_are_refused(damage: bytes) -> None:
    with pytest.raises(ValueError, match="landmarks"):
        unpack_landmarks(damage)


def test_a_place_is_likely_from_twice_the_score_of_strangers() -> None:
    """Of 105 photos of other machines half scored 1.8 or less at both sizes, none more than 3.5: that is "may be"."""
    place = landmarks_of_picture(shown(1, textured(1, (400, 300))))
    photo = asked(textured(2, (400, 300)))

    def said(score: int) -> float:
        look = Look(photo.first, np.zeros((0, 0), np.float32), [Vote(0, np.zeros((score, 2), np.int64))], 0)
        return Sight(place, (look, look)).probability

    assert said(2) < LEAST_PROBABILITY < said(3) < SURE_PROBABILITY < said(5)


def seen_so(picture_id: int, score: int) -> Sight:
    """A sight of a picture on its own by so many matches."""
    place = landmarks_of_picture(shown(picture_id, textured(1, (400, 300))))
    photo = asked(textured(2, (400, 300)))
    look = Look(photo.first, np.zeros((0, 0), np.float32), [Vote(0, np.zeros((score, 2), np.int64))], 0)
    return Sight(place, (look, look))


def test_place_without_a_rival_is_as_likely_as_its_matches_make_it() -> None:
    alone = seen_so(1, 6)

    assert probability_among(alone, [alone]) == pytest.approx(alone.probability)


def test_near_rival_leaves_neither_place_sure() -> None:
    """Worked: the odds of two that are each p likely, and of none, are p, p and 1 - p, over 1 - p."""
    first, second = seen_so(1, 6), seen_so(2, 6)

    assert first.probability > SURE_PROBABILITY
    p = first.probability
    assert probability_among(first, [first, second]) == pytest.approx(p / (1 + p))


def test_far_rival_hardly_matters() -> None:
    first, second = seen_so(1, 8), seen_so(2, 2)

    assert probability_among(first, [first, second]) == pytest.approx(first.probability, abs=0.02)


def test_picture_of_the_place_is_no_rival_of_it() -> None:
    first, again = seen_so(1, 6), seen_so(1, 6)

    assert probability_among(first, [first, again]) == pytest.approx(first.probability)
