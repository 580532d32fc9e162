"""Tags filled in field by field, in memory."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from asfound.core.log.entry import parse_entry
from asfound.core.log.tag_fields import LETTERS, TAG_FIELDS
from asfound.errors import Misused
from asfound.model.tags import EndLetter, Tag, TagEnd
from asfound.tui.tag_forms import SavedTag


class FakeTagForms:
    """The part of the fake archive that writes tags down."""

    calls: list[tuple[Any, ...]]
    all_tags: dict[int, Tag]
    all_ends: dict[tuple[int, EndLetter], TagEnd]
    _keep: Callable[[str], None]
    _make_tag: Callable[..., Tag]

    def tag_numbered(self, number: str) -> int | None:
        return next((tag_id for tag_id, tag in self.all_tags.items() if tag.number == number), None)

    def tag_form(self, tag_id: int) -> dict[str, str]:
        tag = self.all_tags[tag_id]
        texts = {"number": tag.number, "kind": tag.kind, "name": tag.name, "bag": tag.bag}
        texts |= {f"place {letter}": self.all_ends[tag_id, letter].place for letter in LETTERS}
        return {one.key: texts.get(one.key, "") for one in TAG_FIELDS}

    def read_tag_line(self, line: str) -> dict[str, str]:
        entry = parse_entry(line)
        texts = {"number": entry.number, "kind": entry.kind, "name": entry.name, "note": entry.note}
        return {**texts, "place A": entry.a.place, "place B": entry.b.place}

    def save_tag_form(
        self,
        texts: Mapping[str, str],
        *,
        tag_id: int | None = None,
        is_another: bool = False,
        is_sure: bool = False,
    ) -> SavedTag:
        number = texts.get("number", "")
        if not number:
            raise Misused("A tag needs a number as written on its tape, such as 17.")
        self._keep(f"tag {number} written down")
        self.calls.append(("save_tag_form", {key: text for key, text in texts.items() if text}, tag_id, is_another))
        known = tag_id or (None if is_another else self.tag_numbered(number))
        tag = self.all_tags[known] if known else self._make_tag(number, texts.get("name", ""))
        name, kind = texts.get("name") or tag.name, texts.get("kind") or tag.kind
        self.all_tags[tag.tag_id] = replace(tag, number=number, name=name, kind=kind)
        for letter in LETTERS:
            end = self.all_ends[tag.tag_id, letter]
            self.all_ends[tag.tag_id, letter] = replace(end, place=texts.get(f"place {letter}") or end.place)
        return SavedTag(tag.tag_id, number, name, known is None, ())

    def words_in_use(self) -> dict[str, tuple[str, ...]]:
        return {"place": tuple(dict.fromkeys(end.place for end in self.all_ends.values() if end.place))}

    def next_number(self, after: str = "") -> str:
        return str(int(after or "112") + 1) if (after or "112").isdecimal() else ""
