"""What draws, and when: a widget that paints the part of a picture that its view shows, with marks over it."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING

from textual import events
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import Label, PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.drawing import Drawing
from asfound.tui.canvas.messages import ViewChanged
from asfound.tui.canvas.pacing import PATIENCE_S, QUESTION, REFINE_AFTER_S, Pacer
from asfound.tui.terminal import cell_aspect
from asfound.tui.toolkit_insides import write_to_terminal

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.output.cells.pyramid import Pyramid

SHARPNESS = (0.6, 1.0, 0.0)


class PaintedPicture(Widget):
    """A picture drawn with characters, no faster than the terminal shows it.

    Parameters
    ----------
    plain : bool
        Draw with the toolkit's own strips, ten times slower; to check ours against.
    aspect : float, optional
        Height of a cell over its width; what the terminal says when left out.

    Attributes
    ----------
    view : View or None
        The part of the picture that was drawn last; None while there is no picture.
    crosshair : (float, float)
        In source pixels of the upright full-size picture. Pins are placed here.
    corner : (float, float) or None
        First corner of a box that is being drawn.
    box : (float, float, float, float) or None
        A finished box: two opposite corners.
    """

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
        self._drawing = Drawing(plain=plain)
        self._asks_after_paint = False

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

    def draw_with(self, glyphs: Glyphs) -> None:
        """Draw with other characters from now on."""
        if glyphs is not self.glyphs:
            self.glyphs = glyphs
            self._redraw()

    # When

    @property
    def target(self) -> View | None:
        """The newest view asked for, drawn or not."""
        return self._wanted or self.view

    def look_at(self, view: View) -> None:
        """Look at another part of the picture, as soon as the terminal can take it."""
        view = view.clamp()
        self.pacer.moved_at = monotonic()
        if not self.pacer.may_draw(self.pacer.moved_at):
            self._wanted = view
            return
        self._wanted = None
        self._set_view(view)

    def terminal_answered(self) -> None:
        """The terminal has shown the last frame: draw the newest view wanted since."""
        self.pacer.answered(monotonic())
        if self._wanted is not None:
            wanted, self._wanted = self._wanted, None
            self._set_view(wanted)

    def on_resize(self, event: events.Resize) -> None:
        view = self.target
        if view is not None and event.size.width and event.size.height:
            self._wanted = None
            self._set_view(view.resized(event.size.width, event.size.height))
        else:
            self._drawing.forget()

    def _set_view(self, view: View) -> None:
        changed = view != self.view
        self.view = view
        self._redraw()
        if changed:
            self.post_message(ViewChanged(self))

    def _ask_terminal(self) -> None:
        if self.is_attached and write_to_terminal(self.app, QUESTION):
            self.pacer.asked(monotonic())
            self.set_timer(PATIENCE_S, self._give_up_waiting)

    def _give_up_waiting(self) -> None:
        if self._wanted is not None and self.pacer.may_draw(monotonic()):
            self.terminal_answered()

    def _refine(self) -> None:
        if not self.pacer.is_coarse(monotonic()):
            self._redraw_when_shown()

    def _redraw_when_shown(self) -> None:
        """Draw the same view anew, but not while the terminal is still at the last frame."""
        if self.pacer.may_draw(monotonic()):
            self._redraw()
        else:
            self._wanted = self.target

    def _redraw(self) -> None:
        self._drawing.forget()
        self.refresh()

    # What

    def _redraw_marks(self) -> None:
        """Draw the marks anew and repaint only the rows that changed."""
        if not self._drawing.has_marks:
            self.refresh()
            return
        for row in self._drawing.mark(self._draw_marks):
            self.refresh(Region(0, row, self.size.width, 1))

    def _draw_picture(self) -> Cells:
        from asfound.output.cells.frame import draw_picture

        assert self.view is not None
        assert self._pyramid is not None
        coarse = self.pacer.is_coarse(monotonic())
        glyphs = Glyphs.HALVES if coarse else self.glyphs
        cells = draw_picture(self._pyramid, self.view, glyphs=glyphs, sharp=self.sharp, lifted=self.lifted)
        if coarse:
            cells.ink &= 0xF8
            cells.paper &= 0xF8
            self.set_timer(REFINE_AFTER_S, self._refine)
        self.frames_drawn += 1
        self._asks_after_paint = self.pacer.on
        return cells

    def _draw_marks(self, cells: Cells) -> None:
        from asfound.output.cells.frame import draw_marks

        assert self.view is not None
        outline = self.box or ((*self.corner, *self.crosshair) if self.corner is not None else None)
        crosshair = self.crosshair if self.with_crosshair else None
        self.labels = draw_marks(cells, self.view, self.marks, crosshair=crosshair, outline=outline)

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
        if not self._drawing.has_marks:
            self._drawing.picture = self._draw_picture()
            self._drawing.mark(self._draw_marks)
        return self._drawing.strip(y, self.shown_colour)

    def _waiting_line(self, y: int) -> Strip:
        width = self.size.width
        style = self.visual_style.rich_style
        if y != self.size.height // 2:
            return Strip.blank(width, style)
        from rich.segment import Segment

        return Strip([Segment(self.waiting_words[:width].center(width), style)], width)
