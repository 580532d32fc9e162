"""Draw a picture, or a piece of it, with the terminal's own characters."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Sequence

from asfound.actions import views
from asfound.actions.views import PictureSource
from asfound.cli.terminal import is_terminal

CLOSER = 3.0
"""How many times closer than the whole picture a crop is drawn: then tape numbers begin to be readable."""
ROWS_LEFT_FREE = 8
MOST_ROWS, MOST_COLUMNS = 30, 110

CROP_ROWS, CROP_GAP, CROP_SHARE = 12, 2, 0.6
"""Rows of two crops side by side, columns between them, and how much of a crop its box takes."""

Box = tuple[float, float, float, float]
"""Left, top, width and height as fractions of the picture."""

Mark = tuple[str, float, float]
"""What is written at a place, and the place as fractions of the picture."""


def can_draw() -> bool:
    """Whether stdout is a terminal that shows colours, and colours are wanted."""
    return is_terminal(sys.stdout) and os.environ.get("TERM", "dumb") != "dumb" and not os.environ.get("NO_COLOR")


def draw_around(source: PictureSource, mark: Mark) -> None:
    """Print the part of a picture around a mark."""
    _draw(source, [mark], around_frac=mark[1:], magnification=CLOSER)


def draw_whole(source: PictureSource, marks: Sequence[Mark]) -> None:
    """Print a picture with marks on it; the first stands out."""
    _draw(source, marks, around_frac=None, magnification=1.0)


def draw_beside(before: PictureSource, before_box: Box, after: PictureSource, after_box: Box, label: str) -> None:
    """Print the same place of two pictures side by side, BEFORE left."""
    from asfound.output.cells.still import draw_still

    columns = (min(shutil.get_terminal_size().columns, MOST_COLUMNS) - CROP_GAP) // 2
    halves = []
    for source, box, text in ((before, before_box, ""), (after, after_box, label)):
        middle = (box[0] + box[2] / 2, box[1] + box[3] / 2)
        halves.append(
            draw_still(
                views.load_rgb(source, views.PREVIEW_PX * 2),
                columns,
                CROP_ROWS,
                pins_frac=[(text, *middle)] if text else [],
                around_frac=middle,
                magnification=max(1.01, CROP_SHARE / max(box[2], box[3], 0.01)),
            )
        )
    sys.stdout.write("".join(f"{left}{' ' * CROP_GAP}{right}\n" for left, right in zip(*halves, strict=True)))


def _draw(
    source: PictureSource, marks: Sequence[Mark], *, around_frac: tuple[float, float] | None, magnification: float
) -> None:
    from asfound.output.cells.still import draw_still

    size = shutil.get_terminal_size()
    lines = draw_still(
        views.load_rgb(source, views.PREVIEW_PX * (2 if magnification > 1 else 1)),
        min(size.columns, MOST_COLUMNS),
        max(8, min(size.lines - ROWS_LEFT_FREE, MOST_ROWS)),
        pins_frac=marks,
        around_frac=around_frac,
        magnification=magnification,
    )
    sys.stdout.write("\n".join(lines) + "\n")
