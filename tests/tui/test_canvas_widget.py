"""The canvas in a running app: keys, mouse, colours."""

from __future__ import annotations

import numpy as np
import pytest
from rich.console import Console
from textual.app import App, ComposeResult

from asfound.output.cells.labels import PinMark
from asfound.output.cells.pyramid import Pyramid
from asfound.tui.canvas.pacing import PATIENCE_S, Pacer
from asfound.tui.canvas.widget import Canvas

SIZE = (400, 300)


def picture() -> Pyramid:
    x, y = np.meshgrid(np.arange(SIZE[0]), np.arange(SIZE[1]))
    return Pyramid.build(np.stack([x * 255 // 400, y * 255 // 300, (x + y) % 256], axis=-1).astype(np.uint8))


class OneCanvas(App[None]):
    def __init__(self, *, plain: bool = False) -> None:
        super().__init__()
        self.plain = plain

    def compose(self) -> ComposeResult:
        yield Canvas(plain=self.plain, aspect=2.0)

    def on_mount(self) -> None:
        self.canvas.focus()
        self.canvas.show(picture(), SIZE)

    @property
    def canvas(self) -> Canvas:
        return self.query_one(Canvas)


async def test_arrows_move_the_crosshair_by_whole_cells() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.canvas.view is not None
        column, row = app.canvas.view.cell_at(*app.canvas.crosshair)

        await pilot.press("l", "l", "right", "j", "L")

        assert app.canvas.view.cell_at(*app.canvas.crosshair) == (column + 11, row + 1)
        assert app.canvas.render_line(row + 1).text[column + 9 : column + 14] == "━╸╋╺━"


async def test_zoom_keeps_the_crosshair_on_its_pixel() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("L", "K")
        before = app.canvas.crosshair

        await pilot.press("plus", "plus", "plus", "plus")

        assert app.canvas.crosshair == before
        assert app.canvas.view is not None
        assert app.canvas.view.magnification == pytest.approx(1.4**4)


async def test_a_click_puts_the_crosshair_on_the_middle_of_the_cell() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.click(Canvas, offset=(30, 7))

        assert app.canvas.view is not None
        assert app.canvas.crosshair == app.canvas.view.px_at(30, 7)


async def test_a_drag_pans_and_leaves_the_crosshair() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("plus", "plus", "plus", "plus", "plus")
        assert app.canvas.view is not None
        before, crosshair = app.canvas.view, app.canvas.crosshair

        await pilot.mouse_down(Canvas, offset=(40, 10))
        await pilot.hover(Canvas, offset=(36, 9))
        await pilot.mouse_up(Canvas, offset=(36, 9))

        assert app.canvas.view == before.pan(4, 1)
        assert app.canvas.crosshair == crosshair


async def test_two_corners_make_a_box() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = app.canvas.crosshair
        await pilot.press("b", "L", "J", "b")

        assert app.canvas.box == (*first, *app.canvas.crosshair)
        assert app.canvas.clear_box()
        assert app.canvas.box is None


async def test_a_pin_label_is_drawn_and_can_be_clicked() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.canvas.view is not None
        x, y = app.canvas.view.px_at(20, 5)
        app.canvas.set_marks([PinMark("112A", x, y)])
        await pilot.pause()
        assert app.canvas.render_line(5).text[20:25] == "◀112A"

        crosshair = app.canvas.crosshair
        await pilot.click(Canvas, offset=(22, 5))

        assert app.canvas.crosshair == crosshair


async def test_plain_strips_show_the_same() -> None:
    """The quick strips touch Textual's inside; the plain ones do not, and must give equal text and colours."""
    quick, plain = OneCanvas(), OneCanvas(plain=True)
    rows: list[list[object]] = []
    for app in (quick, plain):
        async with app.run_test(size=(60, 20)) as pilot:
            await pilot.pause()
            rows.append([list(app.canvas.render_line(row)) for row in range(20)])

    assert rows[0] == rows[1]


async def test_no_color_is_obeyed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = OneCanvas()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        text = app.canvas.render_line(10).render(Console(color_system="truecolor"))

        assert "48;2" not in text
        assert "48;5" in text
        for segment in app.canvas.render_line(10):
            assert segment.style is not None
            assert segment.style.bgcolor is not None
            assert len(set(segment.style.bgcolor.get_truecolor())) == 1


async def test_a_new_size_keeps_the_whole_picture() -> None:
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.resize_terminal(60, 18)
        await pilot.pause()

        assert app.canvas.view is not None
        assert (app.canvas.view.columns, app.canvas.view.rows) == (60, 18)
        assert app.canvas.view.is_fit


def test_the_next_frame_waits_for_the_answer() -> None:
    pacer = Pacer()
    assert pacer.may_draw(0.0)
    pacer.asked(0.0)
    assert not pacer.may_draw(0.5)
    assert pacer.may_draw(PATIENCE_S)
    pacer.answered(0.6)
    assert pacer.may_draw(0.6)
    assert pacer.is_slow


def test_a_quick_terminal_is_not_slow() -> None:
    pacer = Pacer()
    pacer.asked(0.0)
    pacer.answered(0.02)

    assert not pacer.is_slow


async def test_sixty_steps_on_a_slow_line_draw_two_frames_the_last_being_where_one_stopped() -> None:
    """While the terminal has not answered for a frame, views are only remembered; its answer draws the newest."""
    app = OneCanvas()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        canvas = app.canvas
        canvas.painter.pacer.on = True
        await pilot.press("plus")
        drawn = canvas.painter.drawing.frames
        for _ in range(30):
            canvas.action_step(8, 0)
            canvas.action_zoom(1)
        await pilot.pause()
        assert canvas.painter.drawing.frames == drawn
        wanted = canvas.target
        assert canvas.view != wanted

        canvas.terminal_answered()
        await pilot.pause()

        assert canvas.painter.drawing.frames == drawn + 1
        assert canvas.view == wanted
