"""What the font has is set and measured; what it lacks is a box; what is never seen takes no room."""

from __future__ import annotations

import unicodedata
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.output.paper.fonts import BOLD, BOX_EM, REGULAR, FontRuler, name_of, piece_mm, pieces, shown_as

RULER = FontRuler()
known = st.text("abcXYZ 0123456789 Łódź Ωμ Жук ½°×→", max_size=20)
any_text = st.text(st.characters(exclude_categories=()), max_size=12)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", ["lift pump", "17A", "Łódź", "Ωμέγα", "Жук", "iiii", "WWWW"])
def test_width_is_that_of_another_reader_of_the_same_font(words: str, bold: bool):
    """FreeType through Pillow; without kerning, which PDF text does not have."""
    name = "FiraSans-Bold.ttf" if bold else "FiraSans-Regular.ttf"
    font = ImageFont.truetype(
        str(files("fontpkg_fira_sans") / "files" / name), 1000, layout_engine=ImageFont.Layout.BASIC
    )
    advance = sum(font.getlength(sign) for sign in words)

    assert RULER.width_mm(words, 10, bold=bold) == pytest.approx(advance / 1000 * 10 / POINTS_PER_MM, rel=0.002)


@given(known, st.floats(4, 100))
def test_width_grows_with_the_size_and_adds_up(words: str, size: float):
    whole = RULER.width_mm(words, size)

    assert whole == pytest.approx(RULER.width_mm(words, 1.0) * size)
    assert RULER.width_mm(words + words, size) == pytest.approx(2 * whole, abs=1e-6)


@given(any_text, st.booleans())
def test_width_is_that_of_the_pieces_and_boxes(words: str, bold: bool):
    parts = list(pieces(words, bold=bold))

    total = sum(piece_mm(piece, 10, bold=bold) + boxes * BOX_EM * 10 / POINTS_PER_MM for piece, boxes in parts)
    assert RULER.width_mm(words, 10, bold=bold) == pytest.approx(total, abs=1e-6)
    assert all(piece or boxes for piece, boxes in parts)
    assert all(boxes for _, boxes in parts[:-1])


@given(known)
def test_words_that_the_font_has_are_one_piece(words: str):
    assert list(pieces(words, bold=False)) == ([(words, 0)] if words else [])


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ("", []),
        ("a日b", [("a", 1), ("b", 0)]),
        ("日本a", [("", 2), ("a", 0)]),
        ("a日本", [("a", 2)]),
        ("a\u200db", [("ab", 0)]),
        ("\U0001f527\U0001f3fd", [("", 1)]),
        ("a\u20dd", [("a", 0)]),
        ("a\nb\tc\u00a0d", [("a b c d", 0)]),
    ],
)
def test_each_lacking_character_is_one_box_and_what_only_changes_its_neighbour_none(
    words: str, parts: list[tuple[str, int]]
):
    assert list(pieces(words, bold=False)) == parts


@given(any_text)
def test_text_is_shown_joined_and_without_what_is_never_seen(words: str):
    shown = shown_as(words)

    assert not any(unicodedata.category(sign) in ("Cf", "Cc") for sign in shown)
    assert all(sign == " " or not sign.isspace() for sign in shown)
    assert shown_as(shown) == shown


def test_fonts_have_a_name_each_and_capitals_a_height():
    assert (name_of(bold=False), name_of(bold=True)) == (REGULAR, BOLD)
    assert REGULAR != BOLD
    assert 0.6 < RULER.capital_frac < 0.8
    assert RULER.width_mm("lift pump", 10, bold=True) > RULER.width_mm("lift pump", 10)
