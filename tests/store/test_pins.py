"""A person's pins and refusals against the machine's proposals: an answer closes one, taking it back reopens it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import NotFound
from asfound.model.tags import PinProposal
from asfound.store import jobs, pins, tags
from asfound.store.database import Store
from asfound.store.pictures import NewPicture, save_picture
from tests.store.filled import NOW, filled_store


def pin(store: Store, end: Any = "A", picture_id: int = 1, **more: Any) -> int:
    place = {"x_frac": 0.25, "y_frac": 0.75, "w_frac": None, "h_frac": None}
    return pins.save_pin(store, 1, end, picture_id, NOW, **{**place, **more})


def guess(end: Any = "A", picture_id: int = 1, confidence: float = 0.5, source: Any = "carried") -> PinProposal:
    return PinProposal(1, end, picture_id, 0.1, 0.2, 0.3, 0.4, source, confidence, "depth", None)


def places(proposals: list[PinProposal]) -> list[tuple[str, int]]:
    return [(one.end, one.picture_id) for one in proposals]


def test_pin_comes_back_as_it_was_put(store: Store):
    point = pins.get_pin(store, pin(store))
    box = pins.get_pin(store, pin(store, "B", 2, x_frac=1 / 3, w_frac=0.1, h_frac=0.2, source="read"))

    assert (point.tag_id, point.end, point.picture_id, point.source) == (1, "A", 1, "hand")
    assert (point.x_frac, point.y_frac, point.w_frac, point.h_frac) == (0.25, 0.75, None, None)
    assert (box.end, box.picture_id, box.x_frac, box.w_frac, box.h_frac, box.source) == (
        "B", 2, 1 / 3, 0.1, 0.2, "read",
    )  # fmt: skip
    with pytest.raises(NotFound, match="no pin 99"):
        pins.get_pin(store, 99)


def test_end_has_one_pin_on_a_picture_which_moves_and_keeps_its_id(store: Store):
    first = pin(store)
    other = pin(store, picture_id=2)

    assert pin(store, x_frac=0.5, y_frac=0.5, w_frac=0.1, h_frac=0.1, source="carried") == first

    moved = pins.get_pin(store, first)
    assert (moved.x_frac, moved.y_frac, moved.w_frac, moved.h_frac, moved.source) == (0.5, 0.5, 0.1, 0.1, "carried")
    assert [one.pin_id for one in pins.find_pins(store, 1)] == [first, other]


def test_pins_are_found_by_tag_end_picture_and_job_oldest_first(store: Store):
    b, a, elsewhere = pin(store, "B", 2), pin(store, "A", 2), pin(store, "A", 1)
    jobs.add_job(store, "Other", "Etc/UTC", NOW)
    other_tag = tags.add_tag(store, 2, "17", NOW, kind="hose", name="", ends=1)
    other = pins.save_pin(store, other_tag, "A", 3, NOW, x_frac=0.0, y_frac=1.0, w_frac=None, h_frac=None)

    assert [one.pin_id for one in pins.find_pins(store, 1)] == [b, a, elsewhere]
    assert [one.pin_id for one in pins.find_pins(store, 1, "A")] == [a, elsewhere]
    assert [one.pin_id for one in pins.pins_on_picture(store, 2)] == [b, a]
    assert [one.pin_id for one in pins.list_pins(store, 1)] == [b, a, elsewhere]
    assert [one.pin_id for one in pins.list_pins(store, 2)] == [other]
    assert pins.pictures_with_pins(store, 1) == {1, 2}
    pins.remove_pin(store, a)
    assert [one.pin_id for one in pins.find_pins(store, 1, "A")] == [elsewhere]


def test_proposal_comes_back_as_it_was_made(store: Store):
    made = [
        PinProposal(1, "A", 1, 0.1, 0.2, None, None, "carried", 0.5, "plane", True, False),
        PinProposal(1, "A", 2, 0.3, 0.4, 0.1, 0.2, "carried", 0.9, "depth", False, True),
        PinProposal(1, "A", 3, 0.5, 0.6, None, None, "carried", 0.5, "depth", None, None),
    ]

    pins.replace_proposals(store, 1, "A", "carried", made)

    assert pins.find_proposals(store, 1) == [made[1], made[0], made[2]], "most confident first, then by picture"
    assert pins.find_proposals(store, 1, "A") == pins.list_proposals(store, 1) == [made[1], made[0], made[2]]
    assert pins.find_proposals(store, 1, "B") == pins.list_proposals(store, 2) == []
    assert pins.proposals_on_picture(store, 3) == [made[2]]


def test_proposals_of_one_source_and_end_are_replaced_and_no_others(store: Store):
    for end, source in (("A", "carried"), ("A", "read"), ("B", "carried")):
        pins.replace_proposals(store, 1, end, source, [guess(end, 2, source=source)])  # type: ignore[arg-type]

    pins.replace_proposals(store, 1, "A", "carried", [guess("A", 3)])

    kept = {(one.end, one.picture_id, one.source) for one in pins.list_proposals(store, 1)}
    assert kept == {("A", 3, "carried"), ("A", 2, "read"), ("B", 2, "carried")}


def test_nothing_is_proposed_where_a_person_said_something(store: Store):
    pin(store, "A", 1)
    pins.reject(store, 1, "A", 2)

    pins.replace_proposals(store, 1, "A", "carried", [guess("A", number) for number in (1, 2, 3)])

    assert places(pins.find_proposals(store, 1)) == [("A", 3)]
    assert store.value("SELECT COUNT(*) FROM proposal") == 1


ANSWERS = {
    "pin": lambda s, end, picture: pin(s, end, picture),
    "reject": lambda s, end, picture: pins.reject(s, 1, end, picture),
    "unpin": lambda s, end, picture: s.run('DELETE FROM pin WHERE "end" = ? AND picture_id = ?', end, picture),
}
answers = st.tuples(st.sampled_from(sorted(ANSWERS)), st.sampled_from("AB"), st.integers(1, 3))


@settings(max_examples=40, deadline=None)
@given(said=st.lists(answers, max_size=8))
def test_proposal_is_open_exactly_while_nobody_answered_it(
    said: list[tuple[str, str, int]], tmp_path_factory: pytest.TempPathFactory
):
    """Against two plain sets: where pins are, and where a person refused."""
    with filled_store(tmp_path_factory.mktemp("answers")) as store:
        every = {(end, picture) for end in "AB" for picture in (1, 2, 3)}
        for end in ("A", "B"):
            pins.replace_proposals(store, 1, end, "carried", [guess(end, number) for number in (1, 2, 3)])  # type: ignore[arg-type]
        pinned, refused = set(), set()
        for what, end, picture in said:
            ANSWERS[what](store, end, picture)
            if what == "pin":
                pinned.add((end, picture))
                refused.discard((end, picture))
            elif what == "reject":
                refused.add((end, picture))
            else:
                pinned.discard((end, picture))

        still_open = every - pinned - refused
        assert set(places(pins.list_proposals(store, 1))) == still_open
        assert set(places(pins.find_proposals(store, 1))) == still_open
        for picture in (1, 2, 3):
            assert {(end, at) for end, at in still_open if at == picture} == set(
                places(pins.proposals_on_picture(store, picture))
            )
        assert {(end, picture) for _, end, picture in pins.list_rejections(store, 1)} == refused
        assert pins.pictures_with_pins(store, 1) == {picture for _, picture in pinned | still_open}


def test_answer_taken_back_asks_again(store: Store):
    pins.replace_proposals(store, 1, "A", "carried", [guess("A", 2)])
    for answer in ("pin", "reject"):
        with store.step(answer, NOW):
            ANSWERS[answer](store, "A", 2)
        assert pins.find_proposals(store, 1) == []
        store.undo(NOW)
        assert places(pins.find_proposals(store, 1)) == [("A", 2)]


def test_carried_proposals_go_with_the_last_pin_they_rest_on_and_read_ones_stay(store: Store):
    pin_id = pin(store, "A", 1)
    for source in ("carried", "read"):
        for end in ("A", "B"):
            pins.replace_proposals(store, 1, end, source, [guess(end, 3, source=source)])  # type: ignore[arg-type]

    pins.drop_unfounded(store)
    left = {(one.end, one.source) for one in pins.list_proposals(store, 1)}
    assert left == {("A", "carried"), ("A", "read"), ("B", "read")}

    pins.remove_pin(store, pin_id)
    pins.drop_unfounded(store)
    assert {(one.end, one.source) for one in pins.list_proposals(store, 1)} == {("A", "read"), ("B", "read")}


def test_changed_pins_wait_to_be_carried_again(store: Store):
    pin(store, "B", 2)
    pin(store, "A", 1)
    assert pins.stale_ends(store) == [(1, "A"), (1, "B")]

    pins.mark_carried(store, 1, "A")
    assert pins.stale_ends(store) == [(1, "B")]
    pins.mark_carried(store, 1, "B")
    pins.mark_stale(store, 1, [1, 3])
    pins.mark_stale(store, 1, [1])
    assert pins.stale_ends(store) == [(1, "A")]
    pins.mark_stale(store, 1, [])
    pins.mark_stale(store, 2)
    assert pins.stale_ends(store) == [(1, "A")]
    pins.mark_stale(store, 1)
    assert pins.stale_ends(store) == [(1, "A"), (1, "B")]


def test_refusal_is_of_one_end_and_is_said_once(store: Store):
    for _ in range(2):
        pins.reject(store, 1, "A", 2)

    assert pins.list_rejections(store, 1) == [(1, "A", 2)]
    assert pins.list_rejections(store, 2) == []


def test_how_large_pictures_show_an_end_is_replaced_as_a_whole(store: Store):
    pins.replace_scales(store, 1, "A", {1: 2.5, 2: 0.5})
    pins.replace_scales(store, 1, "B", {1: 9.0})
    assert pins.find_scales(store, 1, "A") == {1: 2.5, 2: 0.5}

    pins.replace_scales(store, 1, "A", {3: 1.0})
    assert pins.find_scales(store, 1, "A") == {3: 1.0}
    assert pins.find_scales(store, 1, "B") == {1: 9.0}

    other = save_picture(store, NewPicture(1, 1, "photo", "gone.jpg", None, None, None, 400, 300))
    pins.replace_scales(store, 1, "B", {1: 9.0, other: 1.0})
    store.run("DELETE FROM picture WHERE picture_id = ?", other)
    assert pins.find_scales(store, 1, "B") == {1: 9.0}
