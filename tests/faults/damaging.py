"""An archive with real photos, two of them pinned, and ways to damage it that leave no trace in size or time."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.sort import finish_pending
from asfound.archive.put import path_of
from asfound.store import jobs, pins, tags
from asfound.store.pictures import list_pictures
from tests.built_once import copy_of
from tests.media import samples

PHOTOS = 4


def small_archive(folder: Path) -> Path:
    """Four photos of one place, sorted; 17 with ends A and B on the first, 12 on the second."""
    return copy_of(_make, folder)


def _make(folder: Path) -> None:
    card = folder / "card"
    card.mkdir()
    for number in range(PHOTOS):
        exif = samples.exif_bytes(time=f"2025:10:18 09:{number:02d}:00", model="F1")
        (card / f"P1_{number:04d}.jpg").write_bytes(samples.jpeg(samples.scene(240, 180, number), exif=exif))
    with open_archive(folder / "archive", create=True) as archive:
        jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
        add_dump(archive, [card], workers=0)
        finish_pending(archive)
        fill(archive)


def fill(archive: Archive) -> None:
    """Tags and pins, as a person makes them."""
    store, now = archive.store, archive.now()
    for number, pinned in (("17", (("A", 1), ("B", 1))), ("12", (("A", 2),))):
        with archive.step(f"tag {number} added"):
            tag_id = tags.add_tag(store, 1, number, now, kind="hose", name=f"hose {number}", ends=2)
            for end, picture_id in pinned:
                pins.save_pin(store, tag_id, end, picture_id, now, x_frac=0.2, y_frac=0.3, w_frac=None, h_frac=None)


def flip(path: Path, at: int) -> None:
    """Change one bit of a file, and let its times stand."""
    found = path.stat()
    path.chmod(0o644)
    with open(path, "r+b") as file:
        file.seek(at % found.st_size)
        byte = file.read(1)[0]
        file.seek(at % found.st_size)
        file.write(bytes([byte ^ 0x10]))
    os.utime(path, ns=(found.st_atime_ns, found.st_mtime_ns))


def original(archive: Archive, file: str) -> Path:
    """Where the original of a photo lies."""
    picture = next(p for p in list_pictures(archive.store, 1) if p.file == file)
    return path_of(archive.layout, picture.digest or "")


def pages_of(database: Path, table: str) -> list[int]:
    """Offsets of the pages of a table, as SQLite itself tells."""
    with closing(sqlite3.connect(database)) as connection:
        size = connection.execute("PRAGMA page_size").fetchone()[0]
        rows = connection.execute("SELECT pageno FROM dbstat WHERE name = ?", (table,)).fetchall()
    return [(number - 1) * size for (number,) in rows]
