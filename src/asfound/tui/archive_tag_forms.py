"""`tui.tag_forms.TagForms` over the actions."""

from __future__ import annotations

from collections.abc import Mapping

from asfound.actions import resolve, tag_form
from asfound.actions.tag_card import read_cards
from asfound.errors import Ambiguous
from asfound.tui.archive_base import KeptArchive
from asfound.tui.tag_forms import SavedTag


class ArchiveTagForms(KeptArchive):
    """Answers about tags that are filled in, from one archive."""

    def tag_numbered(self, number: str) -> int | None:
        found = resolve.find_tags(self.archive, number) if number.strip() else []
        return found[0].tag.tag_id if len(found) == 1 else None

    def tag_form(self, tag_id: int) -> dict[str, str]:
        return tag_form.read_form(self.archive, self._tags()[tag_id])

    def read_tag_line(self, line: str) -> dict[str, str]:
        return tag_form.read_line(self.archive, line)

    def save_tag_form(
        self,
        texts: Mapping[str, str],
        *,
        tag_id: int | None = None,
        is_another: bool = False,
        is_sure: bool = False,
    ) -> SavedTag:
        mine = None if tag_id is None else self._tags()[tag_id]
        try:
            saved = tag_form.save_form(self.archive, texts, tag=mine, is_another=is_another, is_sure=is_sure)
        except Ambiguous as error:
            raise Ambiguous(f"{error} ctrl+n writes down another.") from error
        card = read_cards(self.archive)[saved.tag.tag_id]
        name = saved.tag.name or saved.tag.kind
        return SavedTag(saved.tag.tag_id, card.label, name, saved.is_new, tuple(dict.fromkeys(saved.told)))

    def words_in_use(self) -> dict[str, tuple[str, ...]]:
        archive = self.archive
        return archive.kept("words in use", lambda: tag_form.words_in_use(archive))

    def next_number(self, after: str = "") -> str:
        return tag_form.next_number(self.archive, after)
