"""What differs after refitting."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from asfound.core.match.carry import CarriedPin
from asfound.core.match.compare import Comparison, compare_pictures
from asfound.core.match.verify import verify_pair

from .pictures import shown, textured


def compared(before: np.ndarray, after: np.ndarray, pins: list[CarriedPin]) -> Comparison:
    first, second = (shown(k, gray) for k, gray in enumerate((before, after)))
    return compare_pictures(
        first,
        second,
        verify_pair(first.features, second.features),
        before_rgb=np.dstack([before] * 3),
        after_rgb=np.dstack([after] * 3),
        before_pins=pins,
        after_pins=pins,
    )


def pin(key: str, x: float, y: float) -> CarriedPin:
    return CarriedPin(key, 0, x, y, None, None, 1.0, True, "near")


def test_what_is_gone_at_a_pin_is_the_strongest_difference() -> None:
    before = textured(8, (800, 600))
    after = before.copy()
    cv2.rectangle(after, (110, 360), (250, 500), 120, -1)
    pins = [pin("1", 0.225, 0.72), pin("2", 0.7, 0.3), pin("3", 0.5, 0.5), pin("4", 0.8, 0.75)]

    said = compared(before, after, pins)

    assert said.registered
    assert said.differences[0].near_keys == ("1",)
    assert said.differences[0].score > 0.5


def test_unlike_pictures_are_not_registered() -> None:
    said = compared(textured(8), textured(9), [])

    assert not said.registered
    assert said.differences == ()


def test_boxes_lie_inside_the_picture() -> None:
    said = compared(textured(8), textured(8), [pin("1", 0.02, 0.98), pin("2", 0.5, 0.5), pin("3", 0.99, 0.01)])

    for box in said.differences:
        assert box.x_frac >= 0
        assert box.y_frac >= 0
        assert box.x_frac + box.w_frac <= 1 + 1e-9
        assert box.y_frac + box.h_frac <= 1 + 1e-9


def test_pictures_without_pins_compare() -> None:
    before = textured(8, (800, 600))
    after = before.copy()
    cv2.rectangle(after, (110, 360), (250, 500), 120, -1)

    said = compared(before, after, [])

    assert said.registered
    assert said.differences
    assert max(box.score for box in said.differences) < 0.5, "no pin says that anything can come off there"


def test_a_score_does_not_hang_on_the_other_pins_of_the_picture() -> None:
    before = textured(8, (800, 600))
    after = before.copy()
    cv2.rectangle(after, (110, 360), (250, 500), 120, -1)
    here, others = pin("1", 0.225, 0.72), [pin("2", 0.7, 0.3), pin("3", 0.5, 0.5), pin("4", 0.8, 0.75)]

    alone = next(joint for joint in compared(before, after, [here]).joints if joint.key == "1")
    among = next(joint for joint in compared(before, after, [here, *others]).joints if joint.key == "1")

    assert alone.score == pytest.approx(among.score, abs=0.02)
    assert alone.score > 0.5


def test_the_same_place_is_boxed_in_both_pictures() -> None:
    before = textured(8, (800, 600))
    shifted = cv2.warpAffine(before, np.float32([[1, 0, 40], [0, 1, 24]]), (800, 600))
    first, second = (shown(k, gray) for k, gray in enumerate((before, shifted)))
    there = CarriedPin("1", 1, 0.5 + 40 / 800, 0.5 + 24 / 600, None, None, 1.0, True, "near")

    said = compare_pictures(
        first,
        second,
        verify_pair(first.features, second.features),
        before_rgb=np.dstack([before] * 3),
        after_rgb=np.dstack([shifted] * 3),
        before_pins=[pin("1", 0.5, 0.5)],
        after_pins=[there],
    )

    box = next(box for box in said.differences if "1" in box.near_keys)
    assert box.in_before is not None
    assert box.x_frac - box.in_before[0] == pytest.approx(40 / 800, abs=0.005)
    assert box.y_frac - box.in_before[1] == pytest.approx(24 / 600, abs=0.005)
    assert box.score < 0.2
