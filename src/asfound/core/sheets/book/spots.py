"""Where things are on the machine: overview pictures with the spots on them, then each spot with its tags."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.core.sheets.blocks import Block, Group, beside, gap, led, stacked, text, together
from asfound.core.sheets.book.content import BookContent, OverviewEntry, Shown, SpotEntry
from asfound.core.sheets.book.parts import Desk, spot_anchor, tag_anchor
from asfound.core.sheets.book.pictures import Area, corner_label, picture_block
from asfound.core.sheets.crops import WHOLE, fitted_mm
from asfound.core.sheets.marks import GREY, WHITE, Mark, rectangle

SPOTS = "Spots on the machine"
PICTURE_SHARE = 0.62
ROW_OF = 4
BETWEEN_MM = 3.0
OVERVIEW_HIGH_MM = 105.0
SPOT_HIGH_MM = 72.0


def spots(desk: Desk, content: BookContent) -> Iterator[Group]:
    """Overviews first, then a row for each spot."""
    words = (
        "A spot is one place on the machine, with the pictures that show it. The large picture is from before anything "
        "there came off, with the tags that are in it; the small ones are others of the same place, oldest first. A "
        "spot without a tag has small ones only."
    )
    yield from desk.section(SPOTS, words, SPOTS)
    yield from _overviews(desk, content.overviews)
    for spot in content.spots:
        yield together(_spot(desk, spot))
    if not content.spots:
        yield together(desk.text("The record has no pictures that were sorted into spots.", ink=GREY))


def _overviews(desk: Desk, overviews: Sequence[OverviewEntry]) -> Iterator[Group]:
    """Pictures from afar, side by side where they fit."""
    row: list[tuple[float, Block]] = []
    left = 0.0
    for overview in overviews:
        wide, block = _overview(desk, overview)
        if row and left + wide > desk.width_mm:
            yield together([beside(row), gap(4.0)])
            row, left = [], 0.0
        row.append((left, block))
        left += wide + BETWEEN_MM
    if row:
        yield together([beside(row), gap(4.0)])


def _overview(desk: Desk, overview: OverviewEntry) -> tuple[float, Block]:
    """A picture from afar with a box for each spot; with its width."""
    setting, shown = desk.setting, overview.picture
    room = (
        (desk.width_mm - BETWEEN_MM) / 2 if shown.size_px[0] < shown.size_px[1] else desk.width_mm,
        OVERVIEW_HIGH_MM,
    )
    wide, high = fitted_mm(WHOLE, shown.size_px, room)
    picture = picture_block(setting, shown, WHOLE, room, ())
    boxes: list[tuple[int, Area]] = [
        (
            spot_id,
            (
                max(0.0, (x - w / 2) * wide),
                max(0.0, (y - h / 2) * high),
                min(wide, (x + w / 2) * wide),
                min(high, (y + h / 2) * high),
            ),
        )
        for spot_id, x, y, w, h in overview.spots
    ]
    marks: list[Mark] = []
    for _spot_id, (left, top, right, bottom) in boxes:
        marks.append(rectangle(left, top, right - left, bottom - top, ink=WHITE, width_mm=1.0))
        marks.append(rectangle(left, top, right - left, bottom - top, width_mm=0.4))
    taken: list[Area] = []
    for spot_id, box in boxes:
        marks += corner_label(setting, f"spot {spot_id}", box, (wide, high), taken, jump=spot_anchor(spot_id))
    where = ", ".join(f"spot {one} on {desk.page(spot_anchor(one))}" for one, _box in boxes)
    under = text(setting, f"From afar: {where}. {_told(shown)}", wide, size_pt=setting.small_pt, ink=GREY)
    return wide, stacked([Block(picture.height_mm, (*picture.marks, *marks)), gap(0.8), *under])


def _spot(desk: Desk, spot: SpotEntry) -> list[Block]:
    """The large picture with the tags beside it, and a row of small ones; those alone where no tag is."""
    setting = desk.setting
    title = f"Spot {spot.spot_id}{f', {spot.name}' if spot.name else ''}"
    head = text(setting, title, desk.width_mm, size_pt=setting.title_pt * 0.8, bold=True)
    first = Block(head[0].height_mm, head[0].marks, (spot_anchor(spot.spot_id),))
    if not spot.tags:
        untagged = text(setting, "No tag is pinned here.", desk.width_mm, ink=GREY)
        return [first, *head[1:], *untagged, gap(0.8), *_small(desk, (spot.picture, *spot.others)), gap(4.0)]
    wide = desk.width_mm * PICTURE_SHARE
    left = stacked(
        [
            picture_block(setting, spot.picture, WHOLE, (wide, SPOT_HIGH_MM), spot.pins),
            gap(0.5),
            *text(setting, _told(spot.picture), wide, size_pt=setting.small_pt, ink=GREY),
        ]
    )
    room = desk.width_mm - wide - BETWEEN_MM
    listed = [
        block
        for label, name, tag_id in spot.tags
        for block in led(
            setting,
            label,
            f"{name}, {desk.page(tag_anchor(tag_id))}",
            room,
            lead_mm=13.0,
            bold=True,
            jump=tag_anchor(tag_id),
        )
    ]
    most = int(SPOT_HIGH_MM * 1.3 / setting.line_mm(setting.body_pt))
    right = stacked(listed[:most])
    row = [beside([(0.0, left), (wide + BETWEEN_MM, right)]), gap(1.5)]
    # A spot with very many tags tells the rest below, across the page, so that none is lost.
    below = listed[most:]
    return [first, *head[1:], gap(1.0), *row, *below, *_small(desk, spot.others), gap(5.0)]


def _small(desk: Desk, others: tuple[Shown, ...]) -> list[Block]:
    if not others:
        return []
    setting = desk.setting
    wide = (desk.width_mm - (ROW_OF - 1) * BETWEEN_MM) / ROW_OF
    columns = []
    for at, shown in enumerate(others[:ROW_OF]):
        picture = picture_block(setting, shown, WHOLE, (wide, wide * 0.75), ())
        under = text(setting, shown.taken or shown.file, wide, size_pt=setting.small_pt, ink=GREY)
        columns.append((at * (wide + BETWEEN_MM), stacked([picture, gap(0.4), *under])))
    return [beside(columns)]


def _told(shown: Shown) -> str:
    return " · ".join(filter(None, (shown.taken, shown.file)))
