"""The app: where the screens are, how one goes between them, and what goes on behind them."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.screen import Screen

from asfound.core.log.happening import EXAMPLE, said_of
from asfound.output.cells.colour import Colour, Glyphs
from asfound.tui import book
from asfound.tui.background import BackgroundWork
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.commands import list_commands
from asfound.tui.entry import ScreenEntry, load_entries
from asfound.tui.keys_in_turn import KeysInTurn
from asfound.tui.looks import DARK_SHOP, LOOKS
from asfound.tui.opening import OpenPictures
from asfound.tui.service import FindEntry, Service
from asfound.tui.toolkit_insides import bind_keys, every_screen

if TYPE_CHECKING:
    from asfound.tui.first_frame import FirstWords
    from asfound.tui.screens.picture import PictureScreen

HOME = "start"
HELD_S = 0.6
"""A key that comes again within this time is taken for one that is held down."""

EVERYWHERE = {
    "a digit": "opens the number box: type a tag number, Enter shows how it was",
    "/": "finds by words of a name",
    ";": "writes of the thing in hand: every field of it",
    ":": "writes what happened, to the thing in hand or any: 17 off bag 4 clip rusted, yesterday 14:20 17 off",
    "'": "looks over the thing in hand: how it is now beside how it was",
    "a": "brings in photos and clips, where it does nothing else",
    "u": "takes the last step back, and asks before it goes further than this sitting",
    "U": "brings back what was taken back last",
    "esc": "back",
    "?": "this help",
    "ctrl+p": "lists what can be done here, to choose from by words",
    "ctrl+t": "dark shop or bright yard",
    "q": "leave; everything is saved already",
}


class ArchiveApp(KeysInTurn):
    """The screens over one archive.

    Parameters
    ----------
    service : Service
    paced : bool
        Draw only as fast as the terminal answers; off where no terminal does.
    terminal : str
        Name under which the choice of colours is kept.
    first_words : FirstWords or None
        What the first screen says until it has looked for itself.
    """

    TITLE = "asfound"
    DEFAULT_MODE = HOME
    CSS = "Screen { overflow: hidden; }"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS = [
        Binding("u", "undo", "undo", show=False),
        Binding("U", "redo", "redo", show=False),
        Binding("question_mark", "help", "help", show=False),
        Binding("semicolon", "write_of_this", "write of this", show=False),
        Binding("colon", "happened", "what happened", show=False),
        Binding("apostrophe", "look_over_this", "look over this", show=False),
        Binding("ctrl+t", "look", "dark or bright", show=False),
        Binding("q", "quit", "leave", show=False),
    ]

    def __init__(
        self,
        service: Service,
        *,
        paced: bool = False,
        terminal: str = "",
        first_words: FirstWords | None = None,
    ) -> None:
        super().__init__()
        self.service = service
        self.opened = OpenPictures(service)
        self.entries: dict[str, ScreenEntry] = load_entries()
        self.paced = paced
        self._pressed_at: dict[str, float] = {}
        self.first_words = first_words
        self.background = BackgroundWork(self)
        self.wanted_row: object = None
        self.wanted_words = ""
        self._terminal = terminal
        for look in LOOKS.values():
            self.register_theme(look)
        kept = self._kept("look") or DARK_SHOP.name
        self.set_reactive(App.theme, kept if kept in LOOKS else DARK_SHOP.name)
        for name, entry in self.entries.items():
            if (entry.key and not entry.is_over) or name == HOME:
                self.add_mode(name, entry.factory)
            if entry.key:
                bind_keys(self, entry.keys, f"go('{name}')", entry.title)

    # Going places

    def action_go(self, name: str) -> None:
        self.go(name)

    def go(self, name: str, *, row: object = None, words: str = "") -> None:
        """Go to a place; each keeps where it was. What is no place of its own opens over the screen in front.

        `row` is the key of the row to choose there, if it is a list; `words` are said with it.
        """
        self.wanted_row, self.wanted_words = row, words
        if self.entries[name].is_over:
            if type(self.here) is not self.entries[name].factory:
                self.push_screen(self.entries[name].factory())
            return
        if name == self.current_mode and len(self.screen_stack) > 1:
            while len(self.screen_stack) > 1:
                self.pop_screen()
            return
        self.switch_mode(name)

    def go_back(self) -> None:
        """One step back: to the screen this one was opened from, or to the start."""
        if len(self.screen_stack) > 1:
            self.pop_screen()
        elif self.current_mode != HOME:
            self.switch_mode(HOME)

    def action_help(self) -> None:
        self.push_screen(self.entries["help"].factory(self.here))

    def action_command_palette(self) -> None:
        from asfound.tui.widgets.word_list import WordList

        if not WordList.is_in_front(self):
            self.push_screen(WordList())

    def action_undo(self) -> None:
        if self.here is not None and not self.is_held("undo"):
            self.here.undo_last()

    def is_held(self, key: str) -> bool:
        """Whether a key comes again so soon that it is taken for one that is held down: it repeats 20 times a second.

        A resting thumb must neither take back a day's work nor answer a question. Asked at every stroke of the key.
        """
        now, before = time.monotonic(), self._pressed_at.get(key, 0.0)
        self._pressed_at[key] = now
        return self.paced and now - before < HELD_S

    def action_redo(self) -> None:
        if self.here is not None:
            self.here.redo_last()

    @property
    def here(self) -> ArchiveScreen | None:
        """The screen in front."""
        return self.screen if isinstance(self.screen, ArchiveScreen) else None

    def show_spot(self, spot_id: int, words: str = "") -> None:
        """The pictures of a spot."""
        self.push_screen(self.entries["spot"].factory(spot_id, words))

    def show_pictures(self, title: str, picture_ids: Sequence[int]) -> None:
        """A sheet of pictures."""
        self.push_screen(self.entries["pictures"].factory(title, picture_ids))

    def show_picture(self, picture_id: int, among: Sequence[int] = ()) -> None:
        """One picture, with the ones before and after it."""
        self.push_screen(self.entries["picture"].factory(picture_id, among=among))

    def show_pairs(self, spot_id: int, two: tuple[int, int] | None = None) -> None:
        """Before and after of a spot; or two pictures of it, the earlier first, whether or not they are a pair."""
        self.push_screen(self.entries["pair"].factory(spot_id, two=two))

    def write_of(self, tag_id: int, *, at: str = "kind") -> None:
        """All that is written of a thing, to say more or put it right, with the field `at` in hand."""
        self.push_screen(self.entries["tag_entry"].factory(tag_id, at=at))

    def look_over(self, tag_id: int) -> None:
        """How a thing is now beside how it was, to say whether it is right."""
        looks = self.service.looks_for(tag_id)
        if looks:
            spot_id = self.service.picture(looks[0].before_id).spot_id
            self.push_screen(self.entries["pair"].factory(spot_id, looks=looks))
        else:
            label = self.service.card(tag_id).label
            self.tell(
                f"{label}: no picture from after it went back stands beside one of how it was. Photograph it now and "
                "add it; in a spot, x compares any two pictures."
            )

    def action_write_of_this(self) -> None:
        """All that is written of the thing in hand, or a new tag where none is."""
        in_hand = self.here.tag_in_hand if self.here is not None else None
        if in_hand is None:
            self.go("tag_entry")
        else:
            self.write_of(in_hand[0])

    def action_happened(self) -> None:
        """Ask what happened to the thing in hand, or to any where none is."""
        in_hand = self.here.tag_in_hand if self.here is not None else None
        self.ask_what_happened(self.service.card(in_hand[0]).label if in_hand is not None else "")

    def ask_what_happened(self, label: str = "", *, words: str = "", refusal: str = "") -> None:
        """Ask for a line of the log: of the thing with this label, unless the line says of which."""
        here = self.here
        if here is None:
            return

        def answered(said: str) -> None:
            line = said_of(label, said) if label else said
            told = here.attempt(lambda: self.service.write_happened(line))
            if told is not None:
                here.changed(f"{told}. u takes it back.")
            else:
                self.ask_what_happened(label, words=said, refusal=here.said_words)

        here.ask(
            f"What happened to {label}" if label else "What happened",
            answered,
            words=words,
            enter_words=f"writes it in the log, such as {EXAMPLE.partition(' ')[2] if label else EXAMPLE}",
            refusal=refusal,
        )

    def action_open_book(self) -> None:
        """Open the printed book, or ask where to print it while there is none."""
        book.open_book(self)

    def action_print_book(self) -> None:
        """Ask where to print the book."""
        book.ask_where(self)

    def action_look_over_this(self) -> None:
        """Look over the thing in hand."""
        in_hand = self.here.tag_in_hand if self.here is not None else None
        if in_hand is None:
            self.tell("Choose a tag, or a pin, first: then ' shows how it is now beside how it was.")
        else:
            self.look_over(in_hand[0])

    def show_found(self, entry: FindEntry, words: str = "") -> None:
        """The as-found picture of a tag end, close at its pin; `words` are said there in place of the usual ones."""
        here = self.here
        if here is not None and hasattr(here, "show_entry"):
            picture_screen: PictureScreen = here  # type: ignore[assignment]
            picture_screen.show_entry(entry, words=words)
            return
        shown = entry.as_found or entry.pins[0]
        self.push_screen(self.entries["picture"].factory(shown.pin.picture_id, found=entry, words=words))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        here = next((one for one in reversed(self.screen_stack) if isinstance(one, ArchiveScreen)), None)
        return list_commands(self, here, HOME)

    # Looks

    def action_look(self) -> None:
        """The other look; it is kept for this kind of terminal."""
        names = list(LOOKS)
        self.theme = names[(names.index(self.theme) + 1) % len(names)]
        self._keep("look", self.theme)
        self.tell(f"{self.theme.capitalize()}; ctrl+t changes it.")

    async def action_quit(self) -> None:
        """Leave; work behind the screens ends with the file or picture at hand."""
        self.background.stop()
        self.exit()

    # Canvases

    def set_up_canvas(self, canvas: Canvas) -> None:
        """Give a canvas this terminal's pacing, colours and characters."""
        canvas.pacer.on = self.paced
        colours, glyphs = self._kept("colours"), self._kept("characters")
        canvas.draw_with(
            colour=Colour(colours) if colours in list(Colour) else None,
            glyphs=Glyphs(glyphs) if glyphs in list(Glyphs) else None,
        )

    def on_canvas_colour_chosen(self, event: Canvas.ColourChosen) -> None:
        self._keep("colours", str(event.colour))

    def on_canvas_characters_wanted(self) -> None:
        self.push_screen(self.entries["characters"].factory())

    def keep_glyphs(self, glyphs: Glyphs) -> None:
        """Draw with these characters on this kind of terminal from now on."""
        self._keep("characters", str(glyphs))
        for screen in every_screen(self):
            for canvas in screen.query(Canvas):
                canvas.draw_with(glyphs=glyphs)
        self.tell(f"Pictures are drawn in {glyphs} on this terminal.")

    def _kept(self, what: str) -> str | None:
        return self.service.remembered(f"{what} {self._terminal}") if self._terminal else None

    def _keep(self, what: str, value: str) -> None:
        if self._terminal:
            self.service.remember(f"{what} {self._terminal}", value)

    def on_cursor_position(self, event: events.CursorPosition) -> None:
        for canvas in self.screen.query(Canvas):
            canvas.terminal_answered()

    def tell(self, words: str) -> None:
        """Say something on the screen in front."""
        if self.here is not None:
            self.here.say(words)
