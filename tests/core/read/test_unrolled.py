"""A flag is made out around its digits, and laid flat with nothing but its number in sight."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from asfound.core.read.engine import CROP_HIGH_PX, DIGIT_SHARE
from asfound.core.read.flags import Flag, trace_flag
from asfound.core.read.patches import Patch, find_patches
from asfound.core.read.unrolled import FlatFlag, crop_flat, flatten_flag
from tests.core.read.drawn import RgbArray, draw_flag, hang, rusty_ground


def seeds(picture: RgbArray) -> list[Patch]:
    gray = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)
    return [patch for patch in find_patches(gray) if len(patch.strokes) == 1]


def first_flat(picture: RgbArray) -> FlatFlag:
    for seed in seeds(picture):
        flag = trace_flag(picture, seed)
        if flag is not None and flag.fullness > 0.9:
            flat = flatten_flag(picture, flag)
            if flat is not None:
                return flat
    raise AssertionError("no flag was made out")


@pytest.mark.parametrize("turn_deg", [0, 20, 75, 160, 260])
@pytest.mark.parametrize("away", [0, 0.25])
def test_corners_of_a_flag_are_found_where_it_hangs(turn_deg: float, away: float):
    picture = rusty_ground(640, 480)
    hung = hang(picture, draw_flag("27"), (330, 220), turn_deg=turn_deg, away=away)

    flags = [flag for seed in seeds(picture) if (flag := trace_flag(picture, seed)) is not None]

    gaps = [np.hypot(*(flag.corners_px - np.roll(hung, turn, 0)).T).max() for flag in flags for turn in range(4)]
    assert min(gaps) < 7


def test_flag_cut_by_the_edge_of_the_picture_is_none():
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27"), (600, 220))

    assert seeds(picture)
    assert [flag for seed in seeds(picture) if (flag := trace_flag(picture, seed)) is not None] == []


def test_ink_and_its_pieces_are_found():
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27"), (330, 220), turn_deg=12)

    flat = first_flat(picture)

    assert (flat.pieces, flat.whole) == (2, True)
    low, high = flat.box_px()
    assert np.hypot(*((low + high) / 2 - (330, 220))) < 8


def test_line_of_writing_has_the_direction_in_which_the_flag_hangs():
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27"), (330, 220), turn_deg=30)

    flat = first_flat(picture)

    turns = [flat.line_deg(turn) for turn in (0, 90, 180, 270)]
    assert min(abs(turn - 30) for turn in turns) < 4
    assert sorted(round(turn / 10) * 10 % 360 for turn in turns) == [30, 120, 210, 300]


def test_crop_holds_the_number_and_its_ground_alone():
    """Whatever hangs behind the flag is painted over, and the digits have the height that a reader is promised."""
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27", tape=(230, 225, 215)), (330, 220), turn_deg=12)
    flat = first_flat(picture)
    turn = min((0, 90, 180, 270), key=lambda turn: abs((flat.line_deg(turn) + 180) % 360 - 192))

    crop = cv2.cvtColor(crop_flat(picture, flat, turn), cv2.COLOR_RGB2GRAY)

    dark = crop < 120
    rows = np.flatnonzero(dark.any(1))
    assert abs((rows[-1] - rows[0] + 1) - CROP_HIGH_PX * DIGIT_SHARE) < 4
    columns = np.flatnonzero(dark.any(0))
    assert not dark[:, : columns[0]].any()
    assert crop[:, :20].min() > 190
    assert crop[:, -20:].min() > 190


def test_number_with_a_digit_half_hidden_is_not_whole():
    picture = rusty_ground(640, 480)
    piece = draw_flag("27").copy()
    piece[:, 95:] = piece[:, 95:] // 8
    hang(picture, piece, (330, 220))

    flags = [flag for seed in seeds(picture) if (flag := trace_flag(picture, seed)) is not None]
    flats = [flat for flag in flags if (flat := flatten_flag(picture, flag)) is not None]

    assert flats
    assert [flat for flat in flats if flat.pieces > 1 and flat.whole] == []


def test_blue_ink_on_orange_is_ink():
    """As bright as its ground, but not in its strongest colour."""
    piece = draw_flag("27", tape=(250, 150, 60)).copy()
    inked = piece.sum(2) < 250
    piece[inked] = (150, 160, 175)
    picture = rusty_ground(640, 480)
    corners = hang(picture, piece, (330, 220))

    flat = flatten_flag(picture, Flag(corners, 1.0))

    assert flat is not None
    assert flat.pieces == 2
