"""Readings of a line that names a number which several things have, or an end that it leaves open."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from asfound.core.typed.numbers import doubtful_of, end_of, with_label
from asfound.core.typed.said import KnownNames, Reading


def without_labels(reading: Reading, labels: Sequence[str]) -> Reading:
    """The reading without what it says of things nobody has."""
    kept = []
    for said in reading:
        tags = tuple(label for label in said.tags if label not in labels)
        kept += [replace(said, tags=tags)] if tags or not said.tags else []
    return tuple(kept)


def said_apart(reading: Reading, known: KnownNames) -> list[Reading]:
    """The readings that come of numbers which several things have."""
    doubtful = dict(doubtful_of([label for said in reading for label in said.tags], known))
    ends: dict[str, tuple[str, str]] = {}
    for said in reading:
        if said.kind in ("tape lost", "tape back"):
            lone = [tag for tag in said.tags if not end_of(tag, known) and tag.partition(".")[0] not in known.one_ended]
            ends |= {tag: (f"{tag}a", f"{tag}b") for tag in lone}
    found = []
    for meant in itertools.product(*doubtful.values()):
        one = reading
        for old, new in zip(doubtful, meant, strict=True):
            one = tuple(replace(said, tags=with_label(said.tags, old, new)) for said in one)
        found.append(one)
    for tag, both in ends.items():
        found = [_with_end(one, tag, end) for one in found for end in both]
    return found


def _with_end(reading: Reading, tag: str, label: str) -> Reading:
    return tuple(
        replace(said, tags=with_label(said.tags, tag, label)) if said.kind in ("tape lost", "tape back") else said
        for said in reading
    )
