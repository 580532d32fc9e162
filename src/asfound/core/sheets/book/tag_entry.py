"""One thing on the way back: its number, both ends with their as-found pictures, and room to tick and write."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.log.record import is_answered
from asfound.core.sheets.blocks import (
    Block,
    Group,
    beside,
    gap,
    led,
    ruled,
    stacked,
    text,
    tick_boxes,
    together,
    writing_line,
)
from asfound.core.sheets.book.content import BookEnd, TagEntry
from asfound.core.sheets.book.parts import (
    Desk,
    caution_groups,
    framed,
    number_block,
    spot_anchor,
    tag_anchor,
)
from asfound.core.sheets.book.pictures import picture_block
from asfound.core.sheets.crops import window_around
from asfound.core.sheets.marks import BLACK, GREY
from asfound.model.log import HOW_REFITTED

BETWEEN_MM = 4.0
SHAPE = (4.0, 2.3)
"""Width to height of an as-found picture on paper."""

LEAD_MM = 15.0
LONGEST_BESIDE = 4
"""Lines of one field that stand beside the other end; a longer one goes below, across the page."""

NUMBER_SHARE = 0.3
ASIDE_MM = 5.0
NAME_LINES = 3
"""Lines of a name beside its number; a longer one stands below in whole."""


def tag_group(desk: Desk, tag: TagEntry, step: int | None) -> Group:
    """Everything of one thing, kept on one page where it fits on one."""
    setting, width = desk.setting, desk.width_mm
    blocks = [ruled(width, ink=BLACK, line_mm=0.5), _head(desk, tag, step), gap(1.0)]
    # A thing's loops come first: whoever fits it must not wait for what waits for it.
    if len(text(setting, tag.heading, _beside_number(desk, tag), size_pt=setting.title_pt, bold=True)) > NAME_LINES:
        blocks += led(setting, "name", tag.heading, width, lead_mm=LEAD_MM + 6)
    for loop in tag.loops:
        blocks += [*text(setting, f"Loop: {loop}", width, bold=True), gap(0.8)]
    if tag.waits_for:
        blocks += led(setting, "waits for", ", ".join(tag.waits_for), width, lead_mm=LEAD_MM + 6)
    blocks += _ends(desk, tag)
    blocks += _fields(desk, tag)
    for lead, lines in (("bag", tag.bags), ("snag", tag.snags), ("know", tag.notes)):
        for at, words in enumerate(lines):
            blocks += led(setting, lead if at == 0 else "", words, width, lead_mm=LEAD_MM + 6)
    for what, words in tag.values:
        blocks += led(setting, "value", f"{what}: {words}", width, lead_mm=LEAD_MM + 6)
        blocks.append(writing_line(setting, "reached, by, day", width))
    if tag.cautions:
        blocks.append(gap(1.0))
    blocks += [block for group in caution_groups(setting, tag.cautions, width) for block in group.blocks]
    blocks += [_done(desk), gap(3.0)]
    return together(blocks)


def _fields(desk: Desk, tag: TagEntry) -> Iterator[Block]:
    """What was said of the whole thing: short fields two in a row, longer ones across the page."""
    setting, half = desk.setting, (desk.width_mm - BETWEEN_MM) / 2
    waiting: Block | None = None
    longer = []
    for lead, words in tag.fields:
        lines = led(setting, lead, words, half, lead_mm=LEAD_MM + 6)
        if len(lines) > 1:
            longer += led(setting, lead, words, desk.width_mm, lead_mm=LEAD_MM + 6)
        elif waiting is None:
            waiting = lines[0]
        else:
            yield beside([(0.0, waiting), (half + BETWEEN_MM, lines[0])])
            waiting = None
    if waiting is not None:
        yield waiting
    yield from longer


def _head(desk: Desk, tag: TagEntry, step: int | None) -> Block:
    """The number, and beside it the name and how it stands."""
    setting = desk.setting
    wide, number = number_block(setting, tag.label, desk.width_mm * NUMBER_SHARE, has_bar=tag.has_bar)
    left = wide + ASIDE_MM
    room = desk.width_mm - left
    name = text(setting, tag.heading, room, size_pt=setting.title_pt, bold=True)[:NAME_LINES]
    place = "" if step is None else f"step {step}"
    said = ", ".join(filter(None, (place, tag.kind if tag.name else "", tag.standing)))
    beside_number = stacked([*name, *text(setting, said, room, ink=GREY)])
    head = beside([(0.0, number), (left, beside_number)])
    return Block(head.height_mm, head.marks, (tag_anchor(tag.tag_id),))


def _done(desk: Desk) -> Block:
    """What to fill in when it is on: a box for each way of being refitted, and a line to write on."""
    wide, boxes = tick_boxes(desk.setting, HOW_REFITTED)
    line = writing_line(desk.setting, "", desk.width_mm - wide - ASIDE_MM)
    lower = stacked([gap((line.height_mm - boxes.height_mm) / 2 + 0.8), boxes])
    return beside([(0.0, lower), (wide + ASIDE_MM, line)])


def _beside_number(desk: Desk, tag: TagEntry) -> float:
    """Room for the name beside the number."""
    wide, _block = number_block(desk.setting, tag.label, desk.width_mm * NUMBER_SHARE, has_bar=tag.has_bar)
    return desk.width_mm - wide - ASIDE_MM


def _ends(desk: Desk, tag: TagEntry) -> Iterator[Block]:
    """Both ends side by side, then what was too long to stand there."""
    width = (desk.width_mm - BETWEEN_MM) / 2
    columns = [_end(desk, end, width) for end in tag.ends]
    if columns:
        yield gap(0.6)
        yield beside([(at * (width + BETWEEN_MM), stacked(blocks)) for at, (blocks, _rest) in enumerate(columns)])
        yield gap(0.8)
    for end, (_blocks, rest) in zip(tag.ends, columns, strict=True):
        for lead, words in rest:
            yield from led(desk.setting, f"{lead} {end.letter}".strip(), words, desk.width_mm, lead_mm=LEAD_MM + 6)


def _end(desk: Desk, end: BookEnd, width: float) -> tuple[list[Block], list[tuple[str, str]]]:
    """One end's column, and the fields that are too long for it."""
    setting = desk.setting
    title = " ".join(filter(None, (f"End {end.letter}" if end.letter else "Its end", end.side and f"({end.side})")))
    blocks = text(setting, title, width, bold=True)
    rest = []
    for lead, words in (("place", end.place or "not written down"), *end.fields):
        lines = led(setting, lead, words, width, lead_mm=LEAD_MM)
        if len(lines) > LONGEST_BESIDE:
            rest.append((lead, words))
            lines = led(setting, lead, "see below", width, lead_mm=LEAD_MM)
        blocks += lines
    blocks += [gap(0.8), *_picture(desk, end, width)]
    return blocks, rest


def _picture(desk: Desk, end: BookEnd, width: float) -> list[Block]:
    """The as-found picture around the pin, or plain words that there is none; nothing where nothing can be seen."""
    setting = desk.setting
    if end.picture is None or end.pin is None:
        if is_answered(end.place):
            return []
        named = f"end {end.letter}" if end.letter else "it"
        words = text(setting, f"No photo of {named} from before it came off.", width - 4, indent_mm=2, bold=True)
        more = text(
            setting, "Nothing here shows how it was: draw it, or look at its neighbours.", width - 4, indent_mm=2
        )
        return [framed([*words, *more], width, dash_mm=1.5)]
    room = (width, width * SHAPE[1] / SHAPE[0])
    shown, pin = end.picture, end.pin
    window = window_around((pin.x_frac, pin.y_frac), pin.box_frac, shown.size_px, room)
    spot = "" if shown.spot_id is None else f"spot {shown.spot_id}, {desk.page(spot_anchor(shown.spot_id))}"
    guessed = "" if pin.is_said else "This pin is a guess of the machine that nobody confirmed."
    undated = "" if end.is_dated else "Its time is not known: it may be from after this came off."
    doubt = " ".join(filter(None, (guessed, undated)))
    under = " · ".join(filter(None, (shown.taken, spot, shown.file)))
    size = setting.small_pt
    jump = "" if shown.spot_id is None else spot_anchor(shown.spot_id)
    return [
        picture_block(setting, shown, window, room, [pin]),
        gap(0.5),
        *text(setting, under, width, size_pt=size, ink=GREY, jump=jump),
        *(text(setting, doubt, width, size_pt=size, bold=True) if doubt else ()),
    ]
