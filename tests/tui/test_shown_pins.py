"""Pins and proposals of one picture without any screen: in hand, in turn, drawn, told."""

from __future__ import annotations

import pytest

from asfound.actions.pinned import PinEntry, ProposalEntry
from asfound.model.tags import Pin, PinProposal
from asfound.output.cells.labels import PinMark
from asfound.tui.shown_pins import ShownPins

HOSE = PinEntry(Pin(1, 31, "A", 4, 0.5, 0.25, 0.1, 0.2, "hand"), "31", "hose")
CARRIED = ProposalEntry(PinProposal(112, "B", 4, 0.25, 0.5, None, None, "carried", 0.9, "plane", None), "112", "plug")
READ_A, READ_B = (PinProposal(7, end, 4, 0.75, 0.5, None, None, "read", 0.4, "number", None) for end in ("A", "B"))
READ = ProposalEntry(READ_A, "7", "cable", READ_B)


@pytest.fixture
def pins() -> ShownPins:
    made = ShownPins()
    made.renew([HOSE, CARRIED, READ])
    return made


def test_none_is_in_hand_at_first_and_tab_goes_round(pins: ShownPins) -> None:
    assert (pins.current, pins.pin, pins.proposal, pins.asked_end, pins.tag_end) == (None,) * 5
    gone_to = []
    for _ in range(4):
        pins.index = pins.step(1)
        gone_to.append(pins.current)
    assert gone_to == [HOSE, CARRIED, READ, HOSE]
    pins.index = pins.step(-1)
    assert pins.current == READ


def test_a_pin_is_no_proposal_and_an_end_is_asked_only_where_it_is_not_told(pins: ShownPins) -> None:
    pins.index = 0
    assert (pins.pin, pins.proposal, pins.asked_end, pins.tag_end) == (HOSE, None, None, (31, "A"))
    pins.index = 1
    assert (pins.pin, pins.proposal, pins.asked_end, pins.tag_end) == (None, CARRIED, None, (112, "B"))
    pins.index = 2
    assert (pins.pin, pins.proposal, pins.asked_end) == (None, READ, READ)


def test_the_place_stays_while_there_is_one(pins: ShownPins) -> None:
    pins.index = 2
    pins.renew([HOSE, CARRIED])
    assert pins.current == CARRIED
    pins.renew([])
    assert pins.current is None


def test_an_end_and_the_proposals_are_found_by_their_places(pins: ShownPins) -> None:
    assert [pins.place_of(31, "A"), pins.place_of(112, "B"), pins.place_of(112, "A")] == [0, 1, None]
    assert [pins.proposed(), pins.proposed(1), pins.proposed(2)] == [[1, 2], [2], []]


def test_they_are_drawn_in_pixels_of_the_picture(pins: ShownPins) -> None:
    pins.index = 1
    assert pins.marks(400, 200) == [
        PinMark("31A", 200.0, 50.0, 40.0, 40.0),
        PinMark("112B", 100.0, 100.0, proposed=True, current=True),
        PinMark("7", 300.0, 100.0, proposed=True),
    ]


@pytest.mark.parametrize(
    ("index", "words"),
    [
        (-1, "1 pin here, 2 proposed: space goes to them, y right, n wrong; tab goes through them"),
        (0, "31 A hose"),
        (1, "112 B? plug, carried here, 90% sure: y right, n wrong"),
        (2, "7? cable, read here, 80% sure: A or B says which end, n wrong"),
    ],
)
def test_the_one_in_hand_is_told_with_what_answers_it(pins: ShownPins, index: int, words: str) -> None:
    pins.index = index
    assert pins.words() == words


def test_a_picture_without_pins_says_how_to_make_one() -> None:
    assert ShownPins().words().startswith("No pins here. Move the crosshair")
