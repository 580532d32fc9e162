"""The way back: every step in the order of the draft, holds between them, then what the log never says to be off."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.codes.cautions import cautions_of
from asfound.core.refit.steps import HoldPoint, Lift, OwnStep
from asfound.core.sheets.blocks import (
    Block,
    Cell,
    Group,
    beside,
    boxed,
    gap,
    table_row,
    text,
    tick_line,
    together,
    writing_line,
)
from asfound.core.sheets.book.content import BookContent, HoldEntry, TagEntry
from asfound.core.sheets.book.parts import Desk, caution_groups, framed, tag_anchor
from asfound.core.sheets.book.tag_entry import tag_group
from asfound.core.sheets.marks import GREY

WAY_BACK = "The way back"
HOLDS = "Holds"
ORDER = "The order at a glance"
BLANK_LINES = 4
SIGNED_APART_MM = 5.0
STEP_SHARES = (0.06, 0.09, 0.38, 0.31, 0.11)


def way_back(desk: Desk, content: BookContent) -> Iterator[Group]:
    """The steps, each with all that is known of it."""
    words = (
        "Last off, first on, then the rules and moves that were written down. It is a draft: the machine's service "
        "manual comes before it. Fitted is not tight: tick what is so, and write beside it."
    )
    yield from desk.section(WAY_BACK, words, WAY_BACK)
    if content.warnings:
        lines = [block for warning in content.warnings for block in desk.text(warning, bold=True)]
        note = desk.text("They are shown in the order of the draft; the service manual says which goes first.")
        yield together([*lines, *note, gap(3.0)])
    if not content.steps:
        where = " They are below, in the order of their numbers." if content.not_off else ""
        yield together([*desk.text(f"Nothing is written down as off, so there is no order yet.{where}"), gap(3.0)])
    step = 0
    for one in content.steps:
        if isinstance(one, TagEntry):
            step += 1
            yield tag_group(desk, one, step)
        else:
            yield _hold_band(desk, one) if isinstance(one, HoldPoint) else _step_band(desk, one)
    if content.not_off:
        words = "Nothing in the log says that these came off. They are here because the log may be wrong."
        yield desk.subhead("Not written down as off", NOT_OFF)
        yield Group((*desk.text(words, ink=GREY), gap(2.0)), with_next=True)
    for tag in content.not_off:
        yield tag_group(desk, tag, None)


NOT_OFF = "not off"


def steps_list(desk: Desk, content: BookContent) -> Iterator[Group]:
    """The whole order on as few pages as it takes, with a box for each step: for the wall."""
    words = "Pin it to the wall and tick what is in. Each step with its pictures comes after."
    yield from desk.section(ORDER, words, "order")
    if not content.steps:
        yield together(desk.text("Nothing is written down as off, so there is no order yet."))
    step = 0
    for one in content.steps:
        if isinstance(one, HoldPoint):
            line = f"HOLD {one}: {desk.page(hold_anchor(one))}"
            yield together(tick_line(desk.setting, line, desk.width_mm, jump=hold_anchor(one)))
            continue
        if not isinstance(one, TagEntry):
            yield together(tick_line(desk.setting, _step_words(one), desk.width_mm))
            continue
        step += 1
        yield together(_step_line(desk, one, step))


def _step_line(desk: Desk, tag: TagEntry, step: int) -> list[Block]:
    """A box, the step, the number on the tape in bold, the name, how it stands, and its page."""
    jump = tag_anchor(tag.tag_id)
    after = f"waits for {', '.join(tag.waits_for)}" if tag.waits_for else tag.standing
    widths = [desk.width_mm * share for share in STEP_SHARES]
    words = (f"{step}.", tag.label, tag.heading, after, desk.page(jump))
    cells = [Cell(one, wide, at == 1, jump) for at, (one, wide) in enumerate(zip(words, widths, strict=True))]
    return boxed(table_row(desk.setting, cells))


def _hold_band(desk: Desk, hold: HoldPoint) -> Group:
    setting, width = desk.setting, desk.width_mm
    words = f"HOLD {hold}"
    inner = [
        *text(setting, words, width - 4, size_pt=setting.title_pt, bold=True, indent_mm=2, jump=hold_anchor(hold)),
        *text(
            setting,
            f"Stop here until the list on {desk.page(hold_anchor(hold))} has been gone through.",
            width - 4,
            indent_mm=2,
            jump=hold_anchor(hold),
        ),
    ]
    return together([gap(1.0), framed(inner, width), gap(4.0)])


def _step_band(desk: Desk, step: Lift | OwnStep) -> Group:
    """The lift in, or a step of the person's own: a box, and a line for who did it and when."""
    setting, width = desk.setting, desk.width_mm
    inner = [*tick_line(setting, _step_words(step), width - 4), writing_line(setting, "done by, day", width - 4)]
    cautions = caution_groups(setting, cautions_of(step), width) if isinstance(step, Lift) else ()
    return together([gap(1.0), *inner, *(block for group in cautions for block in group.blocks), gap(4.0)])


def _step_words(step: Lift | OwnStep) -> str:
    is_hold = isinstance(step, OwnStep) and step.is_hold
    return f"{'HOLD ' if is_hold else ''}{step}{': stop here until somebody has looked' if is_hold else ''}"


def holds(desk: Desk, content: BookContent) -> Iterator[Group]:
    """Each hold as a list to tick, with its cautions and a place to sign."""
    words = "What the record knows to be open at each hold on the day of printing, and lines for what it does not know."
    yield from desk.section(HOLDS, words, HOLDS)
    for hold in content.holds:
        yield from _hold(desk, hold)


def _hold(desk: Desk, hold: HoldEntry) -> Iterator[Group]:
    setting, width = desk.setting, desk.width_mm
    yield desk.subhead(f"Hold {hold.point}", hold_anchor(hold.point))
    if hold.passed:
        yield Group((*desk.text(hold.passed), gap(1.0)), with_next=True)
    if not hold.lines:
        yield together(
            [*desk.text("Nothing is known to be open. That says only that nothing is written down."), gap(1)]
        )
    for words, is_sure in hold.lines:
        yield together(tick_line(setting, words if is_sure else f"Look: {words}", width))
    yield together([writing_line(setting, "", width) for _ in range(BLANK_LINES)])
    yield together([*desk.text(hold.words), gap(1.0)])
    *cautions, last = caution_groups(setting, cautions_of(hold.point.phase), width)
    yield from cautions
    half = (width - SIGNED_APART_MM) / 2
    signed = [writing_line(setting, who, half) for who in ("looked at by, day", "second look by, day")]
    yield together([*last.blocks, beside([(0.0, signed[0]), (half + SIGNED_APART_MM, signed[1])]), gap(4.0)])


def hold_anchor(hold: HoldPoint) -> str:
    """Where a hold's list is."""
    return f"hold {hold}"
