"""Hypothesis strategies that more than one test needs."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import strategies as st

from asfound.core.find.as_found import Sighting
from asfound.core.find.scoring import TagText
from asfound.model.tags import KINDS, Tag

TAPE = "0123456789abxABW.- "
WORDS = ("black", "hose", "heat", "exchanger", "fuel", "earth", "ground", "strap", "rev counter", "10 mm", "mount")
MADE_AT = datetime(2025, 10, 11, 9, 0, tzinfo=UTC)

numbers = st.text(TAPE, min_size=1, max_size=5).map(str.strip).filter(bool)
"""Numbers as people write them on tape: digits, letters, dots."""

any_numbers = st.text(min_size=1, max_size=8).map(str.strip).filter(bool)
"""Any text at all, trimmed and not empty."""

any_words = st.text(st.characters(exclude_categories=("Cs",)), max_size=12) | st.text("a'\"\0\n;", max_size=4)
"""Whatever can be typed or pasted: also nothing, and signs that SQL or C have a meaning for."""

any_floats = st.floats(allow_nan=False) | st.sampled_from([float("inf"), float("-inf"), 1 / 3, 5e-324])
"""Every number a column can hold; SQLite takes none that is not a number."""

fracs = st.floats(0, 1, allow_nan=False)


@st.composite
def tag_texts(draw: st.DrawFn, number: st.SearchStrategy[str] = numbers) -> list[TagText]:
    """Tags to search among, each with its own identity; numbers may repeat."""
    drawn = draw(st.lists(st.tuples(number, st.lists(st.sampled_from(WORDS), max_size=4)), min_size=1, max_size=8))
    return [
        TagText(tag_id, text, name=" ".join(words[:2]), places=(" ".join(words[2:]),))
        for tag_id, (text, words) in enumerate(drawn, 1)
    ]


@st.composite
def tags(draw: st.DrawFn) -> list[Tag]:
    """Tags of one job."""
    drawn = draw(st.lists(st.tuples(numbers, st.sampled_from(KINDS), st.integers(1, 2)), max_size=8))
    return [
        Tag(tag_id, 1, number=number, order=1, kind=kind, name=f"thing {tag_id}", ends=ends, created_at=MADE_AT)
        for tag_id, (number, kind, ends) in enumerate(drawn, 1)
    ]


sightings = st.builds(
    Sighting,
    picture_id=st.integers(1, 50),
    taken_utc_s=st.none() | st.floats(0, 100),
    x_frac=fracs,
    y_frac=fracs,
    w_frac=st.none() | fracs,
    h_frac=st.none() | fracs,
    source=st.sampled_from(["hand", "carried", "read"]),
    confirmed=st.booleans(),
    confidence=fracs,
    sharpness=st.none() | st.floats(0, 1e4),
    scale=st.none() | st.floats(0, 1e3),
    gone=st.none() | st.booleans(),
)
