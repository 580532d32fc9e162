"""A tag written down on one screen: every field, both ends, or all of it as one line."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping

from textual.app import ComposeResult
from textual.widgets import Static

from asfound.actions import settings, tag_form
from asfound.actions.known import known_tags
from asfound.actions.resolve import find_only_tag
from asfound.actions.tag_form import SavedForm
from asfound.core.log.tag_fields import BY_KEY, TAG_FIELDS, WIDE
from asfound.errors import Ambiguous, AsfoundError, AskFirst
from asfound.model.tags import Tag
from asfound.tui.base import ArchiveScreen
from asfound.tui.cards import label_of
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import GoBack
from asfound.tui.keys import Key
from asfound.tui.widgets.form_sheet import FormSheet
from asfound.tui.widgets.key_line import Hint, KeyLine
from asfound.tui.words import fit_words

DRAFT = "tag left unfinished"
HELP = Hint("f1", "f1", "help")


class TagEntryScreen(ArchiveScreen):
    ABOUT = (
        "What a number is on, field by field. Tab goes to the next field, Enter keeps all and goes on to the next "
        "number. Only the number is needed. All of it can be typed as one line in the first field: "
        "17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK. "
        "Words that this job uses already are offered below; → takes one."
    )
    KEYS = (
        Key("enter", "", "keep it; the next number", "keep it"),
        Key("tab", "", "next field (shift+tab: the one before); after a line: spread it over the fields", "next field"),
        Key("right", "", "take the word that is offered", "take it"),
        Key("down,up", "", "choose among the offered words", "choose", shown="↓ ↑"),
        Key("ctrl+z", "app.undo", "take the last step back (letters are typed here, so u is one)", "undo"),
        Key("ctrl+n", "another", "number in use: make another thing with the same number", "another"),
        Key("ctrl+l", "empty", "empty all fields", "empty"),
        Key("escape", "back", "leave; unfinished work is kept", shown="esc"),
        Key("f1,ctrl+g", "app.help", "this help", shown="f1"),
    )
    AUTO_FOCUS = "FormSheet TextField"
    FINDS_BY_NUMBER = False
    DEFAULT_CSS = """
    TagEntryScreen > #offers { height: 1; padding: 0 1; background: $panel-darken-1; color: $text; }
    """

    def __init__(self, tag_id: int | None = None, *, at: str = "kind") -> None:
        super().__init__()
        self._at = at
        self.tag_id = tag_id
        """The thing whose screen this was opened from; None while new ones are written down."""
        self.before: dict[str, str] = {}
        """What stood in the fields of the thing the number names."""
        self.is_another = False
        self._is_leaving = False
        self._asked_of: dict[str, str] = {}
        """What was to be written over words that stand; Enter once more says that it is meant."""

    def body(self) -> ComposeResult:
        yield FormSheet(TAG_FIELDS, wide=WIDE)
        yield Static(id="offers", markup=False)

    def on_mount(self) -> None:
        self.query_one(KeyLine).help = HELP
        self.sheet.use(tag_form.words_in_use(self.archive))
        if self.tag_id is not None:
            self.before = tag_form.read_form(self.archive, known_tags(self.archive)[self.tag_id])
            self.sheet.fill(self.before, at=self._at)
            return
        draft = json.loads(settings.remembered(self.archive, DRAFT) or "{}")
        if draft:
            self.sheet.fill({key: str(text) for key, text in draft.items() if key in BY_KEY})
            self.call_after_refresh(self.say, "This was left unfinished. Enter keeps it, ctrl+l empties it.")
        else:
            self._start_next(tag_form.next_number(self.archive))

    @property
    def sheet(self) -> FormSheet:
        return self.query_one(FormSheet)

    @property
    def changed_texts(self) -> dict[str, str]:
        """What differs from what stood in the fields, the number left out."""
        texts = {key: text.strip() for key, text in self.sheet.texts.items() if key != "number"}
        return {key: text for key, text in texts.items() if text != self.before.get(key, "")}

    @property
    def _tag(self) -> Tag | None:
        return None if self.tag_id is None else known_tags(self.archive)[self.tag_id]

    # What is shown around it

    def where(self) -> str:
        number = self.sheet.texts.get("number", "").strip()
        if self.tag_id is not None:
            return f"Tag {number}: edit"
        known = self.before and not self.is_another
        return f"Edit tag {number}" if known else "Another thing with this number" if self.is_another else "New tag"

    def words_of_key(self, key: Key) -> str | None:
        sheet, is_new = self.sheet, self.tag_id is None
        lacking = {"right": not sheet.taken, "down,up": not sheet.offered, "ctrl+n": not is_new, "ctrl+l": not is_new}
        if lacking.get(key.keys):
            return None
        return "keep, next" if key.keys == "enter" and is_new else key.short

    def on_form_sheet_edited(self) -> None:
        self._is_leaving = False
        self.refresh_lines()
        sheet = self.sheet
        offered = [f"▸{word}" if index == sheet.form.chosen else word for index, word in enumerate(sheet.offered)]
        words = "   ".join(offered) or sheet.field.hint
        width = max(1, self.app.size.width - 2)
        self.query_one("#offers", Static).update(fit_words(words, width).rstrip())

    # Filling in

    def _start_next(self, number: str) -> None:
        self.before, self.is_another = {}, False
        self.sheet.use(tag_form.words_in_use(self.archive))
        self.sheet.fill({"number": number})

    def on_form_sheet_left(self, event: FormSheet.Left) -> None:
        if event.key == "number" and self.tag_id is None:
            self._look_at_number()
        self._keep_draft()

    def _look_at_number(self) -> None:
        """Spread a line over the fields, or show what is known of the number already."""
        number = self.sheet.texts.get("number", "").strip()
        if " " in number:
            texts = self.attempt(lambda: tag_form.read_line(self.archive, number))
            if texts is None:
                return
            number = texts["number"]
            self.sheet.texts = {**self.sheet.texts, **texts}
            self.say("Check what was read. What was not understood is in the note.")
        self._meet(number)

    def _meet(self, number: str) -> None:
        """Lay what was typed over what is known of this number."""
        typed = self.changed_texts
        known = None if self.is_another else find_only_tag(self.archive, number)
        self.before = {} if known is None else tag_form.read_form(self.archive, known)
        self.sheet.texts = {**self.before, **typed, "number": number}
        self.refresh_lines()
        if known is not None:
            self.say(f"{number} is known: this edits it. ctrl+n makes another thing with this number.")

    def action_another(self) -> None:
        if self.tag_id is not None:
            return
        typed = self.changed_texts
        self.is_another, self.before = not self.is_another, {}
        self.sheet.texts = {**typed, "number": self.sheet.texts.get("number", "")}
        self.say("Saved as another thing with this number." if self.is_another else "")
        if not self.is_another:
            self._look_at_number()
        self.refresh_lines()

    def action_empty(self) -> None:
        if self.tag_id is None:
            settings.remember(self.archive, DRAFT, "")
            self._start_next(tag_form.next_number(self.archive))
            self.say("")

    # Keeping

    def on_form_sheet_entered(self) -> None:
        number = self.sheet.texts.get("number", "").strip()
        if " " in number and self.tag_id is None:
            self._look_at_number()
            number = self.sheet.texts.get("number", "").strip()
        # Only what was changed goes: an empty field takes nothing away from a thing that was not looked at.
        texts = {**self.changed_texts, "number": number}
        is_sure, self._asked_of = self._asked_of == texts and not self.session.is_held("enter"), {}
        try:
            saved = tag_form.save_form(self.archive, texts, tag=self._tag, is_another=self.is_another, is_sure=is_sure)
        except AskFirst as asked:
            self._asked_of = texts
            self.session.is_held("enter")
            self.say(f"{asked.question} Enter once more changes it; ctrl+n: another thing with this number.")
            return
        except Ambiguous as error:
            self.say(f"{error} ctrl+n writes down another.")
            return
        except AsfoundError as error:
            self.say(str(error))
            return
        words = saved_words(saved, label_of(self.archive, saved.tag.tag_id), texts)
        if self.tag_id is not None:
            # No field stands on the screen below, so the letter is the key again.
            self.post_message(GoBack(f"{words} u takes it back."))
            return
        settings.remember(self.archive, DRAFT, "")
        self._start_next(tag_form.next_number(self.archive, number))
        self.say(f"{words} ctrl+z takes it back.")

    def _keep_draft(self) -> None:
        """Keep what is unfinished, so that a dropped line loses nothing."""
        if self.tag_id is None:
            unfinished = {**self.changed_texts, "number": self.sheet.texts.get("number", "")}
            settings.remember(self.archive, DRAFT, json.dumps(unfinished) if self.changed_texts else "")

    def coming_back(self) -> Callable[[], None]:
        """The number that is free again is offered."""

        def offer() -> None:
            if self.tag_id is None and not self.changed_texts:
                self._start_next(tag_form.next_number(self.archive))

        return offer

    def action_back(self) -> None:
        changed = len(self.changed_texts)
        if self.tag_id is not None and changed and not self._is_leaving:
            self._is_leaving = True
            self.say(
                f"Not kept yet: {changed} field{'s' * (changed > 1)}. Enter keeps them, esc once more leaves them."
            )
            return
        self._keep_draft()
        is_unfinished = self.tag_id is None and bool(changed)
        self.post_message(GoBack("The unfinished tag is kept; w goes on with it." if is_unfinished else ""))


def saved_words(saved: SavedForm, label: str, texts: Mapping[str, str]) -> str:
    """What was kept, told back field by field; what has to be asked back comes first."""
    fields = [
        f"{BY_KEY[key].end or ''} {BY_KEY[key].title.lower()} {text}".strip() for key, text in texts.items() if text
    ]
    told = " ".join(dict.fromkeys(saved.told))
    kept = f"{'New' if saved.is_new else 'Kept'}: {label}; {', '.join(fields[:-1])}".rstrip("; ")
    return f"{told} {kept}.".strip()


SCREEN = ScreenEntry("w", "Write a tag", TagEntryScreen, TagEntryScreen.ABOUT, more_keys=("f2",), is_over=True)
