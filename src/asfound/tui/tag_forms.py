"""What the screens ask about a tag that is filled in field by field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class SavedTag:
    """What became of the fields.

    Attributes
    ----------
    label : str
        The number as it is typed: "17", or "12.2" where several things have it.
    told : tuple of str
        What must be asked back, and what was kept as a note because it could not be read.
    """

    tag_id: int
    label: str
    name: str
    is_new: bool
    told: tuple[str, ...]


class TagForms(Protocol):
    """The part of `Service` that is about writing tags down; fields are named by `core.log.tag_fields`."""

    def tag_numbered(self, number: str) -> int | None:
        """The thing that a number names; None when it is new, or on several things."""

    def tag_form(self, tag_id: int) -> dict[str, str]:
        """What stands in each field of a tag."""

    def read_tag_line(self, line: str) -> dict[str, str]:
        """The fields that one typed line fills. Raises Misused when the line has no number."""

    def save_tag_form(
        self,
        texts: Mapping[str, str],
        *,
        tag_id: int | None = None,
        is_another: bool = False,
        is_sure: bool = False,
    ) -> SavedTag:
        """Write down what the fields say, in one step; `is_another` for a second thing with a number in use.

        Raises AskFirst where a known thing's words would be lost, unless `is_sure`.
        """

    def words_in_use(self) -> dict[str, tuple[str, ...]]:
        """Field name to what stands in it elsewhere in the job, the most used first."""

    def next_number(self, after: str = "") -> str:
        """The next free number after one, or after the last that was entered."""
