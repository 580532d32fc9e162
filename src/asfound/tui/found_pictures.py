"""The pictures of one tag end on the picture screen: the as-found one first, the others in turn, the other end."""

from __future__ import annotations

from typing import Protocol

from asfound.actions.ends import FindEntry, find_end
from asfound.actions.log import off_times_s
from asfound.actions.pinned import other_end
from asfound.core.log.first_off import taken_when
from asfound.store.pictures import get_picture
from asfound.tui.base import ArchiveScreen
from asfound.tui.found_words import end_words
from asfound.tui.pinned_picture import PinnedPicture


class ShowsAt(Protocol):
    """Shows a picture close at a point."""

    def __call__(self, picture_id: int, *, at_frac: tuple[float, float]) -> None: ...


class FoundPictures:
    """Goes, for one screen, through the pictures of the tag end that was asked for last."""

    def __init__(self, host: ArchiveScreen, pinned: PinnedPicture, show_picture: ShowsAt) -> None:
        self._host = host
        self._pinned = pinned
        self._show_picture = show_picture
        self.entry: FindEntry | None = None
        """The tag end asked for; None while pictures are gone through in another order."""

    def renew(self) -> None:
        """Read it again: what was undone elsewhere is gone."""
        if self.entry is not None:
            self.entry = find_end(self._host.archive, self.entry.tag.tag_id, self.entry.end.end)

    def show(self, entry: FindEntry, index: int | None = None, *, words: str = "") -> None:
        """Show one of the pictures of a tag end, its as-found picture unless another is asked for."""
        self.entry = entry
        pins = entry.pins
        if index is None:
            wanted = entry.as_found.pin.picture_id if entry.as_found else None
            index = next((place for place, pin in enumerate(pins) if pin.pin.picture_id == wanted), 0)
        shown = pins[index] if pins else entry.as_found
        if shown is None:
            self._host.show_found(entry.tag.number, entry)
            return
        pin = shown.pin
        self._show_picture(pin.picture_id, at_frac=(pin.x_frac, pin.y_frac))
        self._pinned.choose_end(pin.tag_id, pin.end)
        more = f" · {index + 1} of {len(pins)}, [ ] steps" if len(pins) > 1 else ""
        self._host.say(words or f"{end_words(entry)}: {self._standing(entry, pin.picture_id)}{more}")

    def _standing(self, entry: FindEntry, picture_id: int) -> str:
        """What a picture is to a tag end, in words."""
        guess = next((pin.guess for pin in entry.pins if pin.pin.picture_id == picture_id), None)
        sure = "" if guess is None else f", a guess, {guess:.0%} sure"
        doubt = f"{sure or ', a proposed place'} (y right, n wrong)" if self._pinned.pins.proposal is not None else sure
        if entry.as_found is not None and entry.as_found.pin.picture_id == picture_id:
            return f"as found{doubt}"
        archive = self._host.archive
        off_s = off_times_s(archive).get(entry.tag.tag_id)
        taken = taken_when(get_picture(archive.store, picture_id).taken_utc_s, off_s)
        return f"{'another picture of it' if off_s is None or taken == 'undated' else f'{taken} it came off'}{doubt}"

    def _in_hand(self) -> FindEntry | None:
        tag_end = self._pinned.pins.tag_end
        return self.entry if tag_end is None else find_end(self._host.archive, *tag_end)

    def step(self, by: int, here_id: int) -> None:
        """Show the next picture of the end in hand, or the one before, `here_id` being the one shown."""
        entry = self._in_hand()
        if entry is None or not entry.pins:
            self._host.say("Choose a pin first, or type a number: then [ ] goes through its pictures.")
            return
        here = next((i for i, pin in enumerate(entry.pins) if pin.pin.picture_id == here_id), -by)
        index = here + by
        if 0 <= index < len(entry.pins):
            self.show(entry, index)
        else:
            self._host.say(f"{end_words(entry)}: this is the {'newest' if by > 0 else 'oldest'} of {len(entry.pins)}.")

    def show_other_end(self) -> None:
        """Show the other end of the thing in hand."""
        entry = self._in_hand()
        if entry is None:
            self._host.say("Choose a pin first, or type a number.")
            return
        other = find_end(self._host.archive, entry.tag.tag_id, other_end(entry.end.end))
        if other is None:
            self._host.say(f"{entry.tag.number} has one end.")
        elif not other.pins:
            self._host.say(f"{end_words(other)} has no picture. Its place: {other.end.place or 'not written down'}.")
        else:
            self.show(other)
