"""What a canvas tells the screen it stands on; handlers are named by the canvas: ``on_canvas_told``."""

from __future__ import annotations

from textual.message import Message
from textual.widget import Widget

from asfound.output.cells.colour import Colour
from asfound.output.cells.labels import PinMark


class CrosshairMoved(Message, namespace="canvas"):
    """The crosshair stands on another point of the picture."""

    def __init__(self, canvas: Widget) -> None:
        self.canvas = canvas
        super().__init__()

    @property
    def control(self) -> Widget:
        """The canvas, for handlers that are of one canvas only."""
        return self.canvas


class ViewChanged(CrosshairMoved, namespace="canvas"):
    """Another part of the picture is seen."""


class BoxDrawn(CrosshairMoved, namespace="canvas"):
    """A box has both its corners."""


class PinClicked(CrosshairMoved, namespace="canvas"):
    """A pin's number was clicked."""

    def __init__(self, canvas: Widget, mark: PinMark) -> None:
        self.mark = mark
        super().__init__(canvas)


class PinDragged(PinClicked, namespace="canvas"):
    """A pin's number was dragged; the crosshair stands where it was let go."""


class ColourChosen(Message, namespace="canvas"):
    """A person chose other colours for this terminal."""

    def __init__(self, colour: Colour) -> None:
        self.colour = colour
        super().__init__()


class CharactersWanted(Message, namespace="canvas"):
    """A person wants to choose the characters that pictures are drawn with."""


class Told(Message, namespace="canvas"):
    """Something a person should read once."""

    def __init__(self, words: str) -> None:
        self.words = words
        super().__init__()
