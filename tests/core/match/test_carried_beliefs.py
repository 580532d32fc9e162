"""How sure a carried pin says it is, and when it says that its part is off."""

from __future__ import annotations

import math

import numpy as np
import pytest

from asfound.core.match import IN_USE
from asfound.core.match.belief import CARRIED, SUREST, log_odds
from asfound.core.match.carry import LEAST_CONFIDENCE, _shows_something_else, _taken_while_off
from asfound.core.match.features import Features
from asfound.core.match.pin_depth import PinDepth
from asfound.core.match.scene import ScenePicture

DAY_S = 86400.0


def _taken(*days: float | None) -> list[ScenePicture]:
    nothing = np.zeros(0, np.float32)
    blank = Features(IN_USE, (4, 4), np.zeros((0, 2), np.float32), nothing, nothing, np.zeros((0, 128), np.uint8))
    return [ScenePicture(k, blank, 4.0, None if day is None else day * DAY_S) for k, day in enumerate(days)]


def _depth(**likeness: float) -> PinDepth:
    return PinDepth(np.ones(1), np.ones(1), {int(row[1:]): np.array([v]) for row, v in likeness.items()}, 0)


def calibrated(believed: float, borne_out: bool = True) -> float:
    """What is said of a pin whose depths' posterior believes so much."""
    return CARRIED.at(log_odds(believed), float(borne_out))


def test_even_odds_are_shifted_by_the_fit() -> None:
    """Worked: log odds of 0.5 are 0, so the curve gives 1 / (1 + e^2.5)."""
    assert calibrated(0.5, borne_out=False) == pytest.approx(1 / (1 + math.exp(2.5)))


@pytest.mark.parametrize("borne_out", [False, True])
def test_surer_beliefs_are_surer_and_never_quite_sure(borne_out: bool) -> None:
    said = [calibrated(belief, borne_out) for belief in np.linspace(0, 1, 51)]

    assert said == sorted(said)
    assert said[-1] == SUREST < 1


def test_depth_that_matches_do_not_bear_out_is_less_sure() -> None:
    assert calibrated(0.5, borne_out=False) < 0.1 < 0.9 < calibrated(0.5, borne_out=True)


def test_beliefs_below_even_that_no_match_bears_out_are_left_out() -> None:
    """Carried pins that believed less than half were all wrong where they were counted; they are not proposed."""
    assert calibrated(0.49, borne_out=False) < LEAST_CONFIDENCE < calibrated(0.6, borne_out=False)


def test_parts_are_off_in_the_stint_before_the_long_rest() -> None:
    """Found, tagged the next day, taken apart after six, back after half a year."""
    assert _taken_while_off(_taken(0, 1, 7, 190)) == {2}


def test_last_of_three_stints_is_off_but_the_second_of_two_may_be_the_tagging() -> None:
    assert _taken_while_off(_taken(0, 0.01, 1, 6)) == {3}
    assert _taken_while_off(_taken(0, 1)) == set()


def test_pictures_without_a_time_say_nothing() -> None:
    assert _taken_while_off(_taken(None, None, None)) == set()


def test_place_that_no_longer_shows_the_patch_shows_something_else() -> None:
    """Row 2 shows it, row 3 does not."""
    assert _shows_something_else(_depth(r2=0.8, r3=0.0), 3) is True


def test_place_that_shows_it_or_a_patch_that_nobody_shows_again_says_nothing() -> None:
    assert _shows_something_else(_depth(r2=0.8, r3=0.5), 3) is None
    assert _shows_something_else(_depth(r2=0.1, r3=0.0), 3) is None
    assert _shows_something_else(_depth(r3=0.0), 3) is None
