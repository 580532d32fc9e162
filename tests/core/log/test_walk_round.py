"""The walk round as a list and as gaps: what closes at lift out, and what is lost after it."""

from __future__ import annotations

import pytest

from asfound.core.log.gaps import find_gaps
from asfound.core.log.record import Record, Shot
from asfound.core.log.walk_round import find_walk_gaps, listed_items, state_of
from asfound.model.log import GapKind
from asfound.model.walk import WalkItem, WalkStanding, WalkState

SHOTS = (Shot(1, "P1.jpg", is_tied=True),)
PLATE, FUSES = WalkItem("plate", "plate"), WalkItem("fuses", "fuse box")


def record(*states: tuple[WalkItem, WalkState, tuple[str, ...]], shots: tuple[Shot, ...] = SHOTS) -> Record:
    return Record(tags=(), shots=shots, walk=tuple(WalkStanding(*one) for one in states))


def test_list_has_the_sides_and_what_nobody_can_see_later():
    items = listed_items()

    # The things to photograph first as the trade has them; common practice, no source.
    wanted = "front back left right underneath plate timing alignment mounts fuses brackets fluids".split()
    assert set(wanted) <= {item.key for item in items}
    assert len({item.key for item in items}) == len({item.name for item in items}) == len(items)
    assert all(item.look_for and not item.is_own for item in items)


@pytest.mark.parametrize(
    ("in_time", "pictures", "not_here", "went_out", "state"),
    [
        (True, True, True, True, "pictured"),
        (False, True, True, True, "not here"),
        (False, False, True, False, "not here"),
        (False, True, False, True, "late"),
        (False, False, False, True, "lost"),
        (False, False, False, False, "open"),
    ],
)
def test_state_of_an_item(in_time: bool, pictures: bool, not_here: bool, went_out: bool, state: WalkState):
    assert state_of(in_time=in_time, pictures=pictures, not_here=not_here, went_out=went_out) == state


def test_nothing_answered_is_one_gap_that_lift_out_closes():
    (open_gap,) = find_walk_gaps(record((PLATE, "open", ()), (FUSES, "open", ())))
    (lost,) = find_walk_gaps(record((PLATE, "lost", ()), (FUSES, "lost", ())))

    assert (open_gap.subject, open_gap.mendable) == ("walk round", True)
    assert open_gap.why.endswith("It can still be photographed until lift out: plate, fuse box.")
    assert (lost.subject, lost.mendable) == ("walk round", False)
    assert "before lift out" in lost.why
    assert "can still" not in lost.why


def test_once_begun_each_open_item_is_a_gap_of_its_own():
    begun = record((PLATE, "pictured", ("P1.jpg",)), (FUSES, "open", ()), (WalkItem("x", "keel"), "not here", ()))

    (gap,) = find_gaps(begun)

    assert (gap.kind, gap.thing, gap.mendable, gap.at_machine) == (GapKind.WALK_ROUND, "fuse box", True, True)
    assert gap.why == "Fuse box: no picture yet. It can still be photographed until lift out."
    assert gap.about == "thing fuse box"


def test_after_lift_out_a_gap_says_what_is_lost_and_what_a_late_picture_is_worth():
    gaps = {
        gap.thing: gap
        for gap in find_gaps(record((PLATE, "late", ("P9.jpg",)), (FUSES, "lost", ()), (FUSES, "pictured", ("a",))))
    }

    assert "only after lift out (P9.jpg), which does not show how it was found" in gaps["plate"].why
    assert "How it was is lost" in gaps["fuse box"].why
    assert not any(gap.mendable or gap.at_machine for gap in gaps.values())


def test_record_of_nothing_lacks_no_walk_round():
    assert list(find_walk_gaps(record((PLATE, "open", ()), shots=()))) == []
    assert list(find_walk_gaps(record((PLATE, "pictured", ("P1.jpg",))))) == []
    assert list(find_walk_gaps(record())) == []
