"""Which picture is meant: a sheet to choose one from."""

from __future__ import annotations

from typing import ClassVar

from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ChoosePicture, GoBack
from asfound.tui.keys import Key
from asfound.tui.screens.pictures import PicturesScreen
from asfound.tui.widgets.contact_sheet import ContactSheet


class ChoosePictureScreen(PicturesScreen):
    ABOUT = "Choose a picture. Nothing changes before Enter, and u takes it back afterwards."
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key("h,j,k,l", "", "choose a picture", shown="arrows or h j k l"),
        Key("enter", "", "this one", "this one|choose"),
        Key("b", "behind", "show or hide the look-alikes behind others", "look-alikes"),
        Key("escape", "back", "leave everything as it is", shown="esc"),
    )

    def __init__(self, asked: ChoosePicture) -> None:
        super().__init__(asked.question, asked.picture_ids)
        self.asked = asked

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        event.prevent_default()  # the sheet of the class above would open it
        self.post_message(GoBack())
        self.asked.chosen(event.item.picture_id)


SCREEN = ScreenEntry("", "Choose a picture", ChoosePictureScreen, ChoosePictureScreen.ABOUT)
