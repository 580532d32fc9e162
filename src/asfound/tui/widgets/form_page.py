"""The page of a form: every field with its title and text, drawn at once; the field in hand is laid over it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from asfound.core.log.tag_fields import TagField
from asfound.tui.widgets.form_texts import FormTexts
from asfound.tui.words import cut_words, fit_words

TITLE_COLUMNS = 14
"""Cells for a field's title with the letter of its end and the mark."""
GAP = 2
"""Cells between two fields of a row."""


@dataclass(frozen=True, slots=True)
class FieldPlace:
    """Where a field lies on the page: its row, and the cells its text has."""

    row: int
    start: int
    width: int

    def holds(self, x: int, y: int) -> bool:
        """Whether a cell of the page belongs to the field or its title."""
        return y == self.row and self.start - TITLE_COLUMNS <= x < self.start + self.width


def place_fields(fields: Sequence[TagField], wide: Collection[str], width: int) -> list[FieldPlace]:
    """Where every field lies on a page `width` cells wide: two in a row, those whose key is in `wide` alone."""
    half = (width - GAP) // 2
    places: list[FieldPlace] = []
    row, is_left = -1, True
    for field in fields:
        if field.key in wide:
            row, is_left = row + 1, True
            places.append(FieldPlace(row, TITLE_COLUMNS, max(1, width - TITLE_COLUMNS)))
        else:
            row += is_left
            start = TITLE_COLUMNS if is_left else half + GAP + TITLE_COLUMNS
            places.append(FieldPlace(row, start, max(1, half - TITLE_COLUMNS)))
            is_left = not is_left
    return places


class FormPage(ScrollView, can_focus=False):
    """Draws a form; what it draws is changed from outside, which then calls `refresh`."""

    DEFAULT_CSS = "FormPage { width: 1fr; height: 1fr; layer: page; scrollbar-size-vertical: 1; }"
    ALLOW_SELECT = False

    class Pointed(Message):
        """A field was clicked.

        Attributes
        ----------
        index : int
            Place of the field.
        letter : int
            Before which letter of its text the click was.
        """

        def __init__(self, index: int, letter: int) -> None:
            self.index = index
            self.letter = letter
            super().__init__()

    def __init__(self, form: FormTexts, *, wide: Collection[str]) -> None:
        super().__init__()
        self.form = form
        self.wide = wide

    @property
    def places(self) -> list[FieldPlace]:
        """Where every field lies now."""
        return place_fields(self.form.fields, self.wide, self.scrollable_content_region.width)

    def place_in_sight(self) -> FieldPlace:
        """Scroll until the field in hand is seen; where it lies, its row counted from the top of what is seen."""
        places = self.places
        place = places[self.form.index]
        self.virtual_size = Size(0, places[-1].row + 1)
        height, top = max(1, self.size.height), self.scroll_offset.y
        if not top <= place.row < top + height:
            top = place.row if place.row < top else place.row - height + 1
            self.scroll_to(y=top, animate=False, force=True, immediate=True)
        return self.place_now()

    def place_now(self) -> FieldPlace:
        """Where the field in hand lies, its row counted from the top of what is seen; perhaps out of sight."""
        place = self.places[self.form.index]
        return FieldPlace(place.row - self.scroll_offset.y, place.start, place.width)

    def on_click(self, event: events.Click) -> None:
        event.stop()
        for index, place in enumerate(self.places):
            if place.holds(event.x, event.y + self.scroll_offset.y):
                text = self.form.texts.get(self.form.fields[index].key, "")
                self.post_message(self.Pointed(index, len(cut_words(text, event.x - place.start))))

    def render_line(self, y: int) -> Strip:
        width, style = self.scrollable_content_region.width, self.visual_style.rich_style
        segments: list[Segment] = []
        for index, place in enumerate(self.places):
            if place.row == y + self.scroll_offset.y:
                segments += [Segment(" " * GAP, style)] if segments else []
                segments += self._drawn(index, place, style)
        return Strip(segments).adjust_cell_length(width, style)

    def _drawn(self, index: int, place: FieldPlace, style: Style) -> list[Segment]:
        field, is_in_hand = self.form.fields[index], index == self.form.index
        title = f"{field.end} {field.title.lower()}" if field.end else field.title
        mark, look = ("▸ ", Style(bold=True)) if is_in_hand else ("  ", Style(dim=True))
        text = fit_words(self.form.texts.get(field.key, ""), place.width)
        return [
            Segment(fit_words(mark + title, TITLE_COLUMNS), style + look),
            Segment(text, style + Style(underline=True)),
        ]
