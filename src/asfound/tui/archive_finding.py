"""Finding tag ends over the actions: by number, by its beginning, by words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from asfound.actions import tag
from asfound.model.tags import EndLetter, Pin, PinProposal
from asfound.tui.archive_base import KeptArchive
from asfound.tui.pins import PinEntry
from asfound.tui.service import FindEntry

if TYPE_CHECKING:
    from asfound.actions.find import FoundEnd, SeenEnd


class ArchiveFinding(KeptArchive):
    """Finds in one archive."""

    def find(self, words: str) -> list[FindEntry]:
        if not words.strip():
            return []
        from asfound.actions.find import find_tags, seen_end

        answers = find_tags(self.archive, words)
        typed = words.strip()
        if typed.isdecimal() and not any(answer.tag.number == typed for answer in answers):
            # A number still being typed: tags that begin so, before anything that only mentions these digits.
            begun = [t for t in self._tags().values() if t.number.startswith(typed)][:10]
            ends = tag.list_ends(self.archive)
            answers = [seen_end(self.archive, t, end) for t in begun for end in ends.get(t.tag_id, ())] or answers
        elif typed.isdecimal():
            answers = [answer for answer in answers if answer.tag.number == typed]
        else:
            # Another word narrows: a thing that holds every word hides those that hold only some.
            held = max((len(answer.reasons) for answer in answers), default=0)
            named = any(answer.tag.number in typed.split() for answer in answers)
            answers = answers if named else [answer for answer in answers if len(answer.reasons) == held]
        return [self._find_entry(answer) for answer in answers]

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        from asfound.actions.find import seen_end

        archive = self.archive
        mine = self._tags().get(tag_id)
        if mine is None:
            return None
        ends = tag.list_ends(archive).get(tag_id, ())
        return next((self._find_entry(seen_end(archive, mine, one)) for one in ends if one.end == end), None)

    def _find_entry(self, answer: FoundEnd) -> FindEntry:
        seen = [one for one in (answer.as_found, *answer.others) if one is not None]
        places = self.archive.kept("places in time", lambda: {one: at for at, one in enumerate(self._pictures())})
        by_time = sorted(seen, key=lambda one: places[one.picture.picture_id])
        shown = answer.as_found or (answer.others[0] if answer.others else None)
        spot_id = self._spot_of().get(shown.picture.picture_id) if shown else None
        best = answer.as_found
        return FindEntry(
            tag=answer.tag,
            end=answer.end,
            as_found=None if best is None else self._seen_entry(best),
            as_found_at=None if best is None else best.picture.taken_at,
            pins=tuple(self._seen_entry(one) for one in by_time),
            spot_id=spot_id,
            spot_name=self._spot_name(spot_id),
            state=self._states().get(answer.tag.tag_id, ""),
        )

    def _seen_entry(self, seen: SeenEnd) -> PinEntry:
        """A pin, or a proposal shown as one with no identity of its own."""
        p = seen.pin
        if isinstance(p, PinProposal):
            p = Pin(0, p.tag_id, p.end, p.picture_id, p.x_frac, p.y_frac, p.w_frac, p.h_frac, p.source)
        return self._pin_entry(p)
