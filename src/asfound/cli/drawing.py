"""Draw a piece of a picture with the terminal's own characters."""

from __future__ import annotations

import os
import shutil
import sys

from asfound.actions import views
from asfound.actions.archive import Archive
from asfound.actions.find import SeenEnd

CLOSER = 3.0
"""How many times closer than the whole picture a crop is drawn: then tape numbers begin to be readable."""
ROWS_LEFT_FREE = 8


def can_draw() -> bool:
    """Whether stdout is a terminal that shows colours."""
    return sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb" and "NO_COLOR" not in os.environ


def draw_crop(archive: Archive, seen: SeenEnd, label: str) -> None:
    """Print the part of a picture around a pin, with the pin's number on it."""
    from asfound.output.cells.still import draw_still

    size = shutil.get_terminal_size()
    rows = max(8, min(size.lines - ROWS_LEFT_FREE, 30))
    image = views.load_rgb(views.source_of(archive, seen.picture), views.PREVIEW_PX * 2)
    place = (seen.pin.x_frac, seen.pin.y_frac)
    lines = draw_still(
        image,
        min(size.columns, 110),
        rows,
        pins_frac=[(label, *place)],
        around_frac=place,
        magnification=CLOSER,
    )
    sys.stdout.write("\n".join(lines) + "\n")
