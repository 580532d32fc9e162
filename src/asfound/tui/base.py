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
from asfound.actions.ends import FindEntry, ends_of, find_while_typed
from asfound.actions.sort import finish_pending, is_pending_but_for_new
from asfound.actions.undo import redo, undo
from asfound.errors import AsfoundError, AskFirst
from asfound.tui.background import BUSY
from asfound.tui.canvas.widget import Canvas
from asfound.tui.going import GoBack, ShowFound, ShowSpot
from asfound.tui.keys import Key, bindings_of
from asfound.tui.opening import OpenPictures
from asfound.tui.session import Session
from asfound.tui.terminal import likely_folder
from asfound.tui.widgets.ask_line import AskLine, Completer, folders_and_files
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
        Binding("a", "bring_in", "bring in photos", show=False),
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
    def opened(self) -> OpenPictures:
        return self.session.opened

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
        try:
            work()
        except AsfoundError as error:
            self.say(str(error))
            return False
        self.changed(words)
        return True

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
        self.reload()
        self.refresh_lines()
        self.say(words)

    def ask(
        self,
        question: str,
        answered: Callable[[str], None],
        *,
        words: str = "",
        complete: Completer | None = None,
        enter_words: str = "keeps it",
        refusal: str = "",
    ) -> None:
        """Ask for words in one line."""
        self.query_one(AskLine).ask(
            question,
            answered,
            words=words,
            complete=complete,
            enter_words=enter_words,
            refusal=refusal,
        )

    def action_bring_in(self) -> None:
        """Ask for the folder or card whose photos and clips are to be added."""
        if self.session.background.goes_on:
            self.say(BUSY)  # before a path is typed for nothing
            return
        self._ask_for_folder(likely_folder())

    def _ask_for_folder(self, begun: str, refusal: str = "") -> None:
        def answered(words: str) -> None:
            refusal = self.session.background.bring_in(words)
            if not refusal:
                self.say("Adding. You can go on working; x on the first screen stops it and keeps what is in.")
            elif refusal == BUSY:
                self.say(refusal)
            else:  # a long path with one letter wrong is put right, not typed anew
                self._ask_for_folder(words, refusal)

        self.ask(
            "Bring in",
            answered,
            words=begun,
            complete=folders_and_files,
            enter_words="adds the photos and clips of this folder",
            refusal=refusal,
        )

    @property
    def ask_is_open(self) -> bool:
        return self.query_one(AskLine).is_open

    # Everywhere the same

    def on_screen_suspend(self) -> None:
        self._was_said_here = False

    def on_screen_resume(self) -> None:
        if not self._was_said_here:
            self.say("")
        self.reload()
        self.refresh_lines()

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
            return
        name = end_words(entry)
        if entry.as_found is None and not entry.pins:
            self.show_missing(entry, name)
            return
        self.post_message(ShowFound(entry))

    def take_found(self, entry: FindEntry, words: str) -> bool:
        """Show the as-found picture of a tag end here; False on a screen that does not show one picture."""
        return False

    def show_missing(self, entry: FindEntry, name: str) -> None:
        """What can be done now for an end that no picture shows."""
        place = f" Its place: {entry.end.place}." if entry.end.place else ""
        sides = ends_of(self.archive, entry.tag.tag_id)
        other = next((one for one in sides if one.end.end != entry.end.end and one.pins), None)
        spot_id = entry.spot_id if entry.spot_id is not None else other.spot_id if other is not None else None
        if entry.state == "off":
            now = "It is off: if a picture of its spot shows it, pin it there."
        elif entry.state == "refitted":
            now = "It is back on: a new picture shows only how it was refitted."
        else:
            now = "Still in place: photograph it now, or pin it on a picture that shows it."
        if other is not None:
            words = f"{name} has no picture; this is its end {other.end.end}.{place} {now}"
            self.post_message(ShowFound(other, words))
        elif spot_id is not None:
            self.post_message(ShowSpot(spot_id, f"{name} has no picture.{place} {now}"))
        else:
            self.say(f"{name} has no picture.{place} {now}")

    def on_canvas_told(self, event: Canvas.Told) -> None:
        self.say(event.words)

    def action_back(self) -> None:
        self.post_message(GoBack())

    def undo_last(self) -> None:
        """Take the last step back and say what it was."""
        words = self.take_back()
        if words is not None:
            self.changed(f"Taken back: {words}. U brings it back.")
            self.settle()

    def take_back(self) -> str | None:
        """Take the last step back; None where that was refused, or has to be asked about and was not answered yet."""
        try:
            return undo(self.archive)[0]
        except AskFirst as asked:
            self.ask(f"{asked.question} Type yes to take it back:", self._take_back_surely, enter_words="answers")
        except AsfoundError as error:
            self.say(str(error))
        return None

    def _take_back_surely(self, said: str) -> None:
        if said.casefold() not in ("y", "yes"):
            self.say("Nothing was taken back.")
            return
        words = self.attempt(lambda: undo(self.archive, is_sure=True)[0])
        if words is not None:
            self.changed(f"Taken back: {words}. U brings it back.")
            self.settle()

    def redo_last(self) -> None:
        """Bring back what was taken back last and say what it was."""
        words = self.attempt(lambda: redo(self.archive)[0])
        if words is not None:
            self.changed(f"Brought back: {words}")
            self.settle()

    def settle(self) -> None:
        """Work out again, behind the screen, who belongs where and what pins carry, after a word was taken back."""
        self.in_background(self._settle, "settle")

    def _settle(self) -> None:
        if is_pending_but_for_new(self.archive):
            finish_pending(self.archive)
            self.post_message(self.Settled())

    def on_archive_screen_settled(self) -> None:
        self.reload()
        self.refresh_lines()


def not_found_words(words: str) -> str:
    """What to say, and to do, when nothing answers."""
    if words[:1].isdigit():
        return f"No tag begins with {words}. To make that tag, open a picture of it, type the number and press space."
    return f'Nothing matches "{words}". Try fewer words, or t for the list of all tags.'


def end_words(entry: FindEntry) -> str:
    """A tag end with its name: ``112 A fuel return hose``."""
    end = "" if entry.tag.ends == 1 else f" {entry.end.end}"
    return f"{entry.tag.number}{end} {entry.tag.name}".strip()
