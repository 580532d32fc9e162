"""What becomes of a pasted text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.tui.widgets.text_field import one_line


@pytest.mark.parametrize(
    ("pasted", "stands"),
    [
        ("17 off", "17 off"),
        ("17\toff\n", "17 off"),
        ("17\r\noff\r\n\r\nbag 4", "17 off bag 4"),
        ("/card/two  blanks/", "/card/two  blanks/"),
        ("a\N{NO-BREAK SPACE}b", "a b"),
        ("a\x1b[31mb\x00", "a[31mb"),
        ("燃料ホース é", "燃料ホース é"),
        ("\n", ""),
    ],
)
def test_a_pasted_text_becomes_one_line_of_signs_that_can_be_shown(pasted: str, stands: str) -> None:
    assert one_line(pasted) == stands


@given(st.text())
def test_whatever_is_pasted_can_be_shown_and_stays_so(text: str) -> None:
    once = one_line(text)
    assert once.isprintable()
    assert one_line(once) == once


@given(st.text(st.characters(categories=("L", "N", "P"))))
def test_no_letter_digit_or_sign_is_lost(text: str) -> None:
    assert one_line(text) == text
