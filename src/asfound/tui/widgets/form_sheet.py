"""A sheet of short fields that are filled in by keys: Tab goes on, words in use are offered while one types."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from asfound.core.log.tag_fields import TagField, offer_words, take_choice
from asfound.tui.words import cut_words, fit_words, width_of

LABEL = 14
"""Cells for a field's title with the letter of its end and the mark."""
GAP = 2
NUMBER_KEY = "number"


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a field lies: its row, and the cells its text has."""

    row: int
    start: int
    width: int


class FormSheet(ScrollView, can_focus=True):
    """Fields side by side, two in a row; those in `wide` have a row of their own.

    Parameters
    ----------
    fields : sequence of TagField
        In the order in which Tab goes through them.
    wide : collection of str
        Keys of fields that want a whole row.
    """

    DEFAULT_CSS = """
    FormSheet { width: 1fr; height: 1fr; background: $surface; color: $text; scrollbar-size-vertical: 1; }
    """
    ALLOW_SELECT = False

    class Moved(Message):
        """Another field is in hand, or its text or what is offered for it has changed."""

    class Left(Message):
        """A field was left for another; `key` is the one that was left."""

        def __init__(self, key: str) -> None:
            self.key = key
            super().__init__()

    class Entered(Message):
        """Enter was pressed."""

    def __init__(self, fields: Sequence[TagField], *, wide: frozenset[str]) -> None:
        super().__init__()
        self.fields = tuple(fields)
        self.wide = wide
        self.texts: dict[str, str] = {}
        self.used: Mapping[str, Sequence[str]] = {}
        self.index = 0
        self.cursor = 0
        self.chosen = -1
        """Which of the offered words is chosen by the arrows; -1 for none."""
        self.is_fresh = False
        """Whether the text in hand was put there by the program: the next letter replaces it."""

    # What is in hand

    @property
    def field(self) -> TagField:
        return self.fields[self.index]

    @property
    def text(self) -> str:
        return self.texts.get(self.field.key, "")

    @property
    def offered(self) -> tuple[str, ...]:
        """Words that could stand in the field in hand."""
        return offer_words(self.field, self._begun, self.used.get(self.field.name, ()))

    @property
    def _begun(self) -> str:
        """What is being typed: in a list of labels only the last of them."""
        text = "" if self.is_fresh else self.text
        return text.rpartition(",")[2].lstrip() if self.field.name == "bag" else text

    @property
    def taken(self) -> str:
        """The offered word that → takes: the one chosen, else the first for what was typed."""
        offered = self.offered
        if 0 <= self.chosen < len(offered):
            return offered[self.chosen]
        return offered[0] if offered and self._begun else ""

    def fill(self, texts: Mapping[str, str], *, at: str = NUMBER_KEY, is_fresh: bool = False) -> None:
        """Show other texts, with this field in hand."""
        self.texts = dict(texts)
        self.is_fresh = is_fresh
        self._hold([one.key for one in self.fields].index(at))

    def _hold(self, index: int) -> None:
        self.index = index % len(self.fields)
        self.cursor = len(self.text)
        self.chosen = -1
        self._show_current()
        self._moved()

    def _moved(self) -> None:
        self.refresh()
        self.post_message(self.Moved())

    # Keys

    def on_key(self, event: events.Key) -> None:
        named = getattr(self, f"_key_{event.key.replace('+', '_')}", None)
        if named is not None:
            named()
        elif event.character and event.character.isprintable():
            self._insert(event.character)
        else:
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self._insert(" ".join(event.text.split()))

    def _key_tab(self) -> None:
        self._leave(1)

    def _key_shift_tab(self) -> None:
        self._leave(-1)

    def _key_enter(self) -> None:
        self._settle()
        self.post_message(self.Entered())

    def _key_left(self) -> None:
        self._put_cursor(self.cursor - 1)

    def _key_right(self) -> None:
        if self.cursor >= len(self.text) and self.taken:
            self._take()
        else:
            self._put_cursor(self.cursor + 1)

    def _key_home(self) -> None:
        self._put_cursor(0)

    def _key_end(self) -> None:
        self._put_cursor(len(self.text))

    def _key_down(self) -> None:
        self._choose(1)

    def _key_up(self) -> None:
        self._choose(-1)

    def _key_backspace(self) -> None:
        if self.is_fresh:
            self._write("", 0)
        elif self.cursor:
            self._write(self.text[: self.cursor - 1] + self.text[self.cursor :], self.cursor - 1)

    def _key_delete(self) -> None:
        self._write("" if self.is_fresh else self.text[: self.cursor] + self.text[self.cursor + 1 :], self.cursor)

    def _insert(self, letters: str) -> None:
        before, after = ("", "") if self.is_fresh else (self.text[: self.cursor], self.text[self.cursor :])
        self._write(before + letters + after, len(before) + len(letters))

    def _write(self, text: str, cursor: int) -> None:
        self.is_fresh = False
        self.texts[self.field.key] = text
        self.cursor = max(0, min(cursor, len(text)))
        self.chosen = -1
        self._moved()

    def _put_cursor(self, cursor: int) -> None:
        self.is_fresh = False
        self.cursor = max(0, min(cursor, len(self.text)))
        self.refresh()

    def _choose(self, by: int) -> None:
        self.chosen = max(-1, min(self.chosen + by, len(self.offered) - 1))
        self._moved()

    def _take(self) -> None:
        """Let the offered word stand in the field."""
        kept = self.text.rpartition(",")[0] if self.field.name == "bag" else ""
        text = f"{kept}, {self.taken}" if kept else self.taken
        self._write(text, len(text))

    def _settle(self) -> None:
        """What was chosen stands; where only some words can stand, the beginning of one is enough."""
        if self.chosen >= 0:
            self._take()
        elif self.field.choices and self.text.strip():
            self.texts[self.field.key] = take_choice(self.field, self.text)

    def _leave(self, by: int) -> None:
        self._settle()
        left = self.field.key
        self.is_fresh = False
        self._hold(self.index + by)
        self.post_message(self.Left(left))

    def on_click(self, event: events.Click) -> None:
        for index, spot in enumerate(self._spots(self.scrollable_content_region.width)):
            start = spot.start - LABEL
            if spot.row == event.y + self.scroll_offset.y and start <= event.x < spot.start + spot.width:
                if index != self.index:
                    left = self.field.key
                    self._settle()
                    self.is_fresh = False
                    self._hold(index)
                    self.post_message(self.Left(left))
                first = self._first_shown(spot)
                self._put_cursor(first + len(cut_words(self.text[first:], event.x - spot.start)))

    # Drawing

    def _spots(self, width: int) -> list[Spot]:
        """Where every field lies in a sheet `width` cells wide."""
        half = (width - GAP) // 2
        spots: list[Spot] = []
        row, is_left = -1, True
        for one in self.fields:
            if one.key in self.wide:
                row, is_left = row + 1, True
                spots.append(Spot(row, LABEL, max(1, width - LABEL)))
            else:
                row += is_left
                spots.append(Spot(row, LABEL if is_left else half + GAP + LABEL, max(1, half - LABEL)))
                is_left = not is_left
        return spots

    def on_resize(self, event: events.Resize) -> None:
        self._show_current()

    def _show_current(self) -> None:
        spots = self._spots(self.scrollable_content_region.width)
        self.virtual_size = Size(0, spots[-1].row + 1)
        row, height, top = spots[self.index].row, max(1, self.size.height), self.scroll_offset.y
        if row < top or row >= top + height:
            self.scroll_to(y=row if row < top else row - height + 1, animate=False, force=True, immediate=True)

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        style = self.visual_style.rich_style
        row = y + self.scroll_offset.y
        segments: list[Segment] = []
        for index, spot in enumerate(self._spots(width)):
            if spot.row == row:
                if segments:
                    segments.append(Segment(" " * GAP, style))
                segments += self._drawn(index, spot, style)
        return Strip(segments).adjust_cell_length(width, style)

    def _drawn(self, index: int, spot: Spot, style: Style) -> list[Segment]:
        one = self.fields[index]
        is_current = index == self.index and self.has_focus
        title = f"{one.end} {one.title.lower()}" if one.end else one.title
        label = fit_words(f"{'▸ ' if is_current else '  '}{title}", LABEL)
        line = style + Style(underline=True)
        text = self.texts.get(one.key, "")
        if not is_current:
            return [Segment(label, style + Style(dim=True)), Segment(fit_words(text, spot.width), line)]
        first = self._first_shown(spot)
        bold = line + Style(bold=True)
        drawn = [Segment(label, style + Style(bold=True))]
        if self.is_fresh and text:
            shown = cut_words(text, spot.width)
            drawn.append(Segment(shown, bold + Style(reverse=True)))
            return [*drawn, Segment(" " * (spot.width - width_of(shown)), line)]
        rest = self._rest()
        under = (rest or text[self.cursor :])[:1] or " "
        before, after = text[first : self.cursor], rest[1:] or text[self.cursor + 1 :]
        room = spot.width - width_of(before) - width_of(under)
        after_look = line + Style(dim=True, italic=True) if rest else bold
        return [
            *drawn,
            Segment(before, bold),
            Segment(under, bold + Style(reverse=True)),
            Segment(cut_words(after, room), after_look),
            Segment(" " * (room - width_of(cut_words(after, room))), bold),
        ]

    def _rest(self) -> str:
        """How the word being typed would go on, shown behind the cursor."""
        begun, taken = self._begun, self.taken
        if self.cursor < len(self.text) or not taken.casefold().startswith(begun.casefold()):
            return ""
        return taken[len(begun) :]

    def _first_shown(self, spot: Spot) -> int:
        """The first letter of the text in hand that is shown, so that the cursor is seen."""
        first = 0
        while width_of(self.text[first : self.cursor]) > max(0, spot.width - 2):
            first += 1
        return first
