"""The gap report on the demo scenario, row by row of the table of expected gaps (check value 41)."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from asfound.core.log.gaps import find_gaps
from asfound.model.log import Gap, GapKind
from asfound.model.tags import Tag
from tests.scenario import load_sallow

EXPECTED: dict[GapKind, list[tuple[str | None, str | None, str | None]]] = {
    GapKind.NUMBER_TWICE: [("12", None, None)],
    GapKind.NUMBER_MISSING: [("34", None, None)],
    GapKind.NEVER_PHOTOGRAPHED: [("17", None, None)],
    GapKind.ONE_END: [("8", "B", None), ("23", "B", None)],
    GapKind.ONLY_AFTER: [("29", None, None), ("44", None, None)],
    GapKind.NO_PLACE: [("23", "B", None)],
    GapKind.TAPE_LOST: [("31", "B", None)],
    GapKind.COLOUR_DIFFERS: [("13", None, None)],
    GapKind.NOT_CAPPED: [("20", "B", None), ("28", "B", None), ("36", "A", None)],
    GapKind.NO_FLOW: [("21", None, None), ("28", None, None), ("29", None, None), ("36", None, None)],
    GapKind.NOTHING_NOTED: [("44", None, None)],
    GapKind.NO_BAG: [("41", None, None)],
    GapKind.BAG_WITHOUT_TAG: [(None, None, "B8")],
    GapKind.BAG_SHORT: [(None, None, "B9")],
    GapKind.TWO_GROUPS: [(None, None, "B6")],
    GapKind.LOOK_ALIKE: [(number, None, None) for number in ("9", "11", "16", "18", "22", "37", "39")],
    GapKind.UPSIDE_DOWN: [("6", None, None)],
    GapKind.FIT_LOOP: [("26", None, None)],
    GapKind.TIGHT_TOO_SOON: [("19", None, None), ("27", None, None)],
}


@pytest.fixture(scope="module")
def report() -> list[Gap]:
    return find_gaps(load_sallow())


def why(report: list[Gap], kind: GapKind, named: str) -> str:
    return next(gap.why for gap in report if gap.kind == kind and named in (gap.number, gap.bag))


@pytest.mark.parametrize("kind", GapKind)
def test_each_kind_names_exactly_the_expected_things(report: list[Gap], kind: GapKind) -> None:
    named = [(gap.number, gap.end, gap.bag) for gap in report if gap.kind == kind]

    assert named == EXPECTED.get(kind, [])


def test_look_alikes_are_named_in_pairs(report: list[Gap]) -> None:
    """Row 12, the oil alarm switch wire, is meant; not the second thing with the number 12."""
    pairs = [re.findall(r"(\S+) \(", gap.why)[:2] for gap in report if gap.kind == GapKind.LOOK_ALIKE]

    assert pairs == [
        ["9", "10"],
        ["11", "12"],
        ["16", "17"],
        ["18", "19"],
        ["22", "23"],
        ["37", "38"],
        ["39", "40"],
    ]


def test_things_with_one_end_and_answered_ends_are_left_alone(report: list[Gap]) -> None:
    """Must not be reported: 42, 45, 46 (one end by nature), 1 (waits until last), 36 B (an open end)."""
    assert not [gap for gap in report if gap.number in ("42", "45", "46", "1")]
    assert not [gap for gap in report if (gap.number, gap.end) == ("36", "B")]


def test_what_can_be_mended_comes_first(report: list[Gap]) -> None:
    assert [gap.mendable for gap in report] == sorted((gap.mendable for gap in report), reverse=True)


def test_both_things_with_one_number_are_named(report: list[Gap]) -> None:
    words = why(report, GapKind.NUMBER_TWICE, "12")

    assert "oil alarm switch wire" in words
    assert "gear oil cooler hose" in words
    assert "12x" in words


def test_bag_without_tag_and_group_without_bag_are_brought_together(report: list[Gap]) -> None:
    assert "B8" in why(report, GapKind.NO_BAG, "41")
    assert "41 (shaft coupling bolts, 6 off)" in why(report, GapKind.BAG_WITHOUT_TAG, "B8")


def test_loop_names_both_rules(report: list[Gap]) -> None:
    words = why(report, GapKind.FIT_LOOP, "26")

    assert "fitted after 27" in words
    assert "fitted after 26" in words


def test_each_gap_is_one_sentence_that_names_its_thing(report: list[Gap]) -> None:
    for gap in report:
        assert gap.why.endswith(".")
        assert ". " not in gap.why
        assert (gap.number or gap.bag or "") in gap.why


def test_report_does_not_depend_on_the_order_of_the_record(report: list[Gap]) -> None:
    record = load_sallow()
    turned = replace(
        record,
        tags=record.tags[::-1],
        ends=record.ends[::-1],
        sightings=record.sightings[::-1],
        events=record.events[::-1],
        bags=record.bags[::-1],
        fit_after=record.fit_after[::-1],
    )

    assert find_gaps(turned) == report


def test_settled_number_and_further_number_close_their_gaps() -> None:
    record = replace(load_sallow(), settled_numbers=frozenset({"34"}), aliases=((13, "12x"),))

    kinds = {gap.kind for gap in find_gaps(record)}

    assert GapKind.NUMBER_MISSING not in kinds
    assert GapKind.NUMBER_TWICE not in kinds


def test_fields_nobody_uses_are_not_asked_for() -> None:
    """A person who only tags and photographs hears nothing of places, flow, colours, caps or bags; of belts they do."""
    record = load_sallow()
    bare = replace(record, tags=tuple(map(_with_number_only, record.tags)), ends=(), bags=(), events=())

    kinds = {gap.kind for gap in find_gaps(bare)}

    assert kinds == {
        GapKind.NUMBER_TWICE,
        GapKind.NUMBER_MISSING,
        GapKind.UPSIDE_DOWN,
        GapKind.NEVER_PHOTOGRAPHED,
        GapKind.ONE_END,
        GapKind.ONLY_AFTER,
        GapKind.FIT_LOOP,
        GapKind.NOTHING_NOTED,
    }


def _with_number_only(tag: Tag) -> Tag:
    return replace(tag, name="", flow="", size="", bag="", note="")
