"""The canvas: a picture that can be zoomed and panned, with a crosshair and numbered pins.

Loads the drawing modules (and with them NumPy and OpenCV) only when there is a picture to draw.
"""

from __future__ import annotations

from typing import TypeAlias

from textual.binding import Binding

from asfound.output.cells.view import View
from asfound.tui.canvas import messages
from asfound.tui.canvas.mouse import ZOOM_STEP, MousePicture
from asfound.tui.canvas.painted import SHARPNESS

SHARPNESS_WORDS = {0.6: "usual sharpness", 1.0: "sharpened: thin wires stand out", 0.0: "not sharpened"}


class Canvas(MousePicture, can_focus=True):
    """A picture drawn with characters, in hand by keys and mouse."""

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; background: #161616; }"
    ALLOW_SELECT = False

    BINDINGS = [
        Binding("left,h", "step(-1, 0)", "left", show=False),
        Binding("right,l", "step(1, 0)", "right", show=False),
        Binding("up,k", "step(0, -1)", "up", show=False),
        Binding("down,j", "step(0, 1)", "down", show=False),
        Binding("H,shift+left", "step(-8, 0)", "far left", show=False),
        Binding("L,shift+right", "step(8, 0)", "far right", show=False),
        Binding("K,shift+up", "step(0, -4)", "far up", show=False),
        Binding("J,shift+down", "step(0, 4)", "far down", show=False),
        Binding("plus,equals_sign", "zoom(1)", "closer", show=False),
        Binding("minus,underscore", "zoom(-1)", "wider", show=False),
        Binding("w", "whole", "whole picture", show=False),
        Binding("z", "read_here", "read here", show=False),
        Binding("b", "corner", "box corner", show=False),
        Binding("S", "sharpen", "sharpen", show=False),
        Binding("V", "lift", "lift shadows", show=False),
        Binding("c", "colours", "colours", show=False),
        Binding("C", "glyphs", "characters", show=False),
    ]
    KEY_WORDS = {
        "arrows or h j k l": "move the crosshair; with shift (or capital letters) far",
        "+ -": "zoom about the crosshair",
        "w": "the whole picture",
        "z": "close enough to read a number",
        "b": "corner of a box, twice",
        "S": "sharpen: usual, strong, off",
        "V": "lift the shadows",
        "c": "colours: true, 256, grey",
        "C": "characters: choose what this terminal draws best",
        "mouse": "click puts the crosshair, drag pans, the wheel zooms; drag a pin's number to move the pin; "
        "after b, drag draws the box",
    }

    CrosshairMoved: TypeAlias = messages.CrosshairMoved
    ViewChanged: TypeAlias = messages.ViewChanged
    BoxDrawn: TypeAlias = messages.BoxDrawn
    PinClicked: TypeAlias = messages.PinClicked
    PinDragged: TypeAlias = messages.PinDragged
    LookChosen: TypeAlias = messages.LookChosen
    CardWanted: TypeAlias = messages.CardWanted
    Told: TypeAlias = messages.Told

    def action_step(self, columns: int, rows: int) -> None:
        view = self.target
        if view is None:
            return
        column, row = view.cell_at(*self.crosshair)
        if not self.with_crosshair:
            self.look_at(view.pan(columns * 4, rows * 2))
            return
        self.put_crosshair(*view.px_at(column + columns, row + rows))

    def action_zoom(self, direction: int) -> None:
        view = self.target
        if view is not None:
            about = self.crosshair if self.with_crosshair else (view.centre_x, view.centre_y)
            self.look_at(view.zoom(ZOOM_STEP**direction, *about))

    def action_whole(self) -> None:
        view = self.target
        if view is not None:
            self.look_at(View.fit(view.picture_w, view.picture_h, view.columns, view.rows, view.aspect))

    def action_read_here(self) -> None:
        view = self.target
        if view is not None:
            self.look_at(view.reading(*self.crosshair))

    def action_corner(self) -> None:
        self.put_corner()

    def action_sharpen(self) -> None:
        self.sharp = SHARPNESS[(SHARPNESS.index(self.sharp) + 1) % len(SHARPNESS)]
        self.post_message(self.Told(f"Picture {SHARPNESS_WORDS[self.sharp]}."))
        self._redraw()

    def action_lift(self) -> None:
        self.lifted = not self.lifted
        self.post_message(self.Told("Shadows lifted." if self.lifted else "Shadows as taken."))
        self._redraw()

    def action_colours(self) -> None:
        self.colour = self.colour.after()
        self.post_message(self.Told(f"Colours: {self.shown_colour}."))
        self.post_message(self.LookChosen(self))
        self._redraw()

    def action_glyphs(self) -> None:
        self.post_message(self.CardWanted())
