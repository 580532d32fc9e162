"""Values of the service manual: typed once, reached or not, and never made up."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.actions.values import (
    Reached,
    drop_value,
    list_values,
    name_of,
    not_final,
    reach,
    set_value,
    values_of,
)
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.tags import Tag
from tests.small_archive import now

HOUR = timedelta(hours=1)


@pytest.fixture
def bolt(archive: Archive) -> Tag:
    return add_tag(archive, "41", TagWords(kind="fastener group", name="head bolts"))


def states(archive: Archive, about: Tag | str) -> list[str]:
    return [one.state for one in values_of(archive, about)]


def test_value_is_one_however_it_is_called_and_only_what_is_said_changes(archive: Archive, bolt: Tag):
    first = set_value(archive, bolt, "tightening", wanted="45 Nm", page="6-12")
    again = set_value(archive, bolt, " Tightening ", limits="40 to 50 Nm")

    assert again.value_id == first.value_id
    assert (again.wanted, again.limits, again.page) == ("45 Nm", "40 to 50 Nm", "6-12")
    assert len(list_values(archive)) == 1
    assert set_value(archive, bolt, "tightening", page="").page == "", "an empty word empties the field"


@pytest.mark.parametrize(
    ("what", "wanted", "told"), [("  ", "45 Nm", "which value"), ("gap", None, "no values of its")]
)
def test_value_needs_a_name_and_something_typed(archive: Archive, bolt: Tag, what: str, wanted: str | None, told: str):
    with pytest.raises(Misused, match=told):
        set_value(archive, bolt, what, wanted=wanted)

    assert list_values(archive) == ()


def test_thing_without_a_number_has_values_by_its_words(archive: Archive, bolt: Tag):
    set_value(archive, "crank  shaft", "end float", limits="0.05 to 0.30 mm")

    assert [one.value.thing for one in values_of(archive, "Crank shaft")] == ["crank shaft"]
    assert values_of(archive, bolt) == values_of(archive, "camshaft") == []


def test_amount_of_a_joint_goes_to_its_tightening_and_another_to_what_is_measured(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "tightening", wanted="45 Nm")
    set_value(archive, bolt, "gap", wanted="0.3 mm")

    joint = reach(archive, bolt, Reached("45 Nm", by_whom="Tine"))
    gap = reach(archive, bolt, Reached("0.3 mm"))

    assert (joint.kind, joint.what, joint.amount, joint.by_whom) == ("torque", "tightening", "45 Nm", "Tine")
    assert (gap.kind, gap.what, gap.amount) == ("measured", "gap", "0.3 mm")
    assert not_final(archive) == []


def test_amount_that_could_be_of_two_values_is_asked_back(archive: Archive, bolt: Tag):
    for what in ("gap", "end float"):
        set_value(archive, bolt, what, wanted="0.3 mm")

    with pytest.raises(Ambiguous, match="gap, end float"):
        reach(archive, bolt, Reached("0.3 mm"))

    assert log.list_lines(archive) == []
    assert reach(archive, bolt, Reached("0.3 mm", what="end float")).what == "end float"
    assert states(archive, bolt) == ["not reached", "reached"]


def test_amount_without_a_typed_value_is_kept_all_the_same(archive: Archive, bolt: Tag):
    assert reach(archive, bolt, Reached("33 lb-ft")).what == "tightening"
    assert reach(archive, bolt, Reached("3 mm")).what == ""
    with pytest.raises(Misused, match="what was reached"):
        reach(archive, bolt, Reached("  "))
    assert len(log.list_lines(archive)) == 2


@pytest.mark.parametrize(
    ("amount", "state"),
    [
        ("40 Nm", "reached"),
        ("50 Nm", "reached"),
        ("50.5 Nm", "differs"),
        ("39 Nm", "differs"),
        # Nobody can tell from another unit, or from words: the person's word stands.
        ("33 lb-ft", "reached"),
        ("as the manual says", "reached"),
    ],
)
def test_what_lies_outside_the_limits_differs_and_what_cannot_be_read_is_not_judged(
    archive: Archive, bolt: Tag, amount: str, state: str
):
    set_value(archive, bolt, "tightening", wanted="45 Nm", limits="40 to 50 Nm")

    reach(archive, bolt, Reached(amount, what="tightening"))

    assert states(archive, bolt) == [state]


def test_joint_that_was_undone_is_to_be_tightened_again_but_a_measure_stays(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "tightening", wanted="45 Nm")
    set_value(archive, bolt, "gap", wanted="0.3 mm")
    reach(archive, bolt, Reached("45 Nm"), at=now() - 3 * HOUR)
    reach(archive, bolt, Reached("0.3 mm"), at=now() - 3 * HOUR)

    log.mark_off(archive, bolt, at=now() - 2 * HOUR)
    assert states(archive, bolt) == ["came off since", "reached"]

    reach(archive, bolt, Reached("45 Nm"), at=now() - HOUR)
    assert not_final(archive) == []


def test_first_stage_stays_on_the_list_until_the_last_word_is_final(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "tightening", wanted="45 Nm")
    reach(archive, bolt, Reached("45 Nm", is_final=False), at=now() - HOUR)
    assert states(archive, bolt) == ["not final"]

    reach(archive, bolt, Reached("45 Nm"))

    assert states(archive, bolt) == ["reached"]


def test_order_of_tightening_is_followed_and_never_reached(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "order", wanted="from the middle outwards")
    set_value(archive, bolt, "gap", wanted="0.3 mm")

    assert states(archive, bolt) == ["to be followed", "not reached"]
    assert reach(archive, bolt, Reached("0.3 mm")).what == "gap", "an order is none of the values an amount can be of"


def test_struck_line_reaches_nothing(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "tightening", wanted="45 Nm")
    log.strike(archive, reach(archive, bolt, Reached("45 Nm")))

    assert states(archive, bolt) == ["not reached"]


def test_value_taken_away_leaves_what_was_measured_in_the_log(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "gap", wanted="0.3 mm")
    line = reach(archive, bolt, Reached("0.3 mm"))

    drop_value(archive, bolt, "GAP")

    assert values_of(archive, bolt) == []
    assert log.list_lines(archive) == [line]
    with pytest.raises(NotFound, match="none yet"):
        drop_value(archive, bolt, "gap")
    undo(archive)
    assert states(archive, bolt) == ["reached"]


def test_unknown_value_is_told_with_those_there_are(archive: Archive, bolt: Tag):
    set_value(archive, bolt, "gap", wanted="0.3 mm")

    with pytest.raises(NotFound, match="41 has no value limit; it has: gap"):
        drop_value(archive, bolt, "limit")


def test_thing_is_named_as_it_is_typed(archive: Archive, bolt: Tag):
    second = add_tag(archive, "41", TagWords())

    assert [name_of(one) for one in (bolt, second, "crankshaft")] == ["41", "41.2", "crankshaft"]
