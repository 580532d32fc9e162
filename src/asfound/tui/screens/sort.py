"""The sort queue: what the machine proposes, one after another; a key answers each."""

from __future__ import annotations

from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.service import FindEntry
from asfound.tui.sort_answers import SortAnswers
from asfound.tui.sort_items import PairProposal, SpotProposal
from asfound.tui.sort_queue import NumberQuestion, PinsQuestion, SheetQuestion
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.words import split_number


class SortScreen(SortAnswers):
    ABOUT = (
        "What the machine proposes, one after another. Enter says yes. A number tags the chosen picture. "
        "Nothing has to be answered: space leaves it for later."
    )
    KEY_WORDS = {
        "enter": "yes, that is right: the spot, the pair, all pins; of look-alikes the chosen one goes in front",
        "n": "no: the chosen picture belongs elsewhere, not a pair, the marked pin is wrong, look-alikes all shown",
        "y": "yes to the marked pin alone; where no pin is asked about the same as enter",
        "tab": "marks the next pin",
        "A B": "that end it is, where a number was read and the end is asked; capitals, so that no thumb says it",
        "space": "later; of what is doubtful, all at once",
        "backspace": "back to what was left for later last",
        "a": "accepts all pins and pairs that are sure enough, or all bursts, in one step",
        "%": "how sure is sure enough",
        "number, enter": "tags the picture; the box says which end, tab changes it",
        "number, space": "shows how that number was instead",
        "r": "calls the spot something",
        "f": "the chosen picture does not belong: another spot, a new one, none",
        "x": "flips before and after; for a pin or a number, shows where it is pinned and back",
        "v": "opens the picture large, to pin on it",
        "u": "takes the last step back",
    }
    BINDINGS = [
        Binding("enter", "accept", "yes", show=False, priority=True),
        Binding("n", "reject", "no", show=False),
        Binding("y", "accept_one", "yes to this pin", show=False),
        Binding("tab", "mark_next(1)", "next pin", show=False, priority=True),
        Binding("shift+tab", "mark_next(-1)", "pin before", show=False, priority=True),
        Binding("A", "say_end('A')", "it is end A", show=False),
        Binding("B", "say_end('B')", "it is end B", show=False),
        Binding("space", "later", "later", show=False),
        Binding("backspace", "back_to_left", "back to the one left", show=False),
        Binding("a", "accept_sure", "accept the sure ones", show=False),
        Binding("percent_sign", "set_sure", "how sure", show=False),
        Binding("r", "name", "name", show=False),
        Binding("f", "elsewhere", "belongs elsewhere", show=False),
        Binding("x", "flip", "flip", show=False),
        Binding("v", "large", "large", show=False),
    ]

    # Looking

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter and Tab belong to the number box and the question line while open; A and B only answer which end."""
        if action in ("accept", "mark_next") and self.is_mounted:
            return not (self.number_box.is_open or self.ask_is_open)
        if action == "say_end" and self.is_mounted:
            return isinstance(self.question, NumberQuestion)
        return True

    def action_mark_next(self, by: int) -> None:
        question = self.question
        if isinstance(question, PinsQuestion):
            self.marked = (self.marked + by) % len(question.entries)
            self.after_in_front = False
            self.show_question()

    def action_flip(self) -> None:
        if self.mark is not None and self.held_against(self.mark) is None:
            self.say("No other picture of it is pinned.")
        elif isinstance(self.question, PairProposal | PinsQuestion | NumberQuestion):
            self.after_in_front = not self.after_in_front
            self.show_question()

    def action_large(self) -> None:
        if self.picture_id is None:
            return
        question = self.question
        among = self.ids_on_sheet(question) if isinstance(question, SheetQuestion) else ()
        self.archive_app.show_picture(self.picture_id, among)

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        self.action_large()

    # Numbers tag the picture here

    def open_number_box(self, words: str) -> None:
        if self.picture_id is None:
            super().open_number_box(words)
            return
        self.number_box.open(
            words,
            find=self.service.find,
            title="Tag",
            enter_words="tags this picture {}",
            space_words="shows {}",
            pins=("enter",),
        )

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        picture_id = self.picture_id
        if by_space or picture_id is None or self.number_box.title != "Tag":
            self.show_found(words, entry)
            return
        number, end = split_number(words)
        made = self.attempt(lambda: self.service.tag_picture(picture_id, number, end))
        if made is not None:
            self.changed(f"Picture tagged {made.number} {made.pin.end}. u takes it back.")
            if isinstance(self.question, SpotProposal):
                self.query_one(ContactSheet).action_move(1, 0)


SCREEN = ScreenEntry("i", "Sort", SortScreen, SortScreen.ABOUT)
