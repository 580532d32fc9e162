"""How much a word tells by where it stands, and the words of a tag by that: which field goes where, its row says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from asfound.core.log.tag_fields import OF_END, OF_TAG, typed_text
from asfound.model.tags import Tag, TagEnd

SLOT_WEIGHTS: Mapping[str, float] = {
    "number": 10.0,
    "name": 5.0,
    "kind": 5.0,
    "place": 4.0,
    "colour": 3.0,
    "terminal": 3.0,
    "bag": 3.0,
    "size": 3.0,
    "sat": 2.0,
    "note": 2.0,
    "about": 1.0,
}
"""A name was chosen for what it tells, a note mentions things in passing. In the order of the search's columns."""


def slot_texts(of: Tag | TagEnd) -> dict[str, list[str]]:
    """Slot to the texts that stand there of a tag, or of one of its ends; empty ones are left out."""
    texts: dict[str, list[str]] = defaultdict(list)
    for name, row in (OF_END if isinstance(of, TagEnd) else OF_TAG).items():
        text = getattr(of, name) if row.words == "colour" else typed_text(row, of)
        if row.search is not None and text:
            texts[row.search].append(text)
    return texts
