"""Things that could be swapped."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.lookalikes import find_look_alikes, main_colour
from asfound.model.tags import TagEnd
from tests.core.log.makers import end, tag

ALIKE = [tag(1, kind="hose", size="10 mm"), tag(2, kind="hose", size="10 MM"), tag(3, kind="hose", size="12 mm")]


def groups(tags: list, ends: list[TagEnd]) -> list[tuple[int, ...]]:
    return [group.tag_ids for group in find_look_alikes(tags, ends)]


def test_same_kind_size_and_place_are_alike() -> None:
    ends = [end(1, "A", "Filter, bulkhead"), end(2, "B", "filter,  bulkhead"), end(3, "A", "filter, bulkhead")]

    assert groups(ALIKE, ends) == [(1, 2)]
    assert find_look_alikes(ALIKE, ends)[0].where == "at Filter, bulkhead"


def test_unknown_places_bring_nothing_together() -> None:
    assert groups(ALIKE, [end(1, "A", "not found"), end(2, "A", "Not found"), end(1, "B"), end(2, "B")]) == []


def test_kind_or_size_tells_apart() -> None:
    tags = [tag(1, kind="hose", size="10 mm"), tag(2, kind="fuel line", size="10 mm"), tag(3, kind="hose")]

    assert groups(tags, [end(tag_id, "A", "pump") for tag_id in (1, 2, 3)]) == []


def test_main_colour_tells_wires_apart_and_the_stripe_does_not() -> None:
    tags = [tag(tag_id, size="1 mm2") for tag_id in (1, 2, 3, 4)]
    ends = [end(1, "A", "loom", colour="GY"), end(2, "A", "loom", colour="GY/RD"), end(3, "A", "loom", colour="BU")]

    assert groups(tags, ends) == [(1, 2)]
    # A fourth without a colour could be taken for any of them.
    assert groups(tags, [*ends, end(4, "A", "loom")]) == [(1, 2, 4), (3, 4)]


def test_words_of_position_tell_apart_only_when_all_have_their_own() -> None:
    """Words of position: common practice, no source."""
    leg = [end(1, "A", "loop", how="forward leg"), end(2, "A", "loop", how="aft leg")]
    same = [end(1, "A", "loop", how="upper nipple"), end(2, "A", "loop", how="upper, other side")]
    one = [end(1, "A", "loop", how="forward leg"), end(2, "A", "loop", how="nipple")]

    assert groups(ALIKE, leg) == []
    assert groups(ALIKE, same) == groups(ALIKE, one) == [(1, 2)]


def test_opposite_sides_are_alike_without_a_size_but_front_and_rear_are_not() -> None:
    """Common practice, no source: port and starboard parts are often the same part."""
    tags = [tag(tag_id, kind="bracket", ends=1) for tag_id in (1, 2, 3)]
    ends = [end(1, "A", "bearer, front port"), end(2, "A", "bearer, front starboard"), end(3, "A", "bearer, rear port")]

    assert groups(tags, ends) == [(1, 2)]


def test_names_that_differ_in_out_and_back_are_alike() -> None:
    tags = [
        tag(1, kind="hose", size="19 mm", name="heater hose, out"),
        tag(2, kind="hose", size="19 mm", name="Heater hose, back"),
        tag(3, kind="hose", size="19 mm", name="heater hose"),
    ]

    assert groups(tags, []) == [(1, 2)]


def test_tags_that_share_both_places_are_named_once() -> None:
    ends = [end(tag_id, letter, f"place {letter}") for tag_id in (1, 2) for letter in ("A", "B")]

    assert groups(ALIKE, ends) == [(1, 2)]


def test_main_colour_is_the_first() -> None:
    assert [main_colour(colour) for colour in ("RD/BK", " rd", "", "RD BK")] == ["rd", "rd", "", "rd"]
    assert main_colour("light blue") == main_colour("BU/WH") == main_colour("dark blue") == "bu"
    assert main_colour("tan/black") == "tan"


@given(st.permutations(ALIKE), st.permutations([end(1, "A", "x"), end(2, "A", "x"), end(3, "B", "x")]))
def test_groups_do_not_depend_on_the_order_given(tags: list, ends: list[TagEnd]) -> None:
    assert groups(tags, ends) == [(1, 2)]
