"""What nouns say of themselves: sentences, orders and small rules that every screen and command relies on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.model.log import HAPPENINGS, HOW_REFITTED, NOT_SO, Bag, Event, GapKind, HoldLook
from asfound.model.pictures import Camera, ClockCorrection
from asfound.model.steps import NOBODY, Writer
from asfound.model.tags import PLACES_WITHOUT_PICTURE, PinProposal
from asfound.model.values import TIGHTENING, USUAL_VALUES

NOW = datetime(2025, 10, 18, 9, 42, tzinfo=UTC)
counts = st.none() | st.integers(0, 99)


@given(counts, counts)
def test_bag_is_to_count_until_as_many_came_back_as_went_in(out: int | None, back: int | None):
    bag = Bag(1, 1, "B4", "", "", "", out, back, "")

    assert bag.is_to_count is not (back is not None and back == out)


def test_bag_that_nobody_counted_at_all_is_to_count():
    assert Bag(1, 1, "B4", "", "", "", None, None, "").is_to_count


days = st.integers(0, 400).map(lambda days: datetime(2025, 1, 1) + timedelta(days=days))


@given(st.lists(st.tuples(days, st.integers(-9999, 9999)), max_size=6, unique_by=lambda one: one[0]), days)
def test_correction_that_counts_is_the_latest_that_has_begun(said: list[tuple[datetime, int]], local: datetime):
    camera = Camera(1, 1, "K1", tuple(ClockCorrection(since, float(s)) for since, s in sorted(said)))

    begun = [seconds for since, seconds in sorted(said) if since <= local]

    assert camera.correction_s(local) == (begun[-1] if begun else 0)


def test_happenings_hold_the_two_events_of_a_life_and_no_strike():
    assert HAPPENINGS[:2] == ("off", "refitted")
    assert NOT_SO not in HAPPENINGS
    assert HOW_REFITTED[0] == "by hand", "fitted is not tight: the least is said first"


def test_gaps_that_a_refit_must_not_wait_for_come_first():
    kinds = list(GapKind)

    assert kinds[:2] == [GapKind.TIGHT_TOO_SOON, GapKind.FIT_LOOP]
    assert kinds.index(GapKind.NEVER_PHOTOGRAPHED) < kinds.index(GapKind.DOUBTFUL_TIME)
    assert len({str(kind) for kind in kinds}) == len(kinds)


def test_values_of_a_joint_are_among_the_usual_ones():
    assert set(USUAL_VALUES) >= TIGHTENING
    assert "order" not in TIGHTENING, "an order of tightening is followed, and never reached"


def test_places_that_are_answers_are_written_as_they_are_compared():
    assert all(place == place.casefold() for place in PLACES_WITHOUT_PICTURE)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Event(1, 2, "off", NOW, "", "", "", NOW), Event(1, 2, "off", NOW, "", "", "", NOW)),
        (Writer("terminal 1", "a command"), Writer("terminal 1", "a command")),
        (HoldLook("before lift in", NOW, "Tine"), HoldLook("before lift in", NOW, "Tine")),
    ],
)
def test_nouns_are_the_same_when_all_they_say_is(one: object, other: object):
    assert one == other
    assert hash(one) == hash(other)
    assert len({one, other}) == 1


def test_nobody_is_told_from_everybody():
    assert NOBODY == Writer("", "")
    assert replace(NOBODY, who="the screens") != NOBODY


def test_proposal_says_nothing_of_what_is_not_known():
    made = PinProposal(1, "A", 1, 0.5, 0.5, None, None, "carried", 0.8, "depth", None)

    assert (made.gone, made.hidden) == (None, None)
    assert not hasattr(made, "pin_id"), "a guess is no pin, and has no identity to be taken for one"
