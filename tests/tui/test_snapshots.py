"""Screens as text, 80 x 24, held against what they were when somebody last looked at them.

Renew them after a wanted change, and read the difference: python -m tests.tui.test_snapshots
"""

from __future__ import annotations

import asyncio
import difflib
import tempfile
from pathlib import Path

import pytest

from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.widgets.contact_sheet import ContactSheet
from tests.small_archive import small_archive
from tests.small_changes import make_burst
from tests.tui.screens_of import press, running, settle

FOLDER = Path(__file__).with_name("snapshots")
SIZE = (80, 24)
PICTURE = "░"
"""Stands for a cell of a picture that holds no sign of ours: what the pixels are drawn with is tested elsewhere."""

SCENES: dict[str, tuple[str, ...]] = {
    "start": (),
    "number-box": ("1",),
    "sort-bursts": ("i",),
    "sort-spot": ("i", "n"),
    "sort-pair": ("i", "n", "enter"),
    "sort-pins": ("i", "n", "enter", "enter"),
    "spots": ("s",),
    "spot-with-look-alikes": ("i", "enter", "s", "enter"),
    "tags": ("t",),
    "gaps": ("g",),
    "found": ("1", "1", "2", "enter"),
    "bring-in": ("a",),
    "help-of-sort": ("i", "question_mark"),
}
"""Name of a snapshot and the keys that lead there from the start."""


async def drawn(keys: tuple[str, ...]) -> str:
    """The screen after these keys, a line for each row, without blanks at the ends."""
    with tempfile.TemporaryDirectory() as folder, small_archive(Path(folder) / "archive") as archive:
        make_burst(archive, 1, 2)
        async with running(archive, SIZE) as (app, pilot):
            for key in keys:
                await press((app, pilot), key)
            await settle(app, pilot)
            return text_of(app)


def text_of(app: ArchiveApp) -> str:
    """All rows of the screen in front; in pictures only letters, digits and marks of ours are kept."""
    rows = [list(strip.text) for strip in app.screen._compositor.render_strips()]
    for widget in (*app.screen.query(Canvas), *app.screen.query(ContactSheet)):
        region = widget.region if widget.display else None
        for y in range(region.y, min(region.bottom, len(rows))) if region and not covered(app) else ():
            for x in range(region.x, region.right):
                rows[y][x] = rows[y][x] if is_ours(rows[y][x]) else PICTURE
    lines = ["".join(row).rstrip(f"{PICTURE} ") for row in rows]
    return "\n".join(lines) + "\n"


def covered(app: ArchiveApp) -> bool:
    """Whether a box lies over the bottom of the screen; pictures are not made out below it then."""
    return any(box.display for box in app.screen.query("NumberBox, AskLine"))


def is_ours(sign: str) -> bool:
    return sign.isalnum() or sign in "+-?:.,°◀▶◂▸━╸╋╺│─┌┐└┘"


@pytest.mark.parametrize("name", SCENES)
async def test_the_screen_is_as_it_was_looked_at(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("asfound.tui.bringing_in.likely_folder", lambda: "")
    before = (FOLDER / f"{name}.txt").read_text()
    now = await drawn(SCENES[name])
    difference = "\n".join(difflib.unified_diff(before.split("\n"), now.split("\n"), "before", "now", lineterm=""))
    assert now == before, f"{name} has changed. If that is wanted: python -m tests.tui.test_snapshots\n{difference}"


def test_every_snapshot_is_of_a_scene() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(SCENES)


def renew() -> None:
    FOLDER.mkdir(exist_ok=True)
    for old in FOLDER.glob("*.txt"):
        old.unlink()
    for name, keys in SCENES.items():
        (FOLDER / f"{name}.txt").write_text(asyncio.run(drawn(keys)))


if __name__ == "__main__":
    renew()
