"""Pictures as they stand on a sheet of many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from asfound.actions.archive import Archive
from asfound.actions.bursts import behind
from asfound.actions.picture_list import read_picture
from asfound.actions.pinned import proposals_on
from asfound.tui.widgets.contact_sheet import SheetItem
from asfound.tui.words import taken_words


def sheet_items(archive: Archive, picture_ids: Sequence[int]) -> list[SheetItem]:
    """Pictures for a sheet, with time, look-alikes behind it, stage, and numbers pinned and read under each."""
    items = []
    hidden = Counter(front for one, front in behind(archive).items() if one not in picture_ids)
    for picture_id in picture_ids:
        entry = read_picture(archive, picture_id)
        more = f"+{hidden[picture_id]} behind" if hidden[picture_id] else ""
        read = (f"{one.label}?" for one in proposals_on(archive, picture_id) if one.other is not None)
        told = (taken_words(entry.picture), more, entry.stage, *entry.numbers, *read)
        words = " ".join(filter(None, told))
        items.append(SheetItem(picture_id, entry.picture.width_px, entry.picture.height_px, words))
    return items


def in_front(archive: Archive, picture_ids: Sequence[int]) -> tuple[int, ...]:
    """These pictures without those that are behind another of them."""
    front_of = behind(archive)
    return tuple(one for one in picture_ids if front_of.get(one, one) == one or front_of[one] not in picture_ids)
