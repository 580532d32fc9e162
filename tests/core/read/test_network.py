"""The package's own reader of digits: its sum over alignments, and that it says nothing where nothing is."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from asfound.core.read.engine import CROP_HIGH_PX, CROP_WIDE_PX
from asfound.core.read.network import NetworkEngine, column_probabilities, number_probability


def collapsed(path: tuple[int, ...]) -> str:
    """Graves and others 2006, the map B: repeats go, then blanks go."""
    kept = [label for at, label in enumerate(path) if label and (at == 0 or label != path[at - 1])]
    return "".join(str(label - 1) for label in kept)


@pytest.mark.parametrize("number", ["", "1", "11", "10", "101"])
def test_probability_of_a_number_is_the_sum_over_all_its_alignments(number: str):
    """Counted out over every path of a short strip, which the recursion never looks at one by one."""
    columns = np.zeros((6, 11), np.float32)
    columns[:, :3] = np.random.default_rng(5).dirichlet([1, 1, 1], 6)
    counted = sum(
        float(np.prod([columns[at, label] for at, label in enumerate(path)]))
        for path in product(range(3), repeat=6)
        if collapsed(path) == number
    )

    assert number_probability(columns, number) == pytest.approx(counted, rel=1e-5)


def test_rows_are_probabilities_and_brightness_makes_no_difference():
    rng = np.random.default_rng(1)
    crops = rng.uniform(0, 255, (3, CROP_HIGH_PX, CROP_WIDE_PX)).astype(np.float32)

    columns = column_probabilities(crops)

    assert columns.shape == (3, 24, 11)
    assert np.allclose(columns.sum(-1), 1, atol=1e-5)
    assert np.allclose(column_probabilities(crops + 40), columns, atol=1e-3)


def test_plain_ground_holds_no_number():
    plain = np.full((CROP_HIGH_PX, CROP_WIDE_PX, 3), 200, np.uint8)

    assert [one.text for one in NetworkEngine().recognise([plain, plain])] == ["", ""]


def test_crop_of_another_size_is_refused():
    with pytest.raises(ValueError, match="32 by 96"):
        NetworkEngine().recognise([np.zeros((20, 96, 3), np.uint8)])
