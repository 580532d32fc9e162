"""The app: where the screens are, how one goes between them, and what goes on behind them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.screen import Screen

from asfound.actions.archive import Archive
from asfound.actions.known import known_tags, spot_of
from asfound.actions.look_over import pictures_to_look_over
from asfound.tui import book, going, steps_back
from asfound.tui.background import WorkMoved, WorkTold
from asfound.tui.base import ArchiveScreen
from asfound.tui.bringing_in import ask_for_folder
from asfound.tui.canvas.widget import Canvas
from asfound.tui.cards import label_of
from asfound.tui.commands import list_commands
from asfound.tui.first_frame import FirstWords
from asfound.tui.happened import HappenedLine
from asfound.tui.looks import DARK_SHOP, LOOKS
from asfound.tui.session import Session
from asfound.tui.toolkit_insides import bind_keys, every_screen

HOME = "start"


class ArchiveApp(Session):
    """The screens over one archive; see `Session` for the parameters."""

    TITLE = "asfound"
    DEFAULT_MODE = HOME
    CSS = "Screen { overflow: hidden; }"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS = [
        Binding("u", "undo", "undo", show=False),
        Binding("U", "redo", "redo", show=False),
        Binding("question_mark", "help", "help", show=False),
        Binding("semicolon", "write_of_this", "edit tag", show=False),
        Binding("colon", "happened", "what happened", show=False),
        Binding("apostrophe", "look_over_this", "look over this", show=False),
        Binding("ctrl+t", "look", "dark or bright", show=False),
        Binding("q", "quit", "leave", show=False),
    ]

    def __init__(
        self, archive: Archive, *, paced: bool = False, terminal: str = "", first_words: FirstWords | None = None
    ) -> None:
        super().__init__(archive, paced=paced, terminal=terminal, first_words=first_words)
        for look in LOOKS.values():
            self.register_theme(look)
        kept = self.kept_choice("look") or DARK_SHOP.name
        self.set_reactive(App.theme, kept if kept in LOOKS else DARK_SHOP.name)
        for name, entry in self.entries.items():
            if (entry.key and not entry.is_over) or name == HOME:
                self.add_mode(name, entry.factory)
            if entry.key:
                bind_keys(self, entry.keys, f"go('{name}')", entry.title)

    @property
    def here(self) -> ArchiveScreen | None:
        """The screen in front; None while another kind of screen is, or while the app is closing."""
        front = next(reversed(self.screen_stack), None)
        return front if isinstance(front, ArchiveScreen) else None

    def tell(self, words: str) -> None:
        """Say something on the screen in front."""
        if self.here is not None:
            self.here.say(words)

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
                self._open(name)
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

    def _open(self, name: str, *about: Any, **more: Any) -> None:
        """Open a screen over the one in front."""
        self.push_screen(cast(ArchiveScreen, self.entries[name].factory(*about, **more)))

    def on_go_to(self, message: going.GoTo) -> None:
        self.go(message.name, row=message.row, words=message.words)

    def on_go_back(self, message: going.GoBack) -> None:
        self.go_back()
        if message.words:
            self.tell(message.words)

    def on_show_spot(self, message: going.ShowSpot) -> None:
        self._open("spot", message.spot_id)

    def on_show_pictures(self, message: going.ShowPictures) -> None:
        self._open("pictures", message.title, message.picture_ids)

    def on_show_picture(self, message: going.ShowPicture) -> None:
        self._open("picture", message.picture_id, among=message.among)

    def on_show_found(self, message: going.ShowFound) -> None:
        entry, here = message.entry, self.here
        if here is None or not here.take_found(entry, message.words):
            shown = entry.as_found or entry.pins[0]
            self._open("picture", shown.pin.picture_id, found=entry, words=message.words)

    def on_show_pairs(self, message: going.ShowPairs) -> None:
        self._open("pair", message.spot_id, two=message.two)

    def on_write_tag(self, message: going.WriteTag) -> None:
        self._open("tag_entry", message.tag_id, at=message.at)

    def on_choose_spot(self, message: going.ChooseSpot) -> None:
        self._open("choose_spot", message)

    def on_choose_picture(self, message: going.ChoosePicture) -> None:
        self._open("choose_picture", message)

    # The thing in hand

    @property
    def in_hand(self) -> int | None:
        """The thing that the screen in front is about, or that is chosen on it."""
        in_hand = self.here.tag_in_hand if self.here is not None else None
        return None if in_hand is None else in_hand[0]

    def action_write_of_this(self) -> None:
        """All that is written of the thing in hand, or a new tag where none is."""
        if self.in_hand is None:
            self.go("tag_entry")
        else:
            self._open("tag_entry", self.in_hand, at="kind")

    def action_look_over_this(self) -> None:
        """How the thing in hand is now beside how it was, to say whether it is right."""
        tag_id = self.in_hand
        if tag_id is None:
            self.tell("Choose a tag or a pin first; then ' shows it now beside as found.")
            return
        archive = self.shared.here
        looks = pictures_to_look_over(archive, known_tags(archive)[tag_id])
        if looks:
            self._open("pair", spot_of(archive).get(looks[0].both_ids[0]), looks=looks)
        else:
            self.tell(
                f"{label_of(archive, tag_id)}: there is no picture of it after it went back. Photograph it now and add "
                "it; in a spot, x compares any two pictures."
            )

    def action_happened(self) -> None:
        """Ask what happened to the thing in hand, or to any where none is."""
        self.ask_what_happened("" if self.in_hand is None else label_of(self.shared.here, self.in_hand))

    def on_ask_what_happened(self) -> None:
        self.ask_what_happened()

    def ask_what_happened(self, label: str = "") -> None:
        """Ask for a line of the log: of the thing with this label, unless the line says of which."""
        if self.here is not None:
            HappenedLine(self.here, lambda: self.shared.here, label).ask()

    # Everywhere

    def action_help(self) -> None:
        self._open("help", self.here)

    def action_command_palette(self) -> None:
        from asfound.tui.widgets.word_list import WordList

        if not WordList.is_in_front(self):
            self.push_screen(WordList())

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        here = next((one for one in reversed(self.screen_stack) if isinstance(one, ArchiveScreen)), None)
        return list_commands(self, here, HOME)

    def action_undo(self) -> None:
        if self.here is not None and not self.is_held("undo"):
            steps_back.take_back(self.here)

    def action_redo(self) -> None:
        if self.here is not None and not self.is_held("redo"):
            steps_back.bring_back(self.here)

    def action_bring_in(self) -> None:
        if self.here is not None:
            ask_for_folder(self.here)

    def on_ask_for_folder(self) -> None:
        self.action_bring_in()

    def action_open_book(self) -> None:
        """Open the printed book, or ask where to print it while there is none."""
        if self.here is not None:
            book.open_book(self.here)

    def action_print_book(self) -> None:
        """Ask where to print the book."""
        if self.here is not None:
            book.ask_where(self.here)

    def action_look(self) -> None:
        """The other look; it is kept for this kind of terminal."""
        names = list(LOOKS)
        self.theme = names[(names.index(self.theme) + 1) % len(names)]
        self.keep_choice("look", self.theme)
        self.tell(f"{self.theme.capitalize()}; ctrl+t changes it.")

    async def action_quit(self) -> None:
        """Leave; work behind the screens ends with the file or picture at hand."""
        self.background.stop()
        self.exit()

    # Work behind the screens

    def on_work_moved(self, message: WorkMoved) -> None:
        if self.here is None or not self.here.shows_lines:
            return  # one that is only being put in front draws its lines when it stands
        if message.has_begun:
            self.here.refresh_lines()
        else:
            self.here.refresh_work()

    def on_work_told(self, message: WorkTold) -> None:
        if self.here is None:
            return
        if not self.here.shows_lines:
            # A key has just put another screen in front, which has nothing to show words on yet.
            self.call_later(self.on_work_told, message)
        elif message.words:
            self.here.changed(message.words)
        else:
            self.here.refresh_lines()

    # Canvases

    def on_canvas_colour_chosen(self, event: Canvas.ColourChosen) -> None:
        self.keep_choice("colours", str(event.colour))

    def on_canvas_characters_wanted(self) -> None:
        self._open("characters")

    def on_keep_glyphs(self, message: going.KeepGlyphs) -> None:
        self.go_back()
        self.keep_choice("characters", str(message.glyphs))
        for screen in every_screen(self):
            for canvas in screen.query(Canvas):
                canvas.draw_with(glyphs=message.glyphs)
        self.tell(f"Pictures are drawn in {message.glyphs} on this terminal.")

    def on_cursor_position(self, event: events.CursorPosition) -> None:
        for canvas in self.screen.query(Canvas):
            canvas.terminal_answered()
