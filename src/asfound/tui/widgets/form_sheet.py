"""A sheet of short fields that are filled in by keys: Tab goes on, words in use are offered while one types."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from textual import events
from textual.app import ComposeResult
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from asfound.core.log.tag_fields import TagField
from asfound.tui.toolkit_insides import show_rest
from asfound.tui.widgets.form_page import FormPage
from asfound.tui.widgets.form_texts import FormTexts
from asfound.tui.widgets.text_field import TextField

NUMBER_KEY = "number"


class FormSheet(Widget):
    """Fields side by side, two in a row; those in `wide` have a row of their own.

    One field is typed in at a time, so there is one `TextField`, laid over the page where the field in hand is. A field
    for each would take a second to open.

    Parameters
    ----------
    fields : sequence of TagField
        In the order in which Tab goes through them.
    wide : collection of str
        Keys of fields that want a whole row.
    """

    DEFAULT_CSS = """
    FormSheet { width: 1fr; height: 1fr; layers: page field; background: $surface; color: $text; }
    FormSheet > TextField { layer: field; text-style: bold underline; }
    """

    class Edited(Message):
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
        self.form = FormTexts(fields)
        self.page = FormPage(self.form, wide=wide)
        self.text_field = TextField()

    def compose(self) -> ComposeResult:
        yield self.page
        yield self.text_field

    def on_mount(self) -> None:
        self.watch(self.page, "scroll_y", self._lay_field, init=False)
        self.watch(self.text_field, "selection", self._look_at_field, init=False)

    # What stands there

    @property
    def fields(self) -> tuple[TagField, ...]:
        """Every field, in the order in which Tab goes through them."""
        return self.form.fields

    @property
    def field(self) -> TagField:
        """The field in hand."""
        return self.form.field

    @property
    def texts(self) -> dict[str, str]:
        """What stands in the fields, by their keys."""
        self.form.write(self.text_field.value)
        return self.form.texts

    @texts.setter
    def texts(self, texts: Mapping[str, str]) -> None:
        """Let other texts stand there; a text in hand that stays the same keeps its cursor."""
        self.form.texts = dict(texts)
        if self.text_field.value != self.form.text:
            self.text_field.fill(self.form.text)
        self._changed()

    @property
    def text(self) -> str:
        """What stands in the field in hand."""
        return self.text_field.value

    @property
    def offered(self) -> tuple[str, ...]:
        """Words that could stand in the field in hand."""
        return self.form.offered

    @property
    def taken(self) -> str:
        """The offered word that → takes; empty for none."""
        return self.form.taken

    def use(self, words: Mapping[str, Sequence[str]]) -> None:
        """Offer these words, by the names of the fields they stand in elsewhere."""
        self.form.used = words

    def fill(self, texts: Mapping[str, str], *, at: str = NUMBER_KEY) -> None:
        """Let other texts stand there, with this field in hand."""
        self.form.texts = dict(texts)
        self._hold(self.form.place_of(at))

    # Going on

    def on_key(self, event: events.Key) -> None:
        """The keys that are not typed; the field keeps all others to itself, or moves its cursor by them."""
        self.form.write(self.text_field.value)
        if event.key in ("tab", "shift+tab"):
            self._leave(self.form.index + (1 if event.key == "tab" else -1))
        elif event.key == "enter":
            self._settle()
            self.post_message(self.Entered())
        elif event.key in ("down", "up"):
            self.form.choose(1 if event.key == "down" else -1)
            self._changed()
        elif event.key == "right" and self.text_field.cursor_at_end and self.form.taken:
            self.form.take()
            self.text_field.fill(self.form.text, is_selected=False)
        else:
            return
        event.stop()

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self.form.write(self.text_field.value)
        self._changed()

    def on_form_page_pointed(self, event: FormPage.Pointed) -> None:
        event.stop()
        if event.index != self.form.index:
            self.form.write(self.text_field.value)
            self._leave(event.index)
        self.text_field.cursor_position = event.letter
        self.screen.set_focus(self.text_field)

    def _leave(self, index: int) -> None:
        self._settle()
        key = self.field.key
        self._hold(index)
        self.post_message(self.Left(key))

    def _settle(self) -> None:
        self.form.settle()
        if self.text_field.value != self.form.text:
            self.text_field.fill(self.form.text, is_selected=False)

    def _hold(self, index: int) -> None:
        self.form.hold(index)
        self.text_field.fill(self.form.text)
        self._show_in_sight()
        self._changed()

    # What is seen

    def on_resize(self, event: events.Resize) -> None:
        self.call_after_refresh(self._show_in_sight)

    def _show_in_sight(self) -> None:
        self.page.place_in_sight()
        self._lay_field()

    def _lay_field(self) -> None:
        place = self.page.place_now()
        self.text_field.styles.offset = (place.start, place.row)
        self.text_field.styles.width = place.width

    def _look_at_field(self) -> None:
        """The cursor has moved: a text that was selected may now be one to go on with."""
        if self.form.is_replaced_next != self.text_field.is_all_selected:
            self._changed()
        else:
            self._show_rest()

    def _changed(self) -> None:
        self.form.is_replaced_next = self.text_field.is_all_selected
        self._show_rest()
        self.page.refresh()
        self.post_message(self.Edited())

    def _show_rest(self) -> None:
        """Show behind the cursor how the word that is being typed goes on."""
        rest = self.form.rest if self.text_field.cursor_at_end else ""
        show_rest(self.text_field, self.text_field.value + rest if rest else "")
