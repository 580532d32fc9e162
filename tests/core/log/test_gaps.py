"""Single gap rules, on records of one or two things."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.gaps import BagContents, DoubtfulTime, Record, TagSighting, find_gaps
from asfound.core.log.record import GuessedSighting
from asfound.model.log import GapKind
from asfound.model.tags import Tag
from tests.core.log.makers import end, event, tag
from tests.strategies import tags

SEEN = (TagSighting(1, "A", 10, "before"), TagSighting(1, "B", 11, "before"))
OFF = (event(1, "off", 1),)
BACK = (*OFF, event(1, "refitted", 2, how="tight"))


def named(record: Record) -> list[tuple[GapKind, str | None, str | None]]:
    return [(gap.kind, gap.number or gap.bag, gap.end) for gap in find_gaps(record)]


def only_why(record: Record) -> str:
    (gap,) = find_gaps(record)
    return gap.why


def test_an_empty_or_whole_record_lacks_nothing() -> None:
    assert find_gaps(Record(())) == []
    assert find_gaps(Record((tag(1),), sightings=SEEN)) == []


def test_one_end_is_asked_for_before_it_comes_off() -> None:
    record = Record((tag(1, "8", name="hull bonding strap"),), sightings=SEEN[:1])

    assert only_why(record) == "Photograph end B of 8 (hull bonding strap) before it comes off."
    assert find_gaps(record)[0].mendable


def test_one_end_can_only_show_the_empty_place_once_off() -> None:
    record = Record((tag(1, "8"),), (end(1, "A", "bearer"), end(1, "B", "bus")), SEEN[:1], OFF)

    assert only_why(record) == (
        "End B of 8 (wire) was not photographed before it came off: "
        "only the empty place (bus) can still be photographed."
    )
    assert not find_gaps(record)[0].mendable


def test_one_end_shows_nothing_as_found_once_refitted() -> None:
    assert "only how it was refitted" in only_why(Record((tag(1),), sightings=SEEN[:1], events=BACK))


@pytest.mark.parametrize("place", ["not found", "open end", "Not found "])
def test_answered_end_needs_no_picture_and_no_place(place: str) -> None:
    record = Record((tag(1),), (end(1, "A", "bus"), end(1, "B", place)), SEEN[:1])

    assert find_gaps(record) == []


@pytest.mark.parametrize("thing", [tag(1, kind="bracket", ends=2), tag(1, kind="fastener group", ends=1)])
def test_thing_with_one_end_is_not_half_done(thing: Tag) -> None:
    assert find_gaps(Record((thing,), sightings=SEEN[:1])) == []


def test_picture_without_an_end_letter_asks_which() -> None:
    unsaid = TagSighting(1, None, 12, "before")

    assert named(Record((tag(1),), sightings=(unsaid,))) == [(GapKind.ONE_END, "1", None)]
    assert "Say which end" in only_why(Record((tag(1),), sightings=(unsaid,)))
    assert "without an end letter" in only_why(Record((tag(1),), sightings=(SEEN[0], unsaid)))
    assert find_gaps(Record((tag(1, ends=1),), sightings=(unsaid,))) == []


def test_after_picture_tells_that_it_came_off_without_a_log() -> None:
    record = Record((tag(1),), sightings=(TagSighting(1, "A", 10, "after"),))

    assert named(record) == [(GapKind.ONLY_AFTER, "1", None)]


def test_picture_after_removal_does_not_stand_in_for_one_before() -> None:
    record = Record((tag(1),), sightings=(SEEN[0], TagSighting(1, "B", 12, "after")), events=OFF)

    assert named(record) == [(GapKind.ONE_END, "1", "B")]


def test_look_alikes_in_one_picture_are_no_gap() -> None:
    pair = (tag(1, size="1 mm2"), tag(2, size="1 mm2"))
    ends = tuple(end(tag_id, letter, f"loom {letter}") for tag_id in (1, 2) for letter in ("A", "B"))
    apart = tuple(TagSighting(tag_id, letter, tag_id, "before") for tag_id in (1, 2) for letter in ("A", "B"))
    together = (*apart, TagSighting(2, "A", 1, "before"))

    assert named(Record(pair, ends, apart)) == [(GapKind.LOOK_ALIKE, "1", None)]
    assert find_gaps(Record(pair, ends, together)) == []


@pytest.mark.parametrize(
    ("events", "capped", "kinds"),
    [((), False, []), (OFF, False, ["Cap end A"]), (BACK, False, ["before first start"]), (OFF, None, [])],
)
def test_open_line_matters_once_it_is_off(events: tuple, capped: bool | None, kinds: list[str]) -> None:
    record = Record((tag(1, kind="hose"),), (end(1, "A", "pump", capped=capped), end(1, "B", "tank")), SEEN, events)

    assert [words in gap.why for words, gap in zip(kinds, find_gaps(record), strict=True)] == [True] * len(kinds)


def test_tag_without_any_place_is_asked_once() -> None:
    record = Record((tag(1), tag(2)), (end(1, "A", "pump"), end(1, "B", "tank")), ())

    assert [gap for gap in named(record) if gap[0] == GapKind.NO_PLACE] == [(GapKind.NO_PLACE, "2", None)]


def test_same_colour_spelled_otherwise_is_no_difference() -> None:
    same = Record((tag(1),), (end(1, "A", "x", colour="RD/BK"), end(1, "B", "y", colour="rd / bk")), SEEN)

    assert find_gaps(same) == []


@pytest.mark.parametrize(
    ("how", "places", "lacking"),
    [
        ("both grooves", ("crank", "pump"), "direction and slack"),
        ("arrow to front", ("crank", "pump"), "slack"),
        ("arrow to front; 12 mm slack", ("crank", "pump"), ""),
        ("12 mm slack", ("crank", ""), "path and direction"),
        ("over the idler, 12 mm slack", ("crank", ""), ""),
        ("slack not noted", ("crank", "pump"), "direction and slack"),
        ("", ("", ""), "path, direction and slack"),
    ],
)
def test_belt_needs_its_path_and_its_slack(how: str, places: tuple[str, str], lacking: str) -> None:
    ends = (end(1, "A", places[0] or "not found", how=how), end(1, "B", places[1] or "not found"))
    record = Record((tag(1, kind="belt"),), ends, SEEN)

    assert [gap.why for gap in find_gaps(record)] == (
        [f"Note the {lacking} of 1 (belt) before it comes off."] if lacking else []
    )


@pytest.mark.parametrize(
    ("place", "capped_with", "is_told"),
    [("turbo outlet", "", True), ("inlet manifold", "", True), ("Intake", "n/a", False),
     ("raw water intake", "", False),
     ("radiator top", "", False), ("", "", False)],
)  # fmt: skip
def test_opening_to_the_turbo_or_intake_wants_a_word_on_its_cap(place: str, capped_with: str, is_told: bool) -> None:
    ends = (replace(end(1, "A", place), capped_with=capped_with), end(1, "B", "tank"))
    record = Record((tag(1, kind="hose"),), ends, SEEN, OFF)

    told = [gap for gap in find_gaps(record) if gap.kind == GapKind.NOT_CAPPED]

    assert [gap.end for gap in told] == (["A"] if is_told else [])
    assert not is_told or f"Nobody wrote whether end A of 1 (hose) ({place}) is capped: cap it" in told[0].why
    assert find_gaps(replace(record, events=())) == find_gaps(replace(record, ends=ends, events=()))


def test_guess_from_before_is_told_as_a_guess_and_not_as_no_picture() -> None:
    after = TagSighting(1, "A", 12, "after")
    guess = GuessedSighting(1, "A", 20, "P1_0020.jpg", 0.7)
    record = Record((tag(1, "8"),), sightings=(after,), events=OFF, guesses=(guess, replace(guess, confidence=0.4)))

    found = find_gaps(record)

    assert {(gap.kind, gap.end) for gap in found} == {(GapKind.ONLY_GUESSED, "A"), (GapKind.ONE_END, "B")}
    told = next(gap for gap in found if gap.kind == GapKind.ONLY_GUESSED)
    assert (told.picture_id, told.mendable) == (20, True)
    assert told.why.startswith("P1_0020.jpg may show end A of 8 (wire) as it was found, by a guess")
    assert find_gaps(replace(record, sightings=(*SEEN, after))) == []


@pytest.mark.parametrize("bag", ["back in place", "B1"])
def test_group_with_a_bag_or_back_in_place_is_no_gap(bag: str) -> None:
    thing = tag(1, kind="fastener group", ends=1)
    record = Record((thing,), sightings=SEEN[:1], events=(event(1, "off", 1, bag=bag),), bags=(BagContents("B1"),))

    kinds = [kind for kind, _named, _end in named(record)]

    assert GapKind.NO_BAG not in kinds
    assert kinds == ([GapKind.BAG_WITHOUT_TAG] if bag == "back in place" else [])


def test_bag_not_counted_back_is_no_gap() -> None:
    bags = (BagContents("B1", count_out=4), BagContents("B2", count_out=4, count_back=3))
    things = (tag(1, ends=1, bag="B1"), tag(2, ends=1, bag="B2"))
    record = Record(things, sightings=(SEEN[0], TagSighting(2, "A", 12, "before")), bags=bags)

    assert named(record) == [(GapKind.BAG_SHORT, "B2", None)]


def test_doubtful_times_are_told_once_for_each_reason() -> None:
    twice = "this hour came twice when the clocks went back"
    record = Record((), doubtful_times=(DoubtfulTime("b.jpg", twice, 2), DoubtfulTime("a.jpg", twice, 1)))

    (gap,) = find_gaps(record)

    assert gap.kind == GapKind.DOUBTFUL_TIME
    assert gap.picture_id == 1
    assert gap.why.startswith("a.jpg and 1 more: this hour came twice")


def test_rules_about_tags_that_are_gone_are_passed_over() -> None:
    assert find_gaps(Record((tag(1),), sightings=SEEN, fit_after=((1, 99), (99, 1)))) == []


@given(tags(), st.data())
def test_report_is_the_same_for_every_order_of_the_record(drawn: list[Tag], data: st.DataObject) -> None:
    record = Record(tuple(drawn), events=tuple(event(one.tag_id, "off", 1) for one in drawn[::2]))
    shuffled = replace(record, tags=tuple(data.draw(st.permutations(drawn))), events=record.events[::-1])

    assert find_gaps(shuffled) == find_gaps(record)


def test_five_thousand_tags_are_gone_through_in_time() -> None:
    """Nothing in the rules may compare every tag with every other."""
    many = tuple(tag(number, kind="hose", size="10 mm", flow="A to B") for number in range(1, 5001))
    ends = tuple(end(one.tag_id, "A", f"place {one.tag_id % 2500}") for one in many)
    record = Record(many, ends, fit_after=tuple((number + 1, number) for number in range(1, 200)))

    started = time.process_time()
    report = find_gaps(record)

    assert len(report) > 5000
    assert time.process_time() - started < 5
