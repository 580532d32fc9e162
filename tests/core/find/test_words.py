"""The trade's words made alike for searching."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.words import SAME_THING, colour_words, fold, plain_words, query_words, search_words, singular

PAIRS = [
    # Trade pairs that the search must hold alike (common practice).
    ("earth strap", "ground straps"),
    ("spanner", "wrench"),
    ("loom", "harness"),
    ("bonnet", "hood"),
    ("petrol", "gasoline"),
    ("gearbox", "transmission"),
    ("worm-drive clip", "hose clamp"),
    ("dynamo", "generator"),
    ("split pin", "cotter pins"),
    ("sump", "pan"),
    ("tacho", "rev counter"),
    ("harness plug", "loom plug"),
    ("harness plug", "connector"),
]


@pytest.mark.parametrize(("one", "other"), [*PAIRS, *((other, one) for one, other in PAIRS)])
def test_both_words_of_a_trade_pair_find_each_other(one: str, other: str) -> None:
    """Words of the trade: common practice, no source."""
    assert set(query_words(one)) <= set(search_words(f"old {other}, rear"))


@pytest.mark.parametrize("group", SAME_THING, ids=lambda group: group[0])
def test_every_spelling_asks_for_the_same(group: tuple[str, ...]) -> None:
    assert len({query_words(spelling) for spelling in group}) == 1


def test_a_word_inside_a_phrase_is_still_found() -> None:
    assert {"loom", "plug", "hose"} <= set(search_words("harness plug beside the hose clip"))


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("hoses", "hose"),
        ("bushes", "bush"),
        ("batteries", "battery"),
        ("boxes", "box"),
        ("valves", "valve"),
        ("brass", "brass"),
        ("bus", "bus"),
        ("gas", "gas"),
        ("chassis", "chassis"),
    ],
)
def test_plain_plurals_fold(many: str, one: str) -> None:
    """Plain English plurals: from memory."""
    assert singular(many) == one


def test_case_accents_and_width_fold() -> None:
    """Unicode: case folding and compatibility decomposition (NFKD)."""
    assert fold("DÉMARREUR") == fold("démarreur") == fold("demarreur")
    assert fold("\uff11\uff17") == "17"
    assert plain_words("M10 x 1.25, Grüne Schläuche") == ("m10", "x", "1.25", "grune", "schlauche")


def test_small_words_are_left_out_unless_nothing_else_was_typed() -> None:
    assert query_words("where is the black hose") == ("black", "hose")
    assert query_words("on the") == ("on", "the")
    assert query_words("?!") == ()


def test_colour_codes_are_found_by_their_names() -> None:
    """IEC 60757:2021, table 1; main colour before the stripe is common practice."""
    assert {"rd", "red", "black"} <= set(colour_words("RD/BK"))
    assert {"green", "yellow"} <= set(colour_words("GNYE"))
    assert "black" in colour_words("Black")
    assert set(colour_words("")) == set()


@given(st.text())
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert all(singular(singular(word)) == singular(word) for word in plain_words(text))


@given(st.text())
def test_a_text_is_found_by_its_own_words(text: str) -> None:
    assert set(plain_words(text)) <= set(search_words(text))
    assert set(query_words(text)) <= set(search_words(text))
