"""Colours of wires: check values from IEC 60757, and that what is ambiguous is asked, never guessed."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from asfound.core.codes.colour_readings import parse_colour, parse_cores
from asfound.core.codes.colours import COLOURS, NOT_A_PROOF, OTHER_MIX, WireColour, join_cores
from asfound.errors import Misused

codes = st.sampled_from(list(COLOURS))
colours = st.builds(WireColour, codes, st.lists(codes, max_size=3).map(tuple))


def test_table_has_fifteen_codes_in_its_order() -> None:
    """IEC 60757:2021, table 1."""
    assert list(COLOURS) == "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR GNYE".split()


@pytest.mark.parametrize(
    ("colour", "iec", "shown"),
    [
        (WireColour("RD", ("BU",)), "RDBU", "RD/BU"),
        (WireColour("BU", ("RD",)), "RDBU", "BU/RD"),
        (WireColour("RD", ("BK",)), "BKRD", "RD/BK"),
        (WireColour("BK", ("RD",)), "BKRD", "BK/RD"),
        (WireColour("GN", ("YE",)), "GNYE", "GN/YE"),
        (WireColour("YE", ("GN",)), "GNYE", "YE/GN"),
        (WireColour("GNYE"), "GNYE", "GNYE"),
        (WireColour("BN", ("GN",)), "BNGN", "BN/GN"),
        (WireColour("WH", ("RD", "BK")), "BKRDWH", "WH/RD/BK"),
        (WireColour("BK", ("BK",)), "BK", "BK/BK"),
    ],
)
def test_code_is_sorted_while_what_is_shown_keeps_the_main_colour_first(
    colour: WireColour, iec: str, shown: str
) -> None:
    """IEC 60757:2021, 5.1, for the order of the code; the main colour before the stripe is common practice."""
    assert (colour.iec, colour.shown) == (iec, shown)


def test_cores_are_joined_with_plus() -> None:
    """The five-core example of GOST 28763-90, which has the text of IEC 757:1983."""
    cores = ["BK", "BK", "BN", "BU", "GNYE"]

    assert join_cores(map(WireColour, cores)) == "BK+BK+BN+BU+GNYE"
    assert [reading.colour for reading in parse_cores("BK+BK+bn+BU+green-yellow")] == [
        *map(WireColour, cores[:4]),
        WireColour("GN", ("YE",)),
    ]


def test_green_yellow_is_one_mark() -> None:
    """IEC 60757:2021, table 1: GNYE is one entry."""
    reading = parse_colour("GNYE")

    assert reading.colour == WireColour("GNYE")
    assert reading.notes == (NOT_A_PROOF,)


@pytest.mark.parametrize(
    ("typed", "colour"),
    [
        ("RD/BK", WireColour("RD", ("BK",))),
        ("rd bk", WireColour("RD", ("BK",))),
        ("Rd-bK", WireColour("RD", ("BK",))),
        ("red/black", WireColour("RD", ("BK",))),
        ("Red with black stripe", WireColour("RD", ("BK",))),
        ("red, black and white stripes", WireColour("RD", ("BK", "WH"))),
        ("grey", WireColour("GY")),
        ("slate", WireColour("GY")),
        ("purple", WireColour("VT")),
        ("light blue", WireColour("BU")),
        ("yellow and green", WireColour("GNYE")),
        ("yegn", WireColour("GNYE")),
        ("blk/wht", WireColour("BK", ("WH",))),
    ],
)
def test_codes_and_words_are_read(typed: str, colour: WireColour) -> None:
    """Codes: IEC 60757:2021, table 1. Other spellings: from memory."""
    assert parse_colour(typed).colour == colour


@pytest.mark.parametrize("typed", ["light blue", "dark blue", "Dark-green with white stripe"])
def test_a_shade_says_that_it_is_kept_as_typed(typed: str) -> None:
    """IEC 60757 has no shades; light blue is BU too."""
    reading = parse_colour(typed)

    assert (reading.is_shaded, reading.typed) == (True, typed)
    assert any("kept as typed" in note for note in reading.notes)
    assert not parse_colour("blue").is_shaded


@pytest.mark.parametrize(
    ("typed", "choices"),
    [
        ("GR", ["GY", "GN"]),
        ("PU", ["VT", "VT/BU"]),
        ("BL", ["BU", "BK"]),
        ("BR", ["BN", "BK/RD"]),
        ("b", ["BK", "BN", "BU"]),
        ("sw", ["BK"]),
        ("GR/BK", ["GY/BK", "GN/BK"]),
        ("RDBU", ["RD/BU", "BU/RD"]),
        ("red and blue", ["RD/BU", "BU/RD"]),
    ],
)
def test_what_can_mean_two_things_is_asked(typed: str, choices: list[str]) -> None:
    """None of these is a code of IEC 60757:2021, table 1; what each can mean is from memory."""
    reading = parse_colour(typed)

    assert reading.colour is None
    assert [choice.shown for choice in reading.choices] == choices
    assert all(choice in reading.question for choice in choices)


def test_mix_outside_the_standard_is_accepted_and_noted() -> None:
    """IEC 60757:2021, 5.1: green goes with no other colour but as GNYE."""
    reading = parse_colour("BN/GN")

    assert reading.colour == WireColour("BN", ("GN",))
    assert reading.notes == (OTHER_MIX,)


@pytest.mark.parametrize("typed", ["tan", "black on red", "", "stripe", "/"])
def test_what_is_no_colour_is_kept_as_text(typed: str) -> None:
    reading = parse_colour(typed)

    assert (reading.typed, reading.colour, reading.choices, reading.question) == (typed, None, (), "")


def test_unknown_code_is_refused() -> None:
    with pytest.raises(Misused, match="XX"):
        WireColour("RD", ("XX",))


@given(colours)
@example(WireColour("BK", ("YE", "GN")))
@example(WireColour("BK", ("YE", "GNYE")))
@example(WireColour("GNYE", ("GN", "YE")))
def test_what_is_shown_and_the_words_read_back(colour: WireColour) -> None:
    assert parse_colour(colour.shown).colour == colour
    assert parse_colour(colour.words).colour == colour


@given(colours)
def test_code_never_says_yellow_green_and_names_each_colour(colour: WireColour) -> None:
    assert "YEGN" not in colour.iec
    assert all(code in colour.iec for code in colour.codes)
    assert WireColour(colour.codes[-1], colour.codes[:-1]).iec == colour.iec


@given(st.text() | st.text("bgrwyk /-+&and"))
def test_any_text_is_read_without_an_error(typed: str) -> None:
    reading = parse_colour(typed)

    assert reading.typed == typed.strip()
    assert not (reading.colour and reading.choices)
    assert parse_cores(typed)
