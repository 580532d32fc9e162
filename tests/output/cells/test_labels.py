"""Numbers of pins on a picture: each can be read, none hides another, and a click finds what it shows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.output.cells.blocks import Cells
from asfound.output.cells.frame import BLACK, DIM_YELLOW, PALE, WHITE, YELLOW, draw_marks
from asfound.output.cells.labels import CROSSHAIR, MARGIN, Label, PinMark, place_labels
from asfound.output.cells.view import View

COLUMNS, ROWS, PX = 40, 10, 10
VIEW = View.fit(COLUMNS * PX, ROWS * PX * 2, COLUMNS, ROWS)
"""Ten source pixels to a column, twenty to a row."""

marks_in_view = st.lists(
    st.builds(
        PinMark,
        text=st.text("0123456789AB", min_size=1, max_size=5),
        x=st.floats(0, COLUMNS * PX - 1),
        y=st.floats(0, ROWS * PX * 2 - 1),
        proposed=st.booleans(),
        current=st.booleans(),
    ),
    max_size=14,
)
crosshairs = st.none() | st.tuples(st.integers(0, COLUMNS - 1), st.integers(0, ROWS - 1))


def mark(column: int, row: int, text: str = "17A", **more: object) -> PinMark:
    return PinMark(text, (column + 0.5) * PX, (row + 0.5) * 2 * PX, **more)  # type: ignore[arg-type]


def cells_of(label: Label) -> set[tuple[int, int]]:
    return {(label.column + shift, label.row) for shift in range(len(label.text))}


@given(marks_in_view, crosshairs)
def test_labels_stay_in_view_and_numbers_never_hide_each_other(marks: list[PinMark], crosshair: tuple[int, int] | None):
    labels = place_labels(marks, VIEW, crosshair)

    assert len(labels) == len(marks)
    assert sorted(map(repr, (label.mark for label in labels))) == sorted(map(repr, marks))
    taken = set() if crosshair is None else {(crosshair[0] + at, crosshair[1]) for at in range(-MARGIN, MARGIN + 1)}
    for label in reversed(labels):
        if label.text != "◀":
            assert not cells_of(label) & taken
            assert label.mark.words in label.text
        assert all(0 <= column < COLUMNS and 0 <= row < ROWS for column, row in cells_of(label))
        taken |= cells_of(label)


@given(marks_in_view)
def test_arrow_is_on_or_right_beside_its_own_pin(marks: list[PinMark]):
    for label in place_labels(marks, VIEW):
        column, row = VIEW.cell_at(label.mark.x, label.mark.y)
        arrows = {label.column + at for at, sign in enumerate(label.text) if sign in "◀▶▲▼"}
        assert any(abs(arrow - column) <= MARGIN + 1 for arrow in arrows)
        assert abs(label.row - row) <= 1


@pytest.mark.parametrize(
    ("words", "mark"),
    [
        ("17A", mark(0, 0)),
        ("17A?", mark(0, 0, proposed=True)),
        ("[17A]", mark(0, 0, current=True)),
        ("[17A?]", mark(0, 0, proposed=True, current=True)),
    ],
)
def test_guess_has_a_question_mark_and_the_one_in_hand_has_brackets(words: str, mark: PinMark):
    assert mark.words == words


def test_pin_that_finds_no_room_for_its_number_keeps_its_arrow():
    labels = place_labels([mark(20, 5, f"{number:03}") for number in range(20)], VIEW)

    assert labels[0].text == "◀"
    assert (labels[0].column, labels[0].row) == (20, 5)
    assert sum(label.text != "◀" for label in labels) == 4


def test_places_beside_a_pin_are_tried_in_a_fixed_order():
    first, second, third = place_labels([mark(20, 5, "1"), mark(20, 5, "22"), mark(20, 5, "333")], VIEW)[::-1]

    assert (first.column, first.row, first.text) == (20, 5, "◀1")
    assert (second.column, second.row, second.text) == (23, 5, "◀22")
    assert (third.column, third.row, third.text) == (14, 5, "333▶")


def test_label_at_the_right_edge_runs_to_the_left():
    (label,) = place_labels([mark(COLUMNS - 1, 5)], VIEW)

    assert (label.column, label.text) == (COLUMNS - 4, "17A▶")


def test_labels_of_a_narrow_column_go_below_and_above():
    view = View.fit(40, 60, 4, 3)
    marks = [PinMark(text, 15, 30) for text in ("1a", "2b", "3c")]

    labels = [(label.column, label.row, label.text) for label in place_labels(marks, view)[::-1]]

    assert labels == [(1, 1, "◀1a"), (1, 2, "▲2b"), (1, 0, "▼3c")]


def test_current_pin_is_placed_first_and_drawn_last_then_sure_ones_then_by_place():
    marks = [
        mark(5, 5, "guess", proposed=True),
        mark(30, 5, "right"),
        mark(5, 2, "upper"),
        mark(20, 5, "mine", current=True),
        mark(10, 5, "left"),
    ]

    assert [label.mark.text for label in place_labels(marks, VIEW)] == ["guess", "right", "left", "upper", "mine"]


@pytest.mark.parametrize(
    ("column", "row", "is_in_view"),
    [
        (-1, 5, False),
        (0, 0, True),
        (COLUMNS - 1, ROWS - 1, True),
        (COLUMNS, 5, False),
        (5, -1, False),
        (5, ROWS, False),
        (-1, -1, False),
        (COLUMNS, ROWS, False),
    ],
)
def test_pin_out_of_view_has_no_label(column: int, row: int, is_in_view: bool):
    assert len(place_labels([mark(column, row)], VIEW)) == is_in_view


@pytest.mark.parametrize(
    ("more", "ink", "paper"),
    [
        ({}, BLACK, DIM_YELLOW),
        ({"current": True}, BLACK, YELLOW),
        ({"proposed": True}, PALE, BLACK),
        ({"proposed": True, "current": True}, BLACK, PALE),
    ],
)
def test_colours_tell_a_persons_pins_from_guesses(
    more: dict[str, bool], ink: tuple[int, int, int], paper: tuple[int, int, int]
):
    cells = Cells.blank(COLUMNS, ROWS)

    (label,) = draw_marks(cells, VIEW, [mark(10, 5, **more)])

    assert cells.text(5)[label.column : label.column + len(label.text)] == label.text
    assert tuple(cells.ink[5, label.column]) == ink
    assert tuple(cells.paper[5, label.column]) == paper


OUTLINES = {
    "box": ((2, 1, 6, 3), {(2, 1): "┌", (6, 1): "┐", (2, 3): "└", (6, 3): "┘", (4, 1): "─", (2, 2): "│", (6, 2): "│"}),
    "drawn from below right": ((6, 3, 2, 1), {(2, 1): "┌", (6, 3): "┘"}),
    "one cell": ((3, 2, 3, 2), {(3, 2): "□"}),
    "one row": ((2, 2, 5, 2), {(2, 2): "[", (3, 2): "─", (4, 2): "─", (5, 2): "]"}),
    "two cells of a row": ((2, 2, 3, 2), {(2, 2): "[", (3, 2): "]"}),
    "one column": ((3, 1, 3, 3), {(3, 1): "│", (3, 2): "│", (3, 3): "│"}),
    "left side outside": ((-3, 1, 2, 3), {(0, 1): "─", (2, 1): "┐", (2, 2): "│", (2, 3): "┘"}),
    "upper side outside": ((2, -3, 5, 2), {(2, 0): "│", (5, 1): "│", (2, 2): "└", (5, 2): "┘"}),
    "around all of it": ((-2, -2, COLUMNS + 1, ROWS + 1), {}),
    "left of it": ((-5, 1, -2, 3), {}),
    "right of it": ((COLUMNS, 1, COLUMNS + 2, 3), {}),
    "above it": ((2, -5, 5, -2), {}),
    "below it": ((2, ROWS, 5, ROWS + 2), {}),
    "column that sticks out": ((3, -2, 3, ROWS + 2), {(3, row): "│" for row in range(ROWS)}),
}


@pytest.mark.parametrize("name", OUTLINES)
def test_outline_of_a_box_shows_the_sides_that_are_in_view(name: str):
    corners, wanted = OUTLINES[name]
    left, top, right, bottom = (place + 0.5 for place in corners)
    cells = Cells.blank(COLUMNS, ROWS)

    draw_marks(cells, VIEW, [], outline=(left * PX, top * 2 * PX, right * PX, bottom * 2 * PX))

    drawn = {
        (column, row): cells.text(row)[column]
        for row in range(ROWS)
        for column in range(COLUMNS)
        if cells.text(row)[column] != " "
    }
    assert {place: drawn.get(place) for place in wanted} == wanted
    assert bool(drawn) is bool(wanted)
    assert {tuple(cells.ink[row, column]) for column, row in drawn} <= {WHITE}
    edges = {min(corners[0], corners[2]), max(corners[0], corners[2])}
    lines = {min(corners[1], corners[3]), max(corners[1], corners[3])}
    assert all(column in edges or row in lines for column, row in drawn)


def test_box_of_a_pin_is_drawn_in_its_colour_and_a_point_has_none():
    for current, ink in ((True, YELLOW), (False, DIM_YELLOW)):
        cells = Cells.blank(COLUMNS, ROWS)
        draw_marks(cells, VIEW, [mark(20, 5, w=100.0, h=80.0, current=current)])
        assert cells.text(3)[15] == "┌"
        assert cells.text(7)[25] == "┘"
        assert tuple(cells.ink[3, 15]) == ink

    cells = Cells.blank(COLUMNS, ROWS)
    draw_marks(cells, VIEW, [mark(20, 5)])
    assert {sign for row in range(ROWS) for sign in cells.text(row)} <= set(" ◀17A")


def test_crosshair_is_over_boxes_and_labels_make_room_for_it():
    cells = Cells.blank(COLUMNS, ROWS)

    (label,) = draw_marks(cells, VIEW, [mark(20, 5, w=100.0, h=80.0)], crosshair=(205, 110))

    assert cells.text(5)[18:23] == CROSSHAIR
    assert label.column == 20 + MARGIN + 1
    assert tuple(cells.ink[5, 20]) == WHITE
    assert tuple(cells.paper[5, 20]) == BLACK
