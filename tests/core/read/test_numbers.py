"""Numbers on drawn flags, seen from an angle, on ground that holds none."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.read.network import NetworkEngine
from asfound.core.read.numbers import find_numbers, read_numbers, tally_looks
from asfound.core.read.picture import load_engine, read_picture
from tests.core.read.drawn import draw_flag, hang, rusty_ground

ENGINE = NetworkEngine()


@pytest.mark.parametrize(
    ("number", "turn_deg", "away"),
    [("27", 0, 0), ("43", 25, 0.1), ("35", 90, 0), ("74", 180, 0.2), ("132", -40, 0), ("52", 215, 0.15), ("7", 10, 0)],
)
def test_number_on_a_flag_is_read_whatever_way_it_hangs(number: str, turn_deg: float, away: float):
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag(number), (330, 210), turn_deg=turn_deg, away=away)

    readings = read_numbers(picture, ENGINE)

    assert [reading.number for reading in readings] == [number]
    assert abs(readings[0].x_frac * 640 - 330) < 25
    assert abs(readings[0].y_frac * 480 - 210) < 25
    assert (readings[0].how, readings[0].end) == ("written", None)


def test_flags_beside_each_other_are_read_each():
    picture = rusty_ground(800, 480)
    for place, number in enumerate(("24", "38", "57")):
        hang(picture, draw_flag(number), (140 + 250 * place, 240), turn_deg=12 * place - 10)

    assert sorted(reading.number for reading in read_numbers(picture, ENGINE)) == ["24", "38", "57"]


def test_number_that_reads_otherwise_upside_down_says_so():
    """By arithmetic: 16 and 91 are each other upside down."""
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("16"), (330, 210))

    (reading,) = read_numbers(picture, ENGINE)

    assert {reading.number, reading.upside_down} == {"16", "91"}


def test_ground_without_a_flag_holds_no_number():
    assert read_numbers(rusty_ground(640, 480, seed=8), ENGINE) == []


def test_words_are_no_number():
    """Not OIL: upside down that is 710, for any reader."""
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("PUMP"), (330, 210))

    assert read_numbers(picture, ENGINE) == []


def test_picture_without_an_engine_reads_markers_alone():
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27"), (330, 210))

    assert read_picture(picture, engine=None) == []


def test_same_picture_gives_the_same_numbers():
    picture = rusty_ground(640, 480)
    hang(picture, draw_flag("27"), (330, 210), turn_deg=8)

    first, second = find_numbers(picture, ENGINE), find_numbers(picture, ENGINE)

    assert [(n.text, n.confidence) for n in first] == [(n.text, n.confidence) for n in second]


def test_looks_that_agree_are_surer_than_looks_that_do_not():
    alike = tally_looks([("27", 0.9)] * 5 + [("", 0.0)] * 2, 2)
    mixed = tally_looks([("27", 0.9)] * 5 + [("21", 0.9)] * 2, 2)

    assert alike[0] == mixed[0] == "27"
    assert alike[1] > mixed[1]


def test_a_digit_overlooked_speaks_less_against_a_number_than_another_digit():
    overlooked = tally_looks([("27", 0.9)] * 4 + [("7", 0.9)] * 3, 2)
    another = tally_looks([("27", 0.9)] * 4 + [("24", 0.9)] * 3, 2)

    assert overlooked[1] > another[1]


def test_no_look_reads_nothing():
    assert tally_looks([("", 0.0)] * 7, 1) == ("", 0.0)


def test_engine_that_does_not_exist_is_named():
    with pytest.raises(ValueError, match="'sharp'"):
        load_engine("sharp")


def test_second_reader_reads_a_drawn_number():
    """Only where the extra `read` is installed."""
    pytest.importorskip("onnxruntime")
    pytest.importorskip("rapidocr")
    picture = np.ascontiguousarray(rusty_ground(640, 480))
    hang(picture, draw_flag("27"), (330, 210), turn_deg=8)

    assert [reading.number for reading in read_numbers(picture, load_engine("rapidocr"))] == ["27"]
