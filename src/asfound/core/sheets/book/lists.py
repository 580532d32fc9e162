"""What else must not be lost: bags, belts, snags, what to buy, fluids, what was sent out, gaps, the log, the index."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.core.pins.numbering import sort_key
from asfound.core.sheets.blocks import (
    Block,
    Cell,
    Group,
    gap,
    led,
    table_row,
    tick_line,
    together,
    writing_line,
)
from asfound.core.sheets.book.content import BookContent, TagEntry
from asfound.core.sheets.book.parts import Desk, tag_anchor
from asfound.core.sheets.marks import GREY

VALUE_LEAD_MM = 55.0
STORES = "Bags, belts, snags and fluids"
GAPS = "Gaps still open"
LOG = "The log by day"
INDEX = "Index"
NUMBER_COLUMNS = 4
NAME_COLUMNS = 2
ROWS = 40
"""Entries of one column of the index: they fit on one page of either paper."""


def stores(desk: Desk, content: BookContent) -> Iterator[Group]:
    """Where everything is that is not on the machine, and what is still to be done."""
    yield from desk.section(
        STORES, "Count every bag back before its fasteners go in, and write the count down.", STORES
    )
    yield desk.subhead("Bags")
    bag_heads = (("bag", 0.11), ("what is in it", 0.37), ("for", 0.2), ("is at", 0.16), ("out", 0.08), ("back", 0.08))
    rows = [
        (bag.label, "; ".join(filter(None, (bag.name, *bag.inside, bag.note))), bag.tags, bag.place, bag.out, bag.back)
        for bag in content.bags
    ]
    yield from desk.table(bag_heads, rows) if rows else _none(desk, "No bag is written down.")
    yield desk.subhead("Belts")
    for label, name, fields in content.belts:
        yield together(_belt(desk, label, name, fields))
    if not content.belts:
        yield from _none(desk, "No belt is written down.")
    yield from _snags(desk, content)
    if content.values:
        yield desk.subhead("Values of things without a number")
    for what, words in content.values:
        lines = led(desk.setting, what, words, desk.width_mm, lead_mm=VALUE_LEAD_MM)
        yield together([*lines, writing_line(desk.setting, "reached, by, day", desk.width_mm), gap(1.0)])
    yield desk.subhead("Drained fluids")
    heads = (("day", 0.16), ("what", 0.24), ("into", 0.2), ("looked like", 0.2), ("note", 0.2))
    yield from desk.table(heads, content.fluids) if content.fluids else _none(desk, "No fluid is written down.")
    yield desk.subhead("Sent out")
    sent_heads = (("what", 0.2), ("to", 0.14), ("sent out", 0.14), ("came back", 0.2), ("note", 0.32))
    yield from desk.table(sent_heads, content.sent_out) if content.sent_out else _none(desk, "Nothing is written down.")


def _belt(desk: Desk, label: str, name: str, fields: Sequence[tuple[str, str]]) -> list[Block]:
    blocks = desk.text(f"{label}  {name}", bold=True)
    for lead, words in fields:
        blocks += led(desk.setting, lead, words, desk.width_mm, lead_mm=25.0)
    if all(lead == "size" for lead, _words in fields):
        blocks += desk.text("Nothing is noted of its path, arrow, direction or slack: take it from the service manual.")
    return [*blocks, gap(1.5)]


def _snags(desk: Desk, content: BookContent) -> Iterator[Group]:
    still_open = [snag for snag in content.snags if snag.is_open]
    closed = [snag for snag in content.snags if not snag.is_open]
    yield desk.subhead("Snags still open")
    for snag in still_open:
        words = ", ".join(filter(None, (snag.about, snag.what)))
        yield together(tick_line(desk.setting, f"{snag.label}: {words}", desk.width_mm))
    if not still_open:
        yield from _none(desk, "No snag is written down as open.")
    yield desk.subhead("To buy")
    for line in content.to_buy:
        yield together(tick_line(desk.setting, line, desk.width_mm))
    if not content.to_buy:
        yield from _none(desk, "Nothing is written down to be bought.")
    if closed:
        yield desk.subhead("Snags closed")
        for snag in closed:
            words = ", ".join(filter(None, (snag.about, snag.what, snag.closed)))
            yield together(led(desk.setting, snag.label, words, desk.width_mm, lead_mm=15.0))


def gaps(desk: Desk, content: BookContent) -> Iterator[Group]:
    """What the record lacks, to be ticked when it is filled."""
    words = "What the record lacks. What is found goes beside it, and is typed in later."
    yield from desk.section(GAPS, words, GAPS)
    for part in content.gaps:
        yield desk.subhead(part.heading)
        for line in part.lines:
            yield together(tick_line(desk.setting, line, desk.width_mm))
    if not content.gaps:
        yield from _none(desk, "No gaps found, as far as this record can tell.")


def log(desk: Desk, content: BookContent) -> Iterator[Group]:
    """What happened, day by day, with what was handed over."""
    words = "What was written down, in the order in which it happened. A line that was struck out says so."
    yield from desk.section(LOG, words, LOG)
    widths = [desk.width_mm * share for share in (0.09, 0.09, 0.36, 0.46)]
    for day in content.days:
        yield desk.subhead(day.day)
        if day.note:
            yield together([*desk.text(f"Handed over: {day.note}", bold=True), gap(0.8)])
        for row in day.lines:
            cells = [Cell(one, width, bold=at == 1) for at, (one, width) in enumerate(zip(row, widths, strict=True))]
            yield together(table_row(desk.setting, cells))
    if not content.days:
        yield from _none(desk, "The log is empty.")


def index(desk: Desk, content: BookContent) -> Iterator[Group]:
    """From a number to its page, and from a name to its number and page."""
    yield from desk.section(INDEX, "From the number on a tape, or from a name, to its page.", INDEX)
    by_number = sorted(content.tags, key=lambda tag: (sort_key(tag.label), tag.tag_id))
    by_name = sorted(
        (tag for tag in content.tags if tag.name), key=lambda tag: (tag.name.casefold(), sort_key(tag.label))
    )
    yield desk.subhead("By number")
    yield from _columns(
        desk, [(tag.label, desk.page(tag_anchor(tag.tag_id)), tag) for tag in by_number], NUMBER_COLUMNS
    )
    yield desk.subhead("By name")
    named = [(tag.name, f"{tag.label}, {desk.page(tag_anchor(tag.tag_id))}", tag) for tag in by_name]
    yield from _columns(desk, named, NAME_COLUMNS)
    if not content.tags:
        yield from _none(desk, "Nothing is tagged.")


def _columns(desk: Desk, entries: Sequence[tuple[str, str, TagEntry]], count: int) -> Iterator[Group]:
    """Entries in columns, read down each; more than fill a page go on in columns of the next."""
    width = desk.width_mm / count
    share = 0.4 if count == NUMBER_COLUMNS else 0.68
    at_once = ROWS * count
    for begin in range(0, len(entries), at_once):
        part = entries[begin : begin + at_once]
        high = -(-len(part) // count)
        rows: list[Block] = []
        for row in range(high):
            cells = []
            for column in range(count):
                at = column * high + row
                words, page, jump = ("", "", "")
                if at < len(part):
                    words, page, jump = part[at][0], part[at][1], tag_anchor(part[at][2].tag_id)
                cells += [Cell(words, width * share, bold=count == NUMBER_COLUMNS, jump=jump)]
                cells += [Cell(page, width * (1 - share), jump=jump)]
            rows += table_row(desk.setting, cells)
        yield together([*rows, gap(2.0)])


def _none(desk: Desk, words: str) -> Iterator[Group]:
    yield together(desk.text(words, ink=GREY))
