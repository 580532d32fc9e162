"""The canvas: a picture that can be zoomed and panned, with a crosshair and numbered pins.

It joins two parts that need no screen: the `Painter`, which knows what is drawn and when, and the `MouseHand`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeAlias

from rich.segment import Segment
from textual import events
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas import keys, messages
from asfound.tui.canvas.mouse import MouseHand
from asfound.tui.canvas.pacing import QUESTION
from asfound.tui.canvas.painter import Painter, PaintHooks
from asfound.tui.canvas.pointer import Box, Point, Pointer
from asfound.tui.keys import bindings_of
from asfound.tui.terminal import cell_aspect
from asfound.tui.toolkit_insides import write_to_terminal

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

ZOOM_STEP = 1.4


class Canvas(Widget, can_focus=True):
    """A picture drawn with characters, in hand by keys and mouse, no faster than the terminal shows it.

    Parameters
    ----------
    with_crosshair : bool
        Whether a point on the picture can be chosen; without, the keys that move the crosshair pan.
    plain : bool
        Draw with the toolkit's own strips, ten times slower; to check ours against.
    aspect : float, optional
        Height of a cell over its width; what the terminal says when left out.
    """

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; background: #161616; }"
    ALLOW_SELECT = False
    KEYS = keys.KEYS
    BINDINGS = [*bindings_of(keys.KEYS)]

    CrosshairMoved: TypeAlias = messages.CrosshairMoved
    ViewChanged: TypeAlias = messages.ViewChanged
    BoxDrawn: TypeAlias = messages.BoxDrawn
    PinClicked: TypeAlias = messages.PinClicked
    PinDragged: TypeAlias = messages.PinDragged
    ColourChosen: TypeAlias = messages.ColourChosen
    CharactersWanted: TypeAlias = messages.CharactersWanted
    Told: TypeAlias = messages.Told

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
        self.aspect = aspect if aspect is not None else cell_aspect()
        hooks = PaintHooks(self._repaint, self.set_timer, self._tell_view)
        self.painter = Painter(hooks, with_crosshair=with_crosshair, plain=plain)
        self._mouse = MouseHand(self)
        self._waiting_words = "opening the picture ..."

    # What is shown

    @property
    def view(self) -> View | None:
        """The part of the picture that was drawn last; None while there is no picture."""
        return self.painter.views.shown

    @property
    def target(self) -> View | None:
        """The newest view asked for, drawn or not."""
        return self.painter.views.target

    @property
    def pointer(self) -> Pointer:
        """Crosshair and box."""
        return self.painter.pointer

    @property
    def with_crosshair(self) -> bool:
        """Whether a point on the picture can be chosen; otherwise the keys of the crosshair pan."""
        return self.painter.with_crosshair

    @property
    def crosshair(self) -> Point:
        """Where pins are placed, in pixels of the upright full-size picture."""
        return self.pointer.crosshair

    @property
    def box(self) -> Box | None:
        """Two opposite corners of a finished box, in the same pixels."""
        return self.pointer.box

    @property
    def marks(self) -> tuple[PinMark, ...]:
        return self.painter.marks

    @property
    def glyphs(self) -> Glyphs:
        return self.painter.look.glyphs

    def show(
        self,
        pyramid: Pyramid | None,
        size_px: tuple[float, float],
        *,
        view: View | None = None,
        at: Point | None = None,
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
        self.painter.pyramid = pyramid
        columns, rows = max(1, self.size.width), max(1, self.size.height)
        if view is None:
            view = View.fit(*size_px, columns, rows, self.aspect)
        self.painter.pointer = Pointer(at or (view.centre_x, view.centre_y))
        self.painter.marks = ()
        self.painter.show(view.resized(columns, rows, self.aspect))

    def improve(self, pyramid: Pyramid) -> None:
        """Give the same picture more detail, or its first pixels; the view stays."""
        self.painter.pyramid = pyramid
        self.painter.improve()

    def empty(self, words: str) -> None:
        """Show no picture but a line of text."""
        self.painter.pyramid = None
        self._waiting_words = words
        self.painter.show(None)

    def set_marks(self, marks: Sequence[PinMark]) -> None:
        """Draw these pins."""
        self.painter.marks = tuple(marks)
        self.painter.redraw_marks()

    def draw_with(self, *, glyphs: Glyphs | None = None, colour: Colour | None = None) -> None:
        """Draw with other characters or colours from now on."""
        if self.painter.look.take(glyphs, colour):
            self.painter.redraw()

    def look_at(self, view: View) -> None:
        """Look at another part of the picture, as soon as the terminal can take it."""
        self.painter.look_at(view)

    def terminal_answered(self) -> None:
        """The terminal has shown the last frame: draw the newest view wanted since."""
        self.painter.answered()

    # Pointing

    def put_crosshair(self, x: float, y: float, *, follow: bool = True) -> None:
        """Move the crosshair to a pixel of the full picture; the view follows when it nears the edge."""
        view = self.target
        if view is None:
            return
        self.pointer.put(x, y, view)
        followed = view.follow(*self.crosshair) if follow else view
        if followed != view:
            self.look_at(followed)
        else:
            self.painter.redraw_marks()
        self.post_message(self.CrosshairMoved(self))

    def put_corner(self) -> None:
        """Put the first corner of a box where the crosshair stands, or the second, which ends it."""
        if self.view is None:
            return
        if self.pointer.put_corner():
            self.post_message(self.BoxDrawn(self))
        else:
            self.post_message(self.Told("First corner. Move to the opposite one and press b again."))
        self.painter.redraw_marks()

    def clear_box(self) -> bool:
        """Forget the box or its first corner. True when there was one."""
        had = self.pointer.clear_box()
        if had:
            self.painter.redraw_marks()
        return had

    # Painting

    def _repaint(self, rows: Sequence[int] | None) -> None:
        if rows is None:
            self.refresh()
        for row in rows or ():
            self.refresh(Region(0, row, self.size.width, 1))

    def _tell_view(self) -> None:
        self.post_message(self.ViewChanged(self))

    def on_resize(self, event: events.Resize) -> None:
        view = self.target
        if view is not None and event.size.width and event.size.height:
            self.painter.show(view.resized(event.size.width, event.size.height))
        else:
            self.painter.drawing.forget()

    def render_lines(self, crop: Region) -> list[Strip]:
        strips = [self.render_line(row) for row in range(crop.y, crop.bottom)]
        if self.painter.take_question():
            self.call_after_refresh(self._ask_terminal)
        is_cut = crop.x or crop.width < self.size.width
        return [strip.crop(crop.x, crop.right) for strip in strips] if is_cut else strips

    def _ask_terminal(self) -> None:
        if self.is_attached and write_to_terminal(self.app, QUESTION):
            self.painter.asked()

    def render_line(self, y: int) -> Strip:
        return self.painter.strip(y, self.size, self._shown_colour) or self._waiting_line(y)

    @property
    def _shown_colour(self) -> Colour:
        look, app = self.painter.look, self.app
        return look.shown_colour(no_color=app.no_color, system=app.console.color_system)

    def _waiting_line(self, y: int) -> Strip:
        width, style = self.size.width, self.visual_style.rich_style
        words = self._waiting_words[:width] if y == self.size.height // 2 else ""
        return Strip([Segment(words.center(width), style)], width)

    # Keys

    def action_step(self, columns: int, rows: int) -> None:
        view = self.target
        if view is None:
            return
        if not self.with_crosshair:
            self.look_at(view.pan(columns * 4, rows * 2))
            return
        column, row = view.cell_at(*self.crosshair)
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
        self.post_message(self.Told(self.painter.look.sharpen()))
        self.painter.redraw()

    def action_lift(self) -> None:
        self.post_message(self.Told(self.painter.look.lift()))
        self.painter.redraw()

    def action_colours(self) -> None:
        colour = self.painter.look.colour.after()
        self.draw_with(colour=colour)
        self.post_message(self.Told(f"Colours: {self._shown_colour}."))
        self.post_message(self.ColourChosen(colour))

    def action_glyphs(self) -> None:
        self.post_message(self.CharactersWanted())

    # Mouse

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if event.button == 1 and self.view is not None:
            self._mouse.press((event.x, event.y), self.painter.drawing.mark_at(event.x, event.y))
            self.capture_mouse()
            event.stop()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        if self._mouse.is_down:
            self._mouse.move((event.x, event.y))
            event.stop()

    def on_mouse_up(self, event: events.MouseUp) -> None:
        if not self._mouse.is_down:
            return
        event.stop()
        self.release_mouse()
        mark = self._mouse.release((event.x, event.y))
        if mark is not None:
            self.post_message(self.PinDragged(self, mark) if self._mouse.is_drag else self.PinClicked(self, mark))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, direction: int) -> None:
        view = self.target
        if view is not None:
            self.look_at(view.zoom(ZOOM_STEP**direction, *view.px_at(event.x, event.y)))
        event.stop()
