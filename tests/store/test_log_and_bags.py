"""The log, bags, snags, answers and the way back, as they are written and handed out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import NotFound
from asfound.store import answers, bags, bursts, events, fitting, jobs, snags, tags
from asfound.store.database import Store
from tests.store.filled import NOW, filled_store

DAY = timedelta(days=1)
WORDS = "end how bag what amount container looks by_whom note".split()


def test_line_comes_back_as_it_was_written(store: Store):
    at = datetime(2025, 10, 11, 17, 5, tzinfo=timezone(timedelta(hours=2)))
    words = {name: f"its {name}" for name in WORDS}

    event_id = events.add_event(store, 1, "off", at, NOW, is_day_only=True, picture_id=1, beside_id=2, **words)

    (line,) = events.find_lines(store, 1)
    assert {name: getattr(line, name) for name in WORDS} == words
    assert (line.event_id, line.tag_id, line.kind, line.at, line.entered_at) == (event_id, 1, "off", at, NOW)
    assert line.at.utcoffset() == timedelta(hours=2), "told in the time of the place"
    assert (line.is_day_only, line.strikes, line.is_struck) == (True, None, False)
    assert (line.picture_id, line.beside_id, line.picture, line.beside) == (1, 2, "P1_0.jpg", "P1_1.jpg")


def test_line_without_more_says_nothing_more(store: Store):
    events.add_event(store, 1, "off", NOW, NOW)

    (line,) = events.list_lines(store, 1)
    assert {getattr(line, name) for name in WORDS} == {""}
    assert (line.picture_id, line.beside_id, line.picture, line.beside) == (None, None, "", "")
    assert line.is_day_only is False


def test_lines_stand_in_the_order_in_which_things_happened_then_as_they_were_written(store: Store):
    late = events.add_event(store, 1, "refitted", NOW + DAY, NOW, how="tight")
    first = events.add_event(store, 1, "off", NOW, NOW)
    second = events.add_event(store, 1, "cut", NOW, NOW)
    loose = events.add_event(store, None, "drained", NOW - DAY, NOW, job_id=1, what="oil")

    assert [line.event_id for line in events.list_lines(store, 1)] == [loose, first, second, late]
    assert [line.event_id for line in events.find_lines(store, 1)] == [first, second, late]
    assert [event.event_id for event in events.list_events(store, 1)] == [first, late]
    assert [event.event_id for event in events.find_events(store, 1)] == [first, late]
    later = events.add_event(store, None, "drained", NOW, NOW, job_id=1, what="coolant")
    first_of_all = events.add_event(store, None, "drained", NOW - 2 * DAY, NOW, job_id=1, what="fuel")
    assert [line.event_id for line in events.list_loose_lines(store, 1)] == [first_of_all, loose, later]


def test_moments_are_compared_and_not_their_words(store: Store):
    """17:05 at +02:00 comes before 16:00 UTC, though it is written with the later hour."""
    utc = events.add_event(store, 1, "off", datetime(2025, 10, 11, 16, 0, tzinfo=UTC), NOW)
    local = events.add_event(
        store, 1, "refitted", datetime(2025, 10, 11, 17, 5, tzinfo=timezone(timedelta(hours=2))), NOW
    )

    assert [line.event_id for line in events.list_lines(store, 1)] == [local, utc]
    assert [event.event_id for event in events.list_events(store, 1)] == [local, utc]


def test_struck_line_stands_in_the_log_and_counts_no_more(store: Store):
    off = events.add_event(store, 1, "off", NOW, NOW)
    events.add_event(store, None, "not so", NOW, NOW, job_id=1, strikes=off)

    assert [(line.event_id, line.is_struck) for line in events.list_lines(store, 1)] == [(off, True), (off + 1, False)]
    assert events.list_lines(store, 1)[1].strikes == off
    assert events.list_events(store, 1) == events.find_events(store, 1) == []


def test_line_is_found_by_its_number_within_its_job(store: Store):
    off = events.add_event(store, 1, "off", NOW, NOW)
    strike = events.add_event(store, None, "not so", NOW, NOW, job_id=1, strikes=off)

    found = events.find_line(store, 1, off)
    assert found is not None
    assert (found.event_id, found.is_struck) == (off, True)
    assert events.find_line(store, 2, off) is None
    assert events.find_line(store, 1, strike) is None, "a strike is no line of its own"
    assert events.find_line(store, 1, 99) is None


def test_line_of_a_tag_belongs_to_the_job_of_the_tag(store: Store):
    jobs.add_job(store, "Other", "Etc/UTC", NOW)
    other = tags.add_tag(store, 2, "17", NOW, kind="hose", name="", ends=1)

    events.add_event(store, other, "off", NOW, NOW, bag="B1")

    assert events.list_lines(store, 1) == []
    (event,) = events.list_events(store, 2)
    assert (event.tag_id, event.kind, event.at, event.bag, event.how, event.note) == (other, "off", NOW, "B1", "", "")


def test_event_is_got_by_its_number_or_told_as_unknown(store: Store):
    off = events.add_event(store, 1, "off", NOW, NOW, bag="B4", note="stuck")
    cut = events.add_event(store, 1, "cut", NOW, NOW)

    assert (events.get_event(store, off).bag, events.get_event(store, off).note) == ("B4", "stuck")
    for unknown in (cut, 99):
        with pytest.raises(NotFound, match=str(unknown)):
            events.get_event(store, unknown)


def test_bag_is_one_whatever_the_capitals_and_another_in_another_job(store: Store):
    first = bags.save_bag(store, 1, "b4")

    assert bags.save_bag(store, 1, "B4") == first
    assert bags.save_bag(store, 2, "B4") != first
    assert [bag.label for bag in bags.list_bags(store, 1)] == ["b4"]


def test_bag_with_all_that_was_said_of_it(store: Store):
    bag_id = bags.save_bag(store, 1, "B4")
    bags.change_bag(store, bag_id, name="flange", contents="2 dowels", place="shelf 2", note="greasy", count_out=8)
    bags.save_group(store, bag_id, "bolts", thread="M10", length_mm="35;40", head_mark="10.9", count_out=6)
    bags.save_group(store, bag_id, "washers")
    bags.save_group(store, bag_id, "BOLTS", across_flats_mm="17", count_back=5)
    bags.link_tag(store, bag_id, 1)
    bags.link_tag(store, bag_id, 1)

    (bag,) = bags.list_bags(store, 1)
    assert (bag.label, bag.name, bag.contents, bag.place, bag.note) == ("B4", "flange", "2 dowels", "shelf 2", "greasy")
    bolts, washers = bag.groups
    assert (bolts.what, bolts.thread, bolts.across_flats_mm, bolts.count_out, bolts.count_back) == (
        "bolts", "M10", "17", 6, 5,
    )  # fmt: skip
    assert (washers.what, washers.thread, washers.count_out) == ("washers", "", None)
    assert bag.inside == "2 dowels, bolts, M10 x 35 and 40, 10.9, washers"
    assert bag.tag_ids == (1,)
    bags.unlink_tag(store, bag_id, 1)
    assert bags.list_bags(store, 1)[0].tag_ids == ()


@settings(max_examples=40, deadline=None)
@given(
    total=st.none() | st.integers(0, 99),
    counts=st.lists(st.none() | st.integers(0, 20), max_size=4),
)
def test_counted_groups_tell_more_than_a_total_unless_one_is_open(
    total: int | None, counts: list[int | None], tmp_path_factory: pytest.TempPathFactory
):
    with filled_store(tmp_path_factory.mktemp("bag")) as store:
        bag_id = bags.save_bag(store, 1, "B4")
        bags.change_bag(store, bag_id, count_out=total, count_back=total)
        for number, count in enumerate(counts):
            bags.save_group(store, bag_id, f"group {number}", count_out=count)

        (bag,) = bags.list_bags(store, 1)

        known = [count for count in counts if count is not None]
        assert bag.count_out == (sum(known) if counts and len(known) == len(counts) else total)
        assert bag.count_back == total


def test_bags_are_listed_as_entered_each_with_its_own(store: Store):
    for label, what in (("B9", "nuts"), ("B1", "bolts")):
        bags.save_group(store, bags.save_bag(store, 1, label), what)
    bags.save_bag(store, 2, "B5")

    assert [(bag.label, bag.inside) for bag in bags.list_bags(store, 1)] == [("B9", "nuts"), ("B1", "bolts")]


def test_snag_comes_back_as_it_was_written(store: Store):
    bag_id = bags.save_bag(store, 1, "B4")
    snag_id = snags.add_snag(store, 1, "1", NOW, is_day_only=True, what="stud sheared")
    other = snags.add_snag(store, 1, "2", NOW, is_day_only=False, what="hose cracked")
    snags.change_snag(
        store, snag_id, tag_id=1, picture_id=2, bag_id=bag_id, place="rear", what="two studs sheared", buy="studs",
        bought_at="2025-11-01", closed_at="2025-11-02", closed_how="replaced",
    )  # fmt: skip
    snags.add_snag(store, 2, "1", NOW, is_day_only=False, what="elsewhere")

    first, second = snags.list_snags(store, 1)
    assert (first.snag_id, first.label, first.found_at, first.is_day_only) == (snag_id, "1", NOW, True)
    assert (first.tag_id, first.picture_id, first.bag_id, first.place) == (1, 2, bag_id, "rear")
    assert (first.what, first.buy, first.bought_at) == ("two studs sheared", "studs", "2025-11-01")
    assert (first.closed_at, first.closed_how, first.is_open) == ("2025-11-02", "replaced", False)
    assert (second.snag_id, second.what, second.is_open, second.is_day_only) == (other, "hose cracked", True, False)
    assert (second.tag_id, second.buy, second.closed_at) == (None, "", "")


def test_later_answer_takes_the_place_of_the_earlier_one(store: Store):
    for word in ("never used", "tape lost"):
        answers.settle_number(store, 1, "34", word)
        answers.answer_gap(store, 1, "one end only", "tag 1 B", word)
    answers.settle_number(store, 2, "34", "elsewhere")
    answers.answer_gap(store, 1, "one end only", "tag 2 A", "hidden")
    answers.answer_gap(store, 2, "one end only", "tag 2 A", "elsewhere")

    assert answers.settled_numbers(store, 1) == {"34": "tape lost"}
    assert answers.answered_gaps(store, 1) == {
        ("one end only", "tag 1 B"): "tape lost",
        ("one end only", "tag 2 A"): "hidden",
    }


def test_rules_are_said_once_and_taken_away(store: Store):
    ids = [tags.add_tag(store, 1, str(number), NOW, kind="hose", name="", ends=1) for number in range(3)]
    for later, earlier in ((ids[2], ids[0]), (ids[1], ids[0]), (ids[2], ids[0])):
        fitting.add_rule(store, later, earlier)
    assert fitting.list_rules(store, 1) == [(ids[2], ids[0]), (ids[1], ids[0])]
    assert fitting.list_rules(store, 2) == []

    assert fitting.remove_rule(store, ids[2], ids[0])
    assert not fitting.remove_rule(store, ids[2], ids[0])
    assert not fitting.remove_rule(store, ids[0], ids[1])
    assert fitting.list_rules(store, 1) == [(ids[1], ids[0])]


def test_moves_stand_in_the_order_in_which_they_were_made_also_twice(store: Store):
    moves = [("3", "before", "1"), ("before lift in", "after", "3"), ("3", "before", "1")]
    for move in moves:
        fitting.add_move(store, 1, *move)
    fitting.add_move(store, 2, "9", "after", "8")

    assert fitting.list_moves(store, 1) == moves


def test_own_step_of_the_way_back_goes_with_the_moves_that_name_it(store: Store):
    wax, look = (
        fitting.add_step(store, 1, "wax the bay", is_hold=False),
        fitting.add_step(store, 1, "look", is_hold=True),
    )
    fitting.add_step(store, 2, "elsewhere", is_hold=False)
    assert fitting.list_steps(store, 1) == [(wax, "wax the bay", False), (look, "look", True)]
    for move in (("own 1", "before", "3"), ("4", "after", "own 1"), ("4", "after", "3")):
        fitting.add_move(store, 1, *move)
    fitting.add_move(store, 2, "own 1", "before", "3")

    fitting.remove_step(store, 1, wax, "own 1")

    assert fitting.list_steps(store, 1) == [(look, "look", True)]
    assert fitting.list_moves(store, 1) == [("4", "after", "3")]
    assert len(fitting.list_moves(store, 2)) == 1


def test_hold_is_passed_again_with_the_later_word(store: Store):
    at = datetime(2026, 4, 26, 9, 0, tzinfo=timezone(timedelta(hours=2)))
    fitting.pass_hold(store, 1, "before lift in", NOW, "")
    fitting.pass_hold(store, 1, "before lift in", at, "yard engineer")
    fitting.pass_hold(store, 2, "before first start", NOW, "")

    assert fitting.list_holds(store, 1) == {"before lift in": (at, "yard engineer")}


def test_note_of_a_day_is_replaced_and_keeps_its_place_in_the_search(store: Store):
    fitting.save_day_note(store, 1, "2025-10-19", "wet")
    fitting.save_day_note(store, 1, "2025-10-18", "fuel off")
    before = fitting.list_note_rows(store, 1)
    fitting.save_day_note(store, 1, "2025-10-19", "wet; tarp torn")
    fitting.save_day_note(store, 2, "2025-10-19", "elsewhere")

    assert list(fitting.list_day_notes(store, 1).items()) == [
        ("2025-10-18", "fuel off"),
        ("2025-10-19", "wet; tarp torn"),
    ]
    after = fitting.list_note_rows(store, 1)
    assert [rowid for rowid, _ in after] == [rowid for rowid, _ in before]
    assert {fitting.get_note_row(store, rowid) for rowid, _ in after} == {
        ("2025-10-18", "fuel off"),
        ("2025-10-19", "wet; tarp torn"),
    }
    assert fitting.get_note_row(store, 99) == ("", "")


def test_picture_is_behind_the_one_said_last(store: Store):
    bursts.put_behind(store, 1, 2)
    bursts.put_behind(store, 1, 3)
    bursts.put_behind(store, 2, 2)

    assert bursts.load_behind(store, 1) == {1: 3, 2: 2}
    assert bursts.load_behind(store, 2) == {}


def test_bag_by_its_id_is_as_it_is_listed_and_labels_of_a_tag_are_in_order(store: Store):
    first, second = (bags.save_bag(store, 1, label) for label in ("B9", "B2"))
    bags.save_group(store, first, "bolts", count_out=3)
    for bag_id in (second, first):
        bags.link_tag(store, bag_id, 1)

    assert [bags.get_bag(store, one) for one in (first, second)] == bags.list_bags(store, 1)
    assert bags.list_labels(store, 1) == [(first, "B9"), (second, "B2")]
    assert bags.list_labels(store, 2) == []
    assert bags.labels_of_tag(store, 1) == ["B9", "B2"]
    with pytest.raises(NotFound, match="99"):
        bags.get_bag(store, 99)
