"""The canvas: a picture that can be zoomed and panned, with a crosshair and numbered pins.

Loads the drawing modules (and with them NumPy and OpenCV) only when there is a picture to draw.
"""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING

from textual import events
from textual.binding import Binding
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import Label, PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.pacing import PATIENCE_S, QUESTION, Pacer
from asfound.tui.terminal import cell_aspect

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.output.cells.pyramid import Pyramid

ZOOM_STEP = 1.4
REFINE_AFTER_S = 0.2
SHARPNESS = (0.6, 1.0, 0.0)
SHARPNESS_WORDS = {0.6: "usual sharpness", 1.0: "sharpened: thin wires stand out", 0.0: "not sharpened"}


class Canvas(Widget, can_focus=True):
    """A picture drawn with characters.

    Attributes
    ----------
    crosshair : (float, float)
        In source pixels of the upright full-size picture. Pins are placed here.
    corner : (float, float) or None
        First corner of a box that is being drawn.
    box : (float, float, float, float) or None
        A finished box: two opposite corners.
    """

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

    class CrosshairMoved(Message):
        """The crosshair stands on another point of the picture."""

        def __init__(self, canvas: Canvas) -> None:
            self.canvas = canvas
            super().__init__()

        @property
        def control(self) -> Canvas:
            return self.canvas

    class ViewChanged(CrosshairMoved):
        """Another part of the picture is seen."""

    class BoxDrawn(CrosshairMoved):
        """A box has both its corners."""

    class PinClicked(CrosshairMoved):
        """A pin's number was clicked."""

        def __init__(self, canvas: Canvas, mark: PinMark) -> None:
            self.mark = mark
            super().__init__(canvas)

    class PinDragged(PinClicked):
        """A pin's number was dragged; the crosshair stands where it was let go."""

    class LookChosen(CrosshairMoved):
        """A person chose other colours for this terminal."""

    class CardWanted(Message):
        """A person wants to choose the characters that pictures are drawn with."""

    class Told(Message):
        """Something a person should read once."""

        def __init__(self, words: str) -> None:
            self.words = words
            super().__init__()

    def __init__(
        self,
        *,
        id: str | None = None,
        classes: str | None = None,
        with_crosshair: bool = True,
        plain: bool = False,
        aspect: float | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self.with_crosshair = with_crosshair
        self.plain = plain
        self.pacer = Pacer(on=False)
        self.view: View | None = None
        self.crosshair: tuple[float, float] = (0.0, 0.0)
        self.corner: tuple[float, float] | None = None
        self.box: tuple[float, float, float, float] | None = None
        self.marks: tuple[PinMark, ...] = ()
        self.labels: list[Label] = []
        self.glyphs = Glyphs.QUADRANTS
        self.colour = Colour.TRUE
        self.sharp = SHARPNESS[0]
        self.lifted = False
        self.waiting_words = "opening the picture ..."
        self.frames_drawn = 0
        self._aspect = aspect
        self._pyramid: Pyramid | None = None
        self._wanted: View | None = None
        self._picture_cells: Cells | None = None
        self._picture_key: tuple[object, ...] = ()
        self._cells: Cells | None = None
        self._strips: dict[int, Strip] = {}
        self._pressed_at: tuple[int, int] | None = None
        self._grabbed: PinMark | None = None
        self._dragged = False
        self._moved_at = 0.0
        self._asks_after_paint = False

    # What is shown

    def show(
        self,
        pyramid: Pyramid | None,
        size_px: tuple[float, float],
        *,
        view: View | None = None,
        at: tuple[float, float] | None = None,
    ) -> None:
        """Show another picture.

        Parameters
        ----------
        pyramid : Pyramid or None
            None while the picture is being opened; give it later to `improve`.
        size_px : (float, float)
            Width and height of the full picture.
        view : View, optional
            Where to look; the whole picture when left out. It is fitted to the canvas.
        at : (float, float), optional
            Where the crosshair goes; the middle of the view when left out.
        """
        self._pyramid = pyramid
        columns, rows = max(1, self.size.width), max(1, self.size.height)
        if view is None:
            view = View.fit(*size_px, columns, rows, self.aspect)
        self.crosshair = at or (view.centre_x, view.centre_y)
        self.corner = self.box = None
        self.marks = ()
        self._wanted = None
        self._set_view(view.resized(columns, rows, self.aspect))

    def improve(self, pyramid: Pyramid) -> None:
        """Give the same picture more detail, or its first pixels; the view stays."""
        self._pyramid = pyramid
        self._redraw_when_shown()

    def empty(self, words: str) -> None:
        """Show no picture but a line of text."""
        self._pyramid = None
        self.view = None
        self._picture_cells = self._cells = None
        self.waiting_words = words
        self._strips.clear()
        self.refresh()

    def set_marks(self, marks: Sequence[PinMark]) -> None:
        """The pins to draw."""
        self.marks = tuple(marks)
        self._redraw_marks()

    def look_at(self, view: View) -> None:
        """Look at another part of the picture, as soon as the terminal can take it."""
        view = view.clamp()
        self._moved_at = monotonic()
        if not self.pacer.may_draw(self._moved_at):
            self._wanted = view
            return
        self._wanted = None
        self._set_view(view)

    def put_crosshair(self, x: float, y: float, *, follow: bool = True) -> None:
        """Move the crosshair to a source pixel; the view follows when it nears the edge."""
        view = self.target
        if view is None:
            return
        x = min(max(x, 0.0), view.picture_w)
        y = min(max(y, 0.0), view.picture_h)
        self.crosshair = (x, y)
        followed = view.follow(x, y) if follow else view
        if followed != view:
            self.look_at(followed)
        else:
            self._redraw_marks()
        self.post_message(self.CrosshairMoved(self))

    @property
    def target(self) -> View | None:
        """The newest view asked for, drawn or not."""
        return self._wanted or self.view

    @property
    def aspect(self) -> float:
        if self._aspect is None:
            self._aspect = cell_aspect()
        return self._aspect

    @property
    def shown_colour(self) -> Colour:
        """The colours really drawn: NO_COLOR and terminals of 16 colours overrule the choice."""
        if self.app.no_color:
            return Colour.GREY
        if self.app.console.color_system == "standard":
            return Colour.SHADES
        return self.colour

    # Keys

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
        if self.view is None:
            return
        if self.corner is None:
            self.corner, self.box = self.crosshair, None
            self.post_message(self.Told("First corner. Move to the opposite one and press b again."))
        else:
            self.box = (*self.corner, *self.crosshair)
            self.corner = None
            self.post_message(self.BoxDrawn(self))
        self._redraw_marks()

    def clear_box(self) -> bool:
        """Forget the box or its first corner. True when there was one."""
        had = self.corner is not None or self.box is not None
        self.corner = self.box = None
        if had:
            self._redraw_marks()
        return had

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

    def draw_with(self, glyphs: Glyphs) -> None:
        """Draw with other characters from now on."""
        if glyphs is not self.glyphs:
            self.glyphs = glyphs
            self._redraw()

    # Mouse

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if event.button == 1 and self.view is not None:
            self._pressed_at = (event.x, event.y)
            self._grabbed = self._mark_at(event.x, event.y)
            self._dragged = False
            self.capture_mouse()
            event.stop()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        view = self.target
        if self._pressed_at is None or view is None:
            return
        across, down = self._pressed_at[0] - event.x, self._pressed_at[1] - event.y
        if across or down:
            if self.corner is not None and not self._dragged:
                self.corner = view.px_at(*self._pressed_at)
            self._dragged = True
            self._pressed_at = (event.x, event.y)
            if self.corner is not None or self._grabbed is not None:
                self.put_crosshair(*view.px_at(event.x, event.y), follow=False)
            else:
                self.look_at(view.pan(across, down))
        event.stop()

    def on_mouse_up(self, event: events.MouseUp) -> None:
        if self._pressed_at is None:
            return
        self._pressed_at = None
        self.release_mouse()
        event.stop()
        grabbed, self._grabbed = self._grabbed, None
        if self.view is None:
            return
        if self._dragged:
            if self.corner is not None:
                self.action_corner()
            elif grabbed is not None:
                self.post_message(self.PinDragged(self, grabbed))
        elif grabbed is not None:
            self.post_message(self.PinClicked(self, grabbed))
        elif self.with_crosshair:
            self.put_crosshair(*self.view.px_at(event.x, event.y), follow=False)

    def _mark_at(self, column: int, row: int) -> PinMark | None:
        """The pin whose number stands on a cell."""
        for label in reversed(self.labels):
            if label.row == row and label.column <= column < label.column + len(label.text):
                return label.mark
        return None

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, direction: int) -> None:
        view = self.target
        if view is not None:
            self.look_at(view.zoom(ZOOM_STEP**direction, *view.px_at(event.x, event.y)))
        event.stop()

    # Pacing

    def terminal_answered(self) -> None:
        """The terminal has shown the last frame: draw the newest view wanted since."""
        self.pacer.answered(monotonic())
        if self._wanted is not None:
            wanted, self._wanted = self._wanted, None
            self._set_view(wanted)

    def _ask_terminal(self) -> None:
        driver = self.app._driver
        if driver is None or not self.is_attached:
            return
        self.pacer.asked(monotonic())
        driver.write(QUESTION)
        self.set_timer(PATIENCE_S, self._give_up_waiting)

    def _give_up_waiting(self) -> None:
        if self._wanted is not None and self.pacer.may_draw(monotonic()):
            self.terminal_answered()

    # Drawing

    def on_resize(self, event: events.Resize) -> None:
        view = self.target
        if view is not None and event.size.width and event.size.height:
            self._wanted = None
            self._set_view(view.resized(event.size.width, event.size.height))
        else:
            self._strips.clear()

    def _set_view(self, view: View) -> None:
        changed = view != self.view
        self.view = view
        self._redraw()
        if changed:
            self.post_message(self.ViewChanged(self))

    def _redraw(self) -> None:
        self._picture_cells = None
        self._cells = None
        self._strips.clear()
        self.refresh()

    def _redraw_when_shown(self) -> None:
        """Draw the same view anew, but not while the terminal is still at the last frame."""
        if self.pacer.may_draw(monotonic()):
            self._redraw()
        else:
            self._wanted = self.target

    def _redraw_marks(self) -> None:
        """Draw the marks anew and repaint only the rows that changed."""
        before = self._cells
        if before is None or self._picture_cells is None:
            self.refresh()
            return
        self._cells = self._compose_cells()
        after = self._cells
        same = (
            (before.codes == after.codes).all(axis=1)
            & (before.ink == after.ink).all(axis=(1, 2))
            & (before.paper == after.paper).all(axis=(1, 2))
        )
        for row in (~same).nonzero()[0].tolist():
            self._strips.pop(row, None)
            self.refresh(Region(0, row, self.size.width, 1))

    def _is_coarse(self) -> bool:
        """Whether to draw quickly now and well a moment later."""
        return self.pacer.is_slow and monotonic() - self._moved_at < REFINE_AFTER_S

    def _compose_cells(self) -> Cells:
        from asfound.output.cells.blocks import Cells
        from asfound.output.cells.frame import draw_marks, draw_picture

        assert self.view is not None
        assert self._pyramid is not None
        if self._picture_cells is None:
            coarse = self._is_coarse()
            glyphs = Glyphs.HALVES if coarse else self.glyphs
            self._picture_cells = draw_picture(
                self._pyramid, self.view, glyphs=glyphs, sharp=self.sharp, lifted=self.lifted
            )
            if coarse:
                self._picture_cells.ink &= 0xF8
                self._picture_cells.paper &= 0xF8
                self.set_timer(REFINE_AFTER_S, self._refine)
            self.frames_drawn += 1
            self._asks_after_paint = self.pacer.on
        picture = self._picture_cells
        cells = Cells(picture.codes.copy(), picture.ink.copy(), picture.paper.copy())
        outline = self.box or ((*self.corner, *self.crosshair) if self.corner is not None else None)
        crosshair = self.crosshair if self.with_crosshair else None
        self.labels = draw_marks(cells, self.view, self.marks, crosshair=crosshair, outline=outline)
        return cells

    def _refine(self) -> None:
        if not self._is_coarse():
            self._redraw_when_shown()

    def render_lines(self, crop: Region) -> list[Strip]:
        strips = [self.render_line(row) for row in range(crop.y, crop.bottom)]
        if self._asks_after_paint:
            self._asks_after_paint = False
            self.call_after_refresh(self._ask_terminal)
        if crop.x or crop.width < self.size.width:
            return [strip.crop(crop.x, crop.right) for strip in strips]
        return strips

    def render_line(self, y: int) -> Strip:
        if self.view is None or self._pyramid is None or (self.view.columns, self.view.rows) != tuple(self.size):
            return self._waiting_line(y)
        strip = self._strips.get(y)
        if strip is None:
            from asfound.tui.canvas.strip import CellStrip, plain_strip

            if self._cells is None:
                self._cells = self._compose_cells()
            make = plain_strip if self.plain else CellStrip
            strip = self._strips[y] = make(self._cells, y, self.shown_colour)
        return strip

    def _waiting_line(self, y: int) -> Strip:
        width = self.size.width
        style = self.visual_style.rich_style
        if y != self.size.height // 2:
            return Strip.blank(width, style)
        from rich.segment import Segment

        return Strip([Segment(self.waiting_words[:width].center(width), style)], width)
