"""What every screen has: a top line, one line for what was just said, the bottom line, and the number box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar, TypeVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from asfound.actions.archive import Archive
from asfound.actions.ends import FindEntry, find_while_typed, other_with_picture
from asfound.errors import AsfoundError
from asfound.tui.canvas.widget import Canvas
from asfound.tui.found_words import no_picture_words, not_found_words
from asfound.tui.going import GoBack, ShowFound
from asfound.tui.keys import Key, bindings_of
from asfound.tui.session import Session
from asfound.tui.widgets.ask_line import AskLine, Completer
from asfound.tui.widgets.key_line import ESCAPE, Hint, KeyLine
from asfound.tui.widgets.number_box import NumberBox
from asfound.tui.widgets.text_field import one_line
from asfound.tui.words import fit_words, width_of

Answer = TypeVar("Answer")


class ArchiveScreen(Screen[None]):
    """A screen over the archive.

    A subclass gives its widgets in `body`, fills them in `reload`, and tells its keys once, in `KEYS`.
    """

    TITLE = ""
    ABOUT: ClassVar[str] = ""
    """What the screen is for; shown by the help."""

    KEYS: ClassVar[tuple[Key, ...]] = ()
    """Every key of the screen, in the order of the foot: bindings, foot, help and the list of commands follow."""

    FINDS_BY_NUMBER: ClassVar[bool] = True
    """Whether a digit opens the number box here."""

    DEFAULT_CSS = """
    ArchiveScreen { layers: base over; layout: vertical; background: $surface; }
    ArchiveScreen > #top { height: 1; background: $panel; color: $text; text-style: bold; }
    ArchiveScreen > #said { height: auto; min-height: 1; max-height: 3; padding: 0 1; }
    ArchiveScreen > #said { background: $surface; color: $text; }
    SortScreen > #said, PictureScreen > #said, PairScreen > #said { height: 2; }
    """
    BINDINGS = [
        Binding("escape", "back", "back", show=False),
        Binding("slash", "find_words", "find", show=False),
        Binding("a", "app.bring_in", "bring in photos", show=False),
    ]
    AUTO_FOCUS = "RowList, Canvas, ContactSheet, VerticalScroll"

    class Trouble(Message):
        """Work in the background met something a person should know."""

        def __init__(self, words: str) -> None:
            self.words = words
            super().__init__()

    class Settled(Message):
        """What a word that was taken back had changed is worked out again."""

    _was_said_here = False
    said_words = ""
    """What was said last, so that news from behind does not overwrite something else."""
    _where_words = ""

    def __init_subclass__(cls, **settings: Any) -> None:
        cls.BINDINGS = [*cls.__dict__.get("BINDINGS", ()), *bindings_of(cls.__dict__.get("KEYS", ()))]
        super().__init_subclass__(**settings)

    # What a screen gives

    def body(self) -> ComposeResult:
        """The widgets between the top line and the bottom lines."""
        yield from ()

    def reload(self) -> None:
        """Fill the widgets from the archive; called when the screen is shown and after every change."""

    def words_of_key(self, key: Key) -> str | None:
        """What the foot says of a key now; None or empty to leave it out. Asked with every change: it must be cheap."""
        return key.short

    def foot_keys(self) -> Sequence[Key]:
        """The keys for the foot, the most useful now first."""
        return self.KEYS

    def tells_back(self) -> bool:
        """Whether the foot names the key that leads back."""
        return True

    def hints(self) -> Sequence[Hint]:
        """The keys worth naming now."""
        told = ((key, self.words_of_key(key)) for key in self.foot_keys())
        return [*(key.hint(words) for key, words in told if words), *([ESCAPE] if self.tells_back() else [])]

    def where(self) -> str:
        """What the top line says."""
        return self.TITLE

    # What a screen gets

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        """The thing, and its end, that the screen is about or that is chosen on it."""
        return None

    @property
    def session(self) -> Session:
        """What all screens share."""
        return cast(Session, self.app)

    @property
    def archive(self) -> Archive:
        """The archive, over the connection of the calling thread."""
        return self.session.shared.here

    @property
    def shows_lines(self) -> bool:
        """Whether its lines stand: not while it is only being put in front, nor while it is leaving."""
        return self.is_mounted and bool(self.query("#said"))

    @property
    def number_box(self) -> NumberBox:
        return self.query_one(NumberBox)

    def compose(self) -> ComposeResult:
        yield Static(id="top", markup=False)
        yield from self.body()
        yield Static(id="said", markup=False)
        yield KeyLine()
        yield NumberBox()
        yield AskLine()

    def say(self, words: str) -> None:
        """Tell something above the keys; it stays until something else is said, or another screen was shown."""
        self._was_said_here = True
        self.said_words = words
        self.query_one("#said", Static).update(words)

    def refresh_lines(self) -> None:
        """Write the top line and the bottom line anew."""
        self._where_words = self.where()
        self.refresh_work()
        self.query_one(KeyLine).set_hints(self.hints())

    def refresh_work(self) -> None:
        """Write how far the work behind the screens is; asks nothing of the archive, for it comes often."""
        width = self.app.size.width
        find = ("type a number to find it" if width >= 100 else "number: find") if self.FINDS_BY_NUMBER else ""
        if width_of(self._where_words) + width_of(find) + 3 > width:
            find = ""  # where one is goes before what one knows after the first day
        right = self.session.background.words or find
        left = fit_words(f" {self._where_words}", max(10, width - width_of(right) - 2))
        self.query_one("#top", Static).update(f"{left} {right} ")

    def attempt(self, work: Callable[[], Answer]) -> Answer | None:
        """Do something that the archive may refuse; a refusal is said in one line and None returned."""
        try:
            return work()
        except AsfoundError as error:
            self.say(str(error))
            return None

    def act(self, work: Callable[[], object], words: str) -> bool:
        """Change something that the archive may refuse, show the change and say it; False when it was refused."""
        done = self.attempt(lambda: (work(), True)) is not None
        if done:
            self.changed(words)
        return done

    def in_background(self, work: Callable[[], None], group: str, *, exclusive: bool = True) -> None:
        """Do slow work in a thread; trouble with one picture is said in one line and nothing else stops."""

        def guarded() -> None:
            try:
                work()
            except AsfoundError as error:
                self.post_message(self.Trouble(str(error)))
            except Exception as error:  # the border of the worker: reported, not swallowed
                self.log.error(error)
                self.post_message(self.Trouble(f"{type(error).__name__}: {error}"))

        self.run_worker(guarded, thread=True, exclusive=exclusive, group=group)

    def on_archive_screen_trouble(self, event: Trouble) -> None:
        self.say(event.words)

    def changed(self, words: str) -> None:
        """Something was written: show it and say it."""
        self.show_again()
        self.say(words)

    def show_again(self) -> None:
        """Read the archive again and write every line anew."""
        self.reload()
        self.refresh_lines()

    def ask(
        self,
        question: str,
        answered: Callable[[str], None],
        *,
        words: str = "",
        complete: Completer | None = None,
        enter_words: str = "keeps it",
        refusal: str = "",
        preview: Callable[[str], str] | None = None,
    ) -> None:
        """Ask for words in one line."""
        self.query_one(AskLine).ask(
            question,
            answered,
            words=words,
            complete=complete,
            enter_words=enter_words,
            refusal=refusal,
            preview=preview,
        )

    # Everywhere the same

    def on_screen_suspend(self) -> None:
        self._was_said_here = False

    def on_screen_resume(self) -> None:
        if not self._was_said_here:
            self.say("")
        self.show_again()

    def on_resize(self, event: events.Resize) -> None:
        if self.is_current:  # one that is hidden reloads when it is shown again
            self.call_after_refresh(self.refresh_lines)

    def on_key(self, event: events.Key) -> None:
        if event.character and event.character.isdigit():
            event.stop()
            self.open_number_box(event.character)

    def on_paste(self, event: events.Paste) -> None:
        """A number that is pasted opens the box as one that is typed does."""
        words = one_line(event.text)
        if words[:1].isdigit():
            event.stop()
            self.open_number_box(words)

    def find(self, typed: str) -> list[FindEntry]:
        """What the number box shows for words that are still being typed."""
        return find_while_typed(self.archive, typed)

    def open_number_box(self, words: str) -> None:
        """Open the number box as this screen uses it."""
        self.number_box.open(words, find=self.find)

    def action_find_words(self) -> None:
        self.number_box.open("", find=self.find, title="Find")

    def on_number_box_done(self, event: NumberBox.Done) -> None:
        self.number_chosen(event.words, event.entry, by_space=event.by_space)

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        """A number was typed to its end; show its picture."""
        self.show_found(words, entry)

    def show_found(self, words: str, entry: FindEntry | None) -> None:
        """The as-found picture of a tag end, or what there is instead."""
        if entry is None:
            self.say(not_found_words(words))
        elif entry.as_found is not None or entry.pins:
            self.post_message(ShowFound(entry))
        else:
            other = other_with_picture(self.archive, entry)
            said = no_picture_words(entry, other)
            if other is None:
                self.say(said)
            else:
                self.post_message(ShowFound(other, said))

    def take_found(self, entry: FindEntry, words: str) -> bool:
        """Show the as-found picture of a tag end here; False on a screen that does not show one picture."""
        return False

    def on_canvas_told(self, event: Canvas.Told) -> None:
        self.say(event.words)

    def action_back(self) -> None:
        self.post_message(GoBack())

    def coming_back(self) -> Callable[[], object]:
        """Asked before a step is taken back; what it gives is called after, to show what came back."""
        return lambda: None

    def on_archive_screen_settled(self) -> None:
        self.show_again()
