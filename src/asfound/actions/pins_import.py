"""Pins from a table, one row for each: tag, end, picture, x, y, and w, h for a box; positions are fractions."""

from __future__ import annotations

from math import isfinite
from pathlib import Path

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.actions.pin import Box, check_inside, pin_tag
from asfound.actions.table_import import Described, ImportReport, Row, TakenRow, import_table
from asfound.errors import Misused
from asfound.store import pins
from asfound.store.pictures import list_pictures
from asfound.store.tags import list_tags

_COLUMNS = frozenset("tag end picture x y w h".split())


def import_pins(archive: Archive, path: Path, *, is_dry_run: bool = False) -> ImportReport:
    """Pin every row, in one step; an earlier pin of that end on that picture moves. Nothing is carried yet."""

    def take(row: Row) -> TakenRow:
        ref = resolve.get_tag(archive, row["tag"] + row.get("end", "").lower())
        picture = resolve.get_picture(archive, row["picture"])
        box = Box(_number(row, "x"), _number(row, "y"), _size(row, "w"), _size(row, "h"))
        check_inside(picture, box)
        pin = pin_tag(archive, ref.tag, ref.end_or_default(), picture, box)
        return TakenRow(pin.pin_id, f"{ref.tag.number}{pin.end.lower()} on {picture.file}")

    return import_table(
        archive,
        path,
        words=f"pins from {path.name} brought in",
        columns=_COLUMNS.__contains__,
        needed=("tag", "picture", "x", "y"),
        take=take,
        finish=lambda _row, _taken: None,
        describe=lambda: _describe(archive),
        is_dry_run=is_dry_run,
    )


def _number(row: Row, name: str) -> float:
    try:
        value = float(row.get(name, ""))
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise Misused(f'{name}: "{row.get(name, "")}" is no number; it is a fraction of the picture, 0 to 1')
    return value


def _size(row: Row, name: str) -> float | None:
    return _number(row, name) if row.get(name) else None


def _describe(archive: Archive) -> Described:
    store, job_id = archive.store, archive.job.job_id
    files = {picture.picture_id: picture.file for picture in list_pictures(store, job_id)}
    numbers = {tag.tag_id: tag.number for tag in list_tags(store, job_id)}
    return {
        pin.pin_id: {
            "of": f"{numbers[pin.tag_id]}{pin.end}",
            "picture": files[pin.picture_id],
            "at": f"{pin.x_frac:.4f} {pin.y_frac:.4f}",
            "box": f"{pin.w_frac:.4f} by {pin.h_frac:.4f}" if pin.w_frac and pin.h_frac else "",
        }
        for pin in pins.list_pins(store, job_id)
    }
