"""Draw every screen as an SVG file, at 80 x 24 and 120 x 40.

Run: asfound --archive FOLDER demo sample_media --no-screens
     python docs/screens/draw.py FOLDER

Cells that are pictures become one small bitmap inside the SVG, everything else is text, so that a file stays small.
"""

from __future__ import annotations

import asyncio
import base64
import io
import os
import shutil
import sys
import tempfile
from dataclasses import dataclass
from html import escape
from pathlib import Path

os.environ["TERM"] = "xterm-256color"  # before the toolkit is loaded: it asks once which colours there are
os.environ["TEXTUAL_COLOR_SYSTEM"] = "truecolor"
os.environ.pop("NO_COLOR", None)

import numpy as np
from PIL import Image
from rich.segment import Segment
from rich.style import Style
from rich.terminal_theme import MONOKAI
from textual.pilot import Pilot
from textual.strip import Strip

from asfound.actions.archive import open_archive
from asfound.output.cells.blocks import QUADRANTS
from asfound.tui.app import ArchiveApp

HERE = Path(__file__).parent
SIZES = ((80, 24), (120, 40))
CELL_W, CELL_H = 9, 18
HOME = ("escape",) * 4

SCENES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("start", ()),
    ("number-box", ("1",)),
    ("sort", (*HOME, "i")),
    ("sort-a-spot", ("n", "n")),
    ("spots", (*HOME, "s", *("j",) * 8)),
    ("spot", ("enter",)),
    ("choose-a-spot", ("f",)),
    ("days", (*HOME, "d")),
    ("pictures", ("enter",)),
    ("tags", (*HOME, "t")),
    ("gaps", (*HOME, "g")),
    ("found", (*HOME, "4", "enter")),
    ("picture", ("w", "tab")),
    ("before-and-after", (*HOME, "s", "x", "f", "tab")),
    ("write-a-tag", (*HOME, "w")),
    ("looked-over", (*HOME, "escape", "9", "enter", "apostrophe")),
    ("holds", (*HOME, "h")),
    ("walk-round", (*HOME, "W")),
    ("snags", (*HOME, "p")),
    ("machine", (*HOME, "m")),
    ("fit-next", (*HOME, "n")),
    ("log", (*HOME, "l")),
    ("bags", (*HOME, "b")),
    ("what-can-be-done", (*HOME, "t", "ctrl+p")),
    ("bring-in", (*HOME, "a")),
    ("characters", (*HOME, "9", "enter", "C")),
    ("help", (*HOME, "4", "enter", "question_mark")),
)
"""Name of the file, and the keys that lead there from the scene before."""


@dataclass(frozen=True)
class Cell:
    """One character with its colours, (red, green, blue) each."""

    character: str
    ink: tuple[int, int, int]
    paper: tuple[int, int, int]
    bold: bool
    underline: bool


async def draw(folder: Path, columns: int, rows: int) -> None:
    """Go through the scenes in one size and write a file for each; on a copy, for some keys answer a question."""
    with (
        tempfile.TemporaryDirectory() as scratch,
        open_archive(shutil.copytree(folder, Path(scratch, "copy"))) as archive,
    ):
        app = ArchiveApp(archive)
        async with app.run_test(size=(columns, rows)) as pilot:
            await settle(app, pilot)
            for name, keys in SCENES:
                for key in keys:
                    await pilot.press(key)
                    await settle(app, pilot)
                path = HERE / f"{name}-{columns}x{rows}.svg"
                path.write_text(as_svg(app.screen._compositor.render_strips(), name))
                print(f"{path.name}  {path.stat().st_size // 1024} KB")


async def settle(app: ArchiveApp, pilot: Pilot[None]) -> None:
    """Until every worker is done and its messages are shown."""
    for _ in range(3):
        await pilot.pause()
        await app.workers.wait_for_complete()
    await pilot.pause()


def as_svg(strips: list[Strip], title: str) -> str:
    """The screen as SVG text."""
    grid = [[cell for segment in strip for cell in cells_of(segment)] for strip in strips]
    columns, rows = max(map(len, grid)), len(grid)
    width, height = columns * CELL_W, rows * CELL_H
    bitmap = base64.b64encode(paint(grid, columns)).decode()
    texts = "\n".join(text for row, cells in enumerate(grid) for text in row_of_text(row, cells))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">\n'
        f"<title>asfound: {escape(title)}</title>\n"
        f'<image width="{width}" height="{height}" preserveAspectRatio="none" style="image-rendering:pixelated" '
        f'href="data:image/png;base64,{bitmap}"/>\n'
        f'<g font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="15" xml:space="preserve">\n{texts}\n'
        "</g>\n</svg>\n"
    )


def cells_of(segment: Segment) -> list[Cell]:
    """A segment's characters with the colours they are drawn in."""
    style = segment.style or Style()
    ink = tuple(style.color.get_truecolor(MONOKAI)) if style.color else (230, 230, 230)
    paper = tuple(style.bgcolor.get_truecolor(MONOKAI, foreground=False)) if style.bgcolor else (18, 18, 18)
    if style.reverse:
        ink, paper = paper, ink
    if style.dim:
        ink = tuple((2 * a + b) // 3 for a, b in zip(ink, paper, strict=True))
    return [Cell(one, ink, paper, bool(style.bold), bool(style.underline)) for one in segment.text]


def paint(grid: list[list[Cell]], columns: int) -> bytes:
    """Every cell's paper and the block characters as a PNG of 2 x 2 pixels a cell."""
    pixels = np.zeros((2 * len(grid), 2 * columns, 3), np.uint8)
    for row, cells in enumerate(grid):
        for column, cell in enumerate(cells):
            inked = QUADRANTS.find(cell.character)
            for part in range(4):
                colour = cell.ink if inked > 0 and inked >> part & 1 else cell.paper
                pixels[2 * row + part // 2, 2 * column + part % 2] = colour
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", optimize=True)
    return file.getvalue()


def row_of_text(row: int, cells: list[Cell]) -> list[str]:
    """The characters of a row that are no blocks, runs of one look together, each run fitted to its cells."""
    runs: list[tuple[int, list[Cell]]] = []
    for column, cell in enumerate(cells):
        if cell.character in QUADRANTS and cell.character != " ":
            continue
        look = (cell.ink, cell.bold, cell.underline)
        if runs and runs[-1][0] + len(runs[-1][1]) == column:
            last = runs[-1][1][0]
            if cell.character == " " or look == (last.ink, last.bold, last.underline):
                runs[-1][1].append(cell)
                continue
        if cell.character != " ":
            runs.append((column, [cell]))
    return [text_of(row, column, run) for column, run in runs]


def text_of(row: int, column: int, run: list[Cell]) -> str:
    words = "".join(cell.character for cell in run).rstrip()
    look = f'fill="#{run[0].ink[0]:02x}{run[0].ink[1]:02x}{run[0].ink[2]:02x}"'
    look += ' font-weight="bold"' if run[0].bold else ""
    look += ' text-decoration="underline"' if run[0].underline else ""
    x, y, length = column * CELL_W, row * CELL_H + 14, len(words) * CELL_W
    return f'<text x="{x}" y="{y}" textLength="{length}" lengthAdjust="spacingAndGlyphs" {look}>{escape(words)}</text>'


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    for columns, rows in SIZES:
        asyncio.run(draw(Path(sys.argv[1]), columns, rows))


if __name__ == "__main__":
    main()
