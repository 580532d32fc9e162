"""The walk round: what to photograph before anything comes off, and what answers it."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions import walk_round
from asfound.actions.known import known_pictures
from asfound.actions.walk_round import WalkLine, list_walk
from asfound.model.walk import WalkState
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ChoosePicture, ShowPicture
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList

MARKS: dict[WalkState, str] = {"pictured": "✓", "not here": "-", "open": "□", "late": "!", "lost": "!"}
WORDS: dict[WalkState, str] = {
    "open": "no picture yet",
    "lost": "not photographed before lift out",
    "late": "only after lift out",
}


class WalkScreen(ListScreen):
    ABOUT = (
        "What to photograph before anything comes off. □ can still be photographed until lift out, ! no longer can, "
        "✓ has a picture, - is not here. Enter names the picture that shows a row."
    )
    KEYS = (
        Key("enter", "", "name a picture that shows it", "picture"),
        Key("v", "show", "look at its picture", "look"),
        Key("x", "not_here", "this machine has no such thing, or it cannot be photographed; asks why", "not here"),
        Key("r", "again", "take the answer away; an item of your own leaves the list", "open again|again"),
        Key("a", "add", "put an item of your own on the list", "add an item|add"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 3

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("", 1), Column("Photograph", 18), Column("Answer", 12, share=1)],
            empty="The walk round was answered as a whole. asfound gaps --answered lists why.",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        left = sum(line.standing.state == "open" for line in self.entries)
        return f"Walk round: {left} of {len(self.entries)} open" if left else "Walk round"

    def reload(self) -> None:
        self.entries = list_walk(self.archive)
        self.list_rows.set_rows(
            [
                Row(line.item.name, (MARKS[line.standing.state], line.item.name, answer_words(line)))
                for line in self.entries
            ]
        )

    @property
    def chosen(self) -> WalkLine | None:
        return self.chosen_of(self.entries, lambda line: line.item.name)

    def detail(self) -> str:
        line = self.chosen
        if line is None:
            return ""
        until = " It can still be photographed until lift out." if line.standing.state == "open" else ""
        return ": ".join(filter(None, (line.item.name, line.item.look_for))) + f".{until}"

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        line = self.chosen
        if line is None:
            return
        pictures = tuple(known_pictures(self.archive))
        if not pictures:
            self.say("This job holds no pictures yet. Photograph it, then press a on the first screen to add them.")
            return

        def chosen(picture_id: int) -> None:
            picture = known_pictures(self.archive)[picture_id]
            odd = self.attempt(lambda: walk_round.answer_by(self.archive, line.item, [picture]))
            if odd is not None:
                self.changed(f"{line.item.name}: {odd or f'{picture.file}.'} u takes it back.")

        self.post_message(ChoosePicture(f"Which picture shows: {line.item.name}", pictures, chosen))

    def action_show(self) -> None:
        line = self.chosen
        if line is not None and line.pictures:
            self.post_message(ShowPicture(line.pictures[0].picture_id, tuple(one.picture_id for one in line.pictures)))
        elif line is not None:
            self.say(f"No picture is named for {line.item.name}; enter names one.")

    def action_not_here(self) -> None:
        line = self.chosen
        if line is None:
            return

        def answered(reason: str) -> None:
            said = f"{line.item.name}: not here, {reason}. u takes it back."
            self.act(lambda: walk_round.say_not_here(self.archive, line.item, reason), said)

        self.ask(f"{line.item.name}: why is it not here", answered, words=line.not_here)

    def action_again(self) -> None:
        line = self.chosen
        if line is None:
            return
        if line.item.is_own:
            self.act(
                lambda: walk_round.drop_item(self.archive, line.item),
                f"{line.item.name} is off the list. u takes it back.",
            )
        else:
            self.act(
                lambda: walk_round.open_again(self.archive, line.item),
                f"{line.item.name} is open again. u takes it back.",
            )

    def action_add(self) -> None:
        def answered(name: str) -> None:
            self.act(lambda: walk_round.add_item(self.archive, name), f"{name} is on the walk round. u takes it back.")

        self.ask("What else to photograph", answered)


def answer_words(line: WalkLine) -> str:
    """What answers an item, in words."""
    if line.standing.state == "not here":
        return f"not here: {line.not_here}"
    files = ", ".join(line.standing.files)
    return ", ".join(filter(None, (files, WORDS.get(line.standing.state, ""))))


SCREEN = ScreenEntry("W", "Walk round", WalkScreen, WalkScreen.ABOUT, more_keys=("f9",))
