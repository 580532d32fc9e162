"""Tags and their ends as they are handed out: numbers that repeat, ends that come and go, fields kept as typed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import NotFound
from asfound.model.tags import Belt
from asfound.store import bags, events, fitting, jobs, pins, snags, tags
from asfound.store.database import Store
from tests.store.filled import NOW, filled_store
from tests.strategies import any_words


def add(store: Store, number: str, ends: int = 2, job_id: int = 1) -> int:
    return tags.add_tag(store, job_id, number, NOW, kind="hose", name="", ends=ends)


def test_tag_comes_back_as_it_was_entered(store: Store):
    at = datetime(2025, 10, 11, 9, 30, tzinfo=UTC)

    tag_id = tags.add_tag(store, 1, "12a", at, kind="wire", name="glow plug feed", ends=1)

    tag = tags.get_tag(store, tag_id)
    assert (tag.tag_id, tag.job_id, tag.number, tag.order) == (tag_id, 1, "12a", 1)
    assert (tag.kind, tag.name, tag.ends, tag.created_at, tag.bag) == ("wire", "glow plug feed", 1, at, "")
    assert [end.end for end in tags.find_ends(store, tag_id)] == ["A"]


TAG_WORDS = "name note flow size route how_it_sat hazard condition goes_with look_alike kind".split()
END_WORDS = "place how_it_sat clock terminal note capped_with".split()


@settings(max_examples=25, deadline=None)
@given(words=st.fixed_dictionaries({name: any_words for name in TAG_WORDS}))
def test_words_of_a_tag_are_kept_letter_for_letter(words: dict[str, str], tmp_path_factory: pytest.TempPathFactory):
    with filled_store(tmp_path_factory.mktemp("words")) as store:
        tags.change_tag(store, 1, **words)

        tag = tags.get_tag(store, 1)

        assert {name: getattr(tag, name) for name in TAG_WORDS} == words
        assert tag.number == "17"


def test_words_of_an_end_are_its_own(store: Store):
    for end in ("A", "B"):
        tags.change_end(store, 1, end, **{name: f"{name} {end}" for name in END_WORDS}, side="engine", tape_lost=1)  # type: ignore[arg-type]
    tags.change_end(store, 1, "B", capped=0, side="stays", tape_lost=0, colour_unsure=1)

    a, b = tags.find_ends(store, 1)
    assert [getattr(a, name) for name in END_WORDS] == [f"{name} A" for name in END_WORDS]
    assert [getattr(b, name) for name in END_WORDS] == [f"{name} B" for name in END_WORDS]
    assert (a.capped, a.side, a.tape_lost, a.colour_unsure) == (None, "engine", True, False)
    assert (b.capped, b.side, b.tape_lost, b.colour_unsure) == (False, "stays", False, True)


@pytest.mark.parametrize(
    ("main", "stripe", "typed", "shown"),
    [
        ("BK", "", "black", "BK"),
        ("BK", "WH", "black/white", "BK/WH"),
        ("", "", "mauve", "mauve"),
        ("", "WH", "?", "WH"),
        ("", "", "", ""),
    ],
)
def test_colour_is_shown_as_the_trade_writes_it_else_as_typed(
    store: Store, main: str, stripe: str, typed: str, shown: str
):
    tags.change_end(store, 1, "A", colour_main=main, colour_stripe=stripe, colour_typed=typed)

    end = tags.find_ends(store, 1)[0]
    assert (end.colour, end.main, end.stripe) == (shown, main, stripe)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda s, **w: tags.change_tag(s, 1, **w), {"job_id": 9}),
        (lambda s, **w: tags.change_tag(s, 1, **w), {"name = 'x' --": ""}),
        (lambda s, **w: tags.change_end(s, 1, "A", **w), {"rowid": 9}),
        (lambda s, **w: tags.save_belt(s, 1, **w), {"rowid": "2"}),
        (lambda s, **w: bags.change_bag(s, 1, **w), {"label": "B2"}),
        (lambda s, **w: bags.save_group(s, 1, "bolts", **w), {"group_id": 2}),
        (lambda s, **w: snags.change_snag(s, 1, **w), {"job_id": 2}),
        (lambda s, **w: events.add_event(s, 1, "off", NOW, NOW, **w), {"kind2": ""}),
        (lambda s, **w: jobs.change_job(s, 1, **w), {"created_at": ""}),
    ],
)
def test_only_fields_that_a_person_sets_can_be_set(store: Store, change: Any, words: dict[str, Any]):
    """Names of columns are put into SQL as they are, so that none but known ones may come through."""
    with pytest.raises(ValueError, match=next(iter(words)).split()[0]):
        change(store, **words)


def test_same_number_on_several_things_gets_the_next_place(store: Store):
    ids = [add(store, "12") for _ in range(3)]
    assert [tags.get_tag(store, tag_id).order for tag_id in ids] == [1, 2, 3]

    tags.remove_tag(store, ids[1])

    assert tags.get_tag(store, ids[2]).order == 3, "what is left keeps its name"
    assert tags.get_tag(store, add(store, "12")).order == 4
    assert [tag.tag_id for tag in tags.find_tags_by_number(store, 1, "12")] == [ids[0], ids[2], ids[2] + 1]


def test_name_of_a_repeated_number_never_is_the_number_on_another_tape(store: Store):
    """Two tapes say 12, a third says 12.2: the second 12 must not be called so."""
    add(store, "12.2")
    add(store, "12")

    assert tags.get_tag(store, add(store, "12")).order == 3
    tags.add_alias(store, 1, "12.4")
    assert tags.get_tag(store, add(store, "12")).order == 5


def test_renumbered_tag_is_the_last_of_its_new_number(store: Store):
    first, second = add(store, "12"), add(store, "13")

    tags.change_tag(store, second, number="12")
    assert (tags.get_tag(store, second).number, tags.get_tag(store, second).order) == ("12", 2)

    tags.change_tag(store, first, number="12")
    assert tags.get_tag(store, first).order == 1, "the number it has already"
    tags.change_tag(store, 99, number="12")


def test_second_end_comes_when_it_is_asked_for_and_keeps_what_was_said_of_it(store: Store):
    tags.change_end(store, 1, "B", place="lift pump")

    tags.change_tag(store, 1, ends=1)
    assert [end.end for end in tags.find_ends(store, 1)] == ["A"]
    assert [end.end for end in tags.list_ends(store, 1)[1]] == ["A"]

    tags.change_tag(store, 1, ends=2)
    assert [(end.end, end.place) for end in tags.find_ends(store, 1)] == [("A", ""), ("B", "lift pump")]
    one = add(store, "40", ends=1)
    tags.change_tag(store, one, ends=2)
    assert [end.end for end in tags.list_ends(store, 1)[one]] == ["A", "B"]


def test_removed_tag_takes_its_own_with_it_and_leaves_the_rest(store: Store):
    other = add(store, "18")
    for tag_id in (1, other):
        pins.save_pin(store, tag_id, "A", 1, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)
        pins.reject(store, tag_id, "B", 2)
        off = events.add_event(store, tag_id, "off", NOW, NOW)
        events.add_event(store, None, "not so", NOW, NOW, job_id=1, strikes=off)
        bags.link_tag(store, bags.save_bag(store, 1, "B1"), tag_id)
        tags.save_belt(store, tag_id, path="crank")
        tags.add_alias(store, tag_id, f"alias {tag_id}")
    fitting.add_rule(store, 1, other)
    fitting.add_rule(store, other, 1)
    snag = snags.add_snag(store, 1, "1", NOW, is_day_only=False, what="torn")
    snags.change_snag(store, snag, tag_id=1)

    with store.step("removed", NOW):
        tags.remove_tag(store, 1)

    assert [tag.tag_id for tag in tags.list_tags(store, 1)] == [other]
    assert [pin.tag_id for pin in pins.list_pins(store, 1)] == [other]
    assert pins.list_rejections(store, 1) == [(other, "B", 2)]
    assert {line.tag_id for line in events.list_lines(store, 1)} == {other, None}
    assert len(events.list_lines(store, 1)) == 2
    assert bags.list_bags(store, 1)[0].tag_ids == (other,)
    assert set(tags.list_belts(store, 1)) == {other}
    assert tags.list_aliases(store, 1) == [(other, f"alias {other}")]
    assert fitting.list_rules(store, 1) == []
    assert [(one.what, one.tag_id) for one in snags.list_snags(store, 1)] == [("torn", None)]
    assert set(tags.list_ends(store, 1)) == {other}


def test_unknown_tag_is_told_as_such(store: Store):
    with pytest.raises(NotFound, match="identity 99"):
        tags.get_tag(store, 99)


def test_tags_are_listed_as_entered_and_of_one_job_only(store: Store):
    jobs.add_job(store, "Other", "Etc/UTC", NOW)
    elsewhere = add(store, "17", job_id=2)
    later = add(store, "3")

    assert [tag.number for tag in tags.list_tags(store, 1)] == ["17", "3"]
    assert [tag.tag_id for tag in tags.list_tags(store, 2)] == [elsewhere]
    assert [tag.tag_id for tag in tags.find_tags(store, 1, [later, 99, elsewhere, 1])] == [1, later]
    assert set(tags.list_ends(store, 2)) == {elsewhere}
    assert tags.get_tag(store, elsewhere).order == 1, "numbers repeat within a job only"
    assert tags.known_numbers(store, 1) == {"17", "3"}


def test_tag_goes_by_its_other_numbers_too(store: Store):
    tags.add_alias(store, 1, "17x")
    tags.add_alias(store, 1, "17x")
    tags.add_alias(store, 1, "old 4")

    assert tags.list_aliases(store, 1) == [(1, "17x"), (1, "old 4")]
    assert [tag.number for tag in tags.find_tags_by_number(store, 1, "17x")] == ["17"]
    assert tags.find_tags_by_number(store, 1, "17X") == []
    assert tags.known_numbers(store, 1) == {"17", "17x", "old 4"}


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (["17"], {"17"}),
        (["17X", "18"], {"17x"}),
        (["ölstand"], {"ÖLSTAND"}),
        (["nothing"], set()),
        ([], set()),
    ],
)
def test_numbers_in_use_are_known_in_any_case_of_letters(store: Store, asked: list[str], found: set[str]):
    tags.add_alias(store, 1, "17x")
    add(store, "ÖLSTAND")

    assert tags.numbers_among(store, 1, asked) == found


def test_bag_of_a_tag_is_the_one_last_said_in_the_log_else_the_first_it_is_linked_to(store: Store):
    for label in ("B1", "B2"):
        bags.link_tag(store, bags.save_bag(store, 1, label), 1)
    assert tags.get_tag(store, 1).bag == "B1"

    events.add_event(store, 1, "off", NOW, NOW, bag="B7")
    later = events.add_event(store, 1, "bagged", NOW + timedelta(days=1), NOW, bag="B8")
    events.add_event(store, 1, "off", NOW + timedelta(days=2), NOW)
    events.add_event(store, 1, "refitted", NOW + timedelta(days=3), NOW, bag="B9")
    assert tags.get_tag(store, 1).bag == "B8"

    events.add_event(store, None, "not so", NOW, NOW, job_id=1, strikes=later)
    assert tags.get_tag(store, 1).bag == "B7"


def test_belt_is_said_field_by_field(store: Store):
    tags.save_belt(store, 1, path="crank, pump", turns="clockwise seen from the belt end")
    tags.save_belt(store, 1, slack="10 mm", path="crank, pump, generator")

    belt = Belt(1, path="crank, pump, generator", turns="clockwise seen from the belt end", slack="10 mm")
    assert tags.list_belts(store, 1) == {1: belt}
