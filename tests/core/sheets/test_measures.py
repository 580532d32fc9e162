"""Sizes on paper against their standards and by arithmetic."""

from __future__ import annotations

import pytest

from asfound.core.sheets.measures import flag_length_mm, letter_height_mm, paper_pt
from asfound.errors import Misused


@pytest.mark.parametrize(("name", "points"), [("A4", (595.28, 841.89)), ("Letter", (612, 792))])
def test_papers_in_points(name: str, points: tuple[float, float]) -> None:
    """Check value 31: ISO 216 and arithmetic."""
    assert paper_pt(name) == pytest.approx(points, abs=0.005)


def test_letters_that_are_read_at_arms_length() -> None:
    """Check value 32: 15 and 20 minutes of arc at 700 mm, NUREG-0700 11.4.1.5-1; its rule of thumb is near."""
    assert letter_height_mm(700, "least") == pytest.approx(3.05, abs=0.005)
    assert letter_height_mm(700) == pytest.approx(4.07, abs=0.005)
    assert letter_height_mm(700, "least") == pytest.approx(0.004 * 700, rel=0.1)
    assert letter_height_mm(700) == pytest.approx(0.006 * 700, rel=0.1)


def test_flag_label_round_a_cable() -> None:
    """Check value 33: pi x d + 2 flags, a 14 mm cable and flags of 25 mm."""
    assert flag_length_mm(14, 25) == pytest.approx(94.0, abs=0.05)


@pytest.mark.parametrize("size", [0, -1, float("nan"), float("inf")])
def test_what_is_no_size_is_refused(size: float) -> None:
    with pytest.raises(Misused):
        letter_height_mm(size)
    with pytest.raises(Misused):
        flag_length_mm(14, size)
