"""What gaps of numbers and of the order name: the things, the place, and the next move."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.core.log.gap_advice import WHAT_TO_DO, in_parts, told, what_to_do
from asfound.core.log.gaps import Record
from asfound.core.log.number_gaps import find_missing_numbers, find_turned_numbers, find_twice_used_numbers
from asfound.core.log.order_gaps import find_fit_loops, find_tight_too_soon_gaps
from asfound.model.log import Gap, GapKind
from tests.core.log.makers import event, tag

OFF, ON = (event(1, "off", 1), event(2, "off", 1)), event(1, "refitted", 2, how="tight")


def test_loop_names_every_rule_of_it_once_and_the_things_beside_the_first():
    tags = (tag(1, "11", name="hose"), tag(2, "12"), tag(3, "13"))

    (gap,) = find_fit_loops(Record(tags, fit_after=((1, 2), (2, 3), (3, 1), (3, 99))))

    numbers = [gap.number, *gap.beside]
    assert sorted(map(str, numbers)) == ["11", "12", "13"]
    assert gap.tag_id == {"11": 1, "12": 2, "13": 3}[str(gap.number)]
    rules = gap.why.partition(":")[0].split(" and ")
    assert len(rules) == 3
    for later, earlier in zip(numbers, [*numbers[1:], numbers[0]], strict=True):
        assert any(rule.startswith(f"{later} ") and rule.endswith(f" {earlier}") for rule in rules)
    assert gap.kind is GapKind.FIT_LOOP


def test_rules_between_all_the_tags_there_are_still_count():
    assert len(list(find_fit_loops(Record((tag(1), tag(2)), fit_after=((1, 2), (2, 1)))))) == 1
    assert list(find_fit_loops(Record((tag(1), tag(2)), fit_after=((1, 2),)))) == []


@pytest.mark.parametrize(
    ("more", "state"), [((), "still off"), ((event(2, "refitted", 3, how="by hand"),), "fitted by hand only")]
)
def test_what_is_tight_too_soon_names_what_goes_before_it_and_how_that_stands(more: tuple, state: str):
    record = Record((tag(1, "11"), tag(2, "12")), events=(*OFF, ON, *more), fit_after=((1, 2),))

    (gap,) = find_tight_too_soon_gaps(record)

    assert (gap.kind, gap.number, gap.tag_id) == (GapKind.TIGHT_TOO_SOON, "11", 1)
    assert f" {state}: " in gap.why
    assert gap.why.startswith("11 ")
    assert "tighten 12 as the service manual says" in gap.why


def test_number_on_several_things_names_them_and_a_number_that_is_free():
    tags = (tag(1, "12", name="hose"), tag(2, "12", kind="belt"), tag(3, "12x"))

    (gap,) = find_twice_used_numbers(Record(tags))

    assert (gap.kind, gap.number) == (GapKind.NUMBER_TWICE, "12")
    assert "2 things" in gap.why
    assert "hose and belt" in gap.why
    assert "12xx" in gap.why, "12x is on another thing"


def test_number_is_no_longer_twice_when_the_second_thing_has_one_of_its_own():
    tags = (tag(1, "12"), tag(2, "12"))

    assert list(find_twice_used_numbers(Record(tags, aliases=((2, " 12x "),)))) == []
    assert " 12x " in next(iter(find_twice_used_numbers(Record(tags)))).why
    (gap,) = find_twice_used_numbers(Record((*tags, tag(3, "12x")), aliases=((2, "12x"),)))
    assert gap.number == "12x"
    assert "12xx" in gap.why


def test_skipped_number_and_number_that_reads_as_another_are_named():
    (missing,) = find_missing_numbers(Record((tag(1, "30"), tag(2, "32"))))
    assert (missing.kind, missing.number) == (GapKind.NUMBER_MISSING, "31")
    assert "31" in missing.why
    assert list(find_missing_numbers(Record((tag(1, "30"), tag(2, "32")), aliases=((1, "31"),)))) == []

    (turned,) = find_turned_numbers(Record((tag(1, "16"), tag(2, "91"))))
    assert (turned.kind, turned.number) == (GapKind.UPSIDE_DOWN, "16")
    assert turned.why.startswith("16 and 91 ")


def gap(kind: GapKind, number: str, **more: object) -> Gap:
    return replace(Gap(kind, f"why {number}", number=number), **more)  # type: ignore[arg-type]


def test_every_kind_of_gap_has_one_sentence_of_advice():
    assert set(WHAT_TO_DO) == set(GapKind)
    assert all(what_to_do(kind, is_mendable=True) == WHAT_TO_DO[kind] for kind in GapKind)
    for kind in GapKind:
        for is_mendable in (True, False):
            advice = what_to_do(kind, is_mendable=is_mendable)
            assert advice.endswith(".")
            assert advice[0].isupper()
    late = {kind for kind in GapKind if what_to_do(kind, is_mendable=False) != WHAT_TO_DO[kind]}
    pictures = {GapKind.WALK_ROUND, GapKind.NEVER_PHOTOGRAPHED, GapKind.ONE_END}
    assert late == pictures | {GapKind.LOOK_ALIKE, GapKind.NOTHING_NOTED, GapKind.DRAINED_UNSAID}


def test_gaps_stand_once_in_the_part_that_says_what_can_still_be_done():
    gaps = [
        gap(GapKind.ONE_END, "1", at_machine=True),
        gap(GapKind.NO_BAG, "2"),
        gap(GapKind.ONE_END, "3", mendable=False),
        gap(GapKind.NO_PLACE, "4"),
        gap(GapKind.NOT_BACK, "5"),
    ]

    parts = list(in_parts(iter(gaps)).values())

    assert parts == [[gaps[0]], [gaps[1], gaps[3]], [gaps[4]], [gaps[2]]]


@pytest.mark.parametrize(("fold_from", "folded"), [(1, [True, True]), (2, [True, False]), (3, [False, False, False])])
def test_many_gaps_of_one_kind_are_one_line(fold_from: int, folded: list[bool]):
    gaps = [
        gap(GapKind.NO_BAG, "1", beside=("9",)),
        gap(GapKind.NO_BAG, "2"),
        gap(GapKind.ONE_END, "3", mendable=False),
    ]

    lines = list(told(gaps, lambda one: f"tag {one.number}", fold_from=fold_from))

    assert [is_folded for _, is_folded in lines] == folded
    if fold_from == 2:
        assert lines[0][0] == f"no bag (2): tag 1 + 9, tag 2. {WHAT_TO_DO[GapKind.NO_BAG]}"
        assert lines[1][0] == "one end only: why 3"
    if fold_from == 1:
        assert lines[1][0].endswith(what_to_do(GapKind.ONE_END, is_mendable=False))
