"""A line of the log from what a person types in one go, told back in one sentence."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.typed_line import write_typed


def write_words(archive: Archive, line: str) -> str:
    """Write down what a line says, in one step; what was understood, field by field. See `write_typed`."""
    return write_typed(archive, line).told
