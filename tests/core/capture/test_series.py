"""A clip that does not say which camera made it is given to one only where nothing else can be meant."""

from __future__ import annotations

import pytest

from asfound.core.capture.series import OnCard, camera_of_series, usual_focal

CLIP = OnCard("card/100", "P1_0005.mov", "")


def photo(name: str, camera: str = "Pocket P1", folder: str = "card/100") -> OnCard:
    return OnCard(folder, name, camera)


def test_clip_among_the_photos_of_one_camera_is_its_own():
    assert (
        camera_of_series(CLIP, [photo("P1_0004.jpg"), photo("P1_0006.jpg"), photo("K1_0005.jpg", "K1")]) == "Pocket P1"
    )


@pytest.mark.parametrize(
    "others",
    [
        [],
        [photo("P1_0004.jpg", "")],
        [photo("P1_0004.jpg", folder="card/101")],
        [photo("P1_0004.jpg"), photo("P1_0006.jpg", "Other P1")],
        [photo("P1_0900.jpg")],
        [photo("K1_0004.jpg")],
    ],
    ids=["nobody", "silent too", "other folder", "two cameras", "far away", "other series"],
)
def test_doubt_leaves_the_clip_alone(others: list[OnCard]):
    assert camera_of_series(CLIP, others) == ""


@pytest.mark.parametrize("name", ["clip.mov", "5.mov", "", "\ud83d.mov"])
def test_name_without_a_series_belongs_to_nobody(name: str):
    assert camera_of_series(OnCard("card", name, ""), [OnCard("card", "4.jpg", "Pocket P1")]) == ""


@pytest.mark.parametrize(
    ("focals", "usual"),
    [
        ([26.0] * 9 + [13.0], 26.0),
        ([26.0, 13.0], None),
        ([None, None], None),
        ([None, 26.0], 26.0),
        ([], None),
    ],
)
def test_focal_length_is_taken_over_from_a_camera_of_one_lens(focals: list[float | None], usual: float | None):
    """By hand; how far a lens may differ and still be one is our own choice."""
    assert usual_focal(focals) == usual
