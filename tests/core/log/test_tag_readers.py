"""What is typed into a field, in the one spelling in which it is kept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.tag_readers import READERS, check_kind, check_side, colour_columns, read_clock, read_flow
from asfound.errors import Misused
from asfound.model.tags import FLOWS, KINDS, SIDES


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("a to b", "A to B"), ("from B to A", "B to A"), ("b>a", "B to A"), ("Both  ways", "both ways"), ("", "")],
)
def test_a_direction_is_kept_in_one_spelling(typed: str, kept: str) -> None:
    """Common practice, no source."""
    assert read_flow(typed) == kept


@pytest.mark.parametrize(
    ("typed", "kept"), [("2", "2 o'clock"), ("2:30", "2:30 o'clock"), ("half past 2", "2:30 o'clock")]
)
def test_an_hour_is_kept_in_one_spelling(typed: str, kept: str) -> None:
    """Common practice, no source."""
    assert read_clock(typed) == kept


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("engine", "engine"), ("Engine side", "engine"), ("boat side", "stays"), ("stays", "stays"), ("behind", "stays")],
)
def test_a_side_is_known_by_several_words(typed: str, kept: str) -> None:
    """Common practice, no source."""
    assert check_side(typed) == kept


@pytest.mark.parametrize(
    ("words", "typed"), [("kind", "gizmo"), ("direction", "a to a"), ("hour", "13"), ("side", "x")]
)
def test_what_cannot_be_read_is_refused_with_what_can_be_said(words: str, typed: str) -> None:
    with pytest.raises(Misused, match=f'"{typed}"|{typed}:'):
        READERS[words](typed)  # type: ignore[index]


@pytest.mark.parametrize("value", [*FLOWS, *(f"{hour} o'clock" for hour in range(1, 13)), *KINDS, *SIDES.values()])
def test_what_is_kept_reads_as_itself(value: str) -> None:
    readers = [read_flow] if value in FLOWS else [check_kind] if value in KINDS else [read_clock, check_side]
    kept = []
    for reader in readers:
        try:
            kept.append(reader(value))
        except Misused:
            continue

    assert kept in ([value], [side for side, words in SIDES.items() if words == value])


@pytest.mark.parametrize(
    ("typed", "columns"),
    [
        ("red with black stripe", ("RD", "BK", "red with black stripe", False)),
        ("RD/BK?", ("RD", "BK", "RD/BK", True)),
        ("GR", ("", "", "GR", False)),
        ("", ("", "", "", False)),
    ],
)
def test_a_colour_is_kept_in_codes_and_as_typed(typed: str, columns: tuple[str, str, str, bool]) -> None:
    """Codes of IEC 60757:2021; GR is none, for it could be grey or green."""
    assert tuple(colour_columns(typed).values()) == columns


@given(st.text(max_size=30), st.sampled_from(sorted(READERS)))
def test_any_text_is_read_or_refused(typed: str, words: str) -> None:
    reader = READERS[words]  # type: ignore[index]
    try:
        kept = reader(typed)
    except Misused:
        return
    assert kept == "" or reader(kept) == kept
