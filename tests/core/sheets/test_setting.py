"""Type against NUREG-0700, and lines that lose no letter and never run over."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.core.sheets.setting import Setting
from tests.core.sheets.rulers import EvenRuler

SETTING = Setting(EvenRuler())


def test_sizes_follow_the_distance_they_are_read_from() -> None:
    """NUREG-0700 11.4.1.5-1: 20 minutes of arc preferred, 15 at least, which is 0.0058 and 0.0044 of the distance."""
    capital_mm = 0.7 / POINTS_PER_MM

    assert SETTING.title_pt * capital_mm == pytest.approx(4.07, abs=0.01)
    assert SETTING.body_pt * capital_mm == pytest.approx(0.00582 * 400, rel=0.01)
    assert SETTING.small_pt * capital_mm == pytest.approx(0.00436 * 450, rel=0.01)


def test_tag_numbers_are_24_points_or_more_and_read_from_the_other_side_of_the_engine() -> None:
    assert SETTING.number_pt >= 24
    assert SETTING.number_pt * 0.7 / POINTS_PER_MM >= 0.0058 * 1300


@given(st.text(st.characters(codec="utf-8"), max_size=200), st.floats(5, 80))
def test_lines_keep_every_letter_and_fit(text: str, room_mm: float) -> None:
    lines = SETTING.wrap(text, room_mm, 10)

    assert lines
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(SETTING.width_mm(line, 10) <= room_mm + 1e-9 for line in lines)


def test_words_held_together_stay_on_one_line() -> None:
    room = SETTING.width_mm("fuel line, page", 10)

    assert SETTING.wrap("fuel line, page\u00a024", room, 10) == ["fuel line,", "page\u00a024"]
