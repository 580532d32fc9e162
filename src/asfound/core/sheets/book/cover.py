"""The first pages: what machine this is, how to read the book, and the cautions of each phase."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.core.codes.caution_table import CAUTIONS
from asfound.core.codes.cautions import cautions_of
from asfound.core.codes.sling import (
    COMMON_PRACTICE,
    COUNTED_LEGS,
    DEFER,
    GOOD_ANGLE_DEG,
    LEAST_ANGLE_DEG,
    estimate_pull,
)
from asfound.core.codes.turning import turning_gap, turning_note
from asfound.core.sheets.blocks import Block, Group, gap, led, ruled, text, together, writing_line
from asfound.core.sheets.book.content import BookContent
from asfound.core.sheets.book.parts import Desk, caution_groups
from asfound.core.sheets.marks import BLACK, GREY

CAUTION_SECTION = "Cautions"
SLING_ANGLES_DEG = (90, 75, 60, 45, 30)
SLING_WEIGHT_KG = 100.0
NOT_SAID = "not written down; write it here:"
LEAD_MM = 30.0
NO_TURNING = "which way, and seen from which end"


def cover(desk: Desk, content: BookContent, sections: Sequence[tuple[str, str]]) -> Iterator[Group]:
    """The first page. `sections` are titles with their anchors."""
    setting, width = desk.setting, desk.width_mm
    title = text(setting, content.job, width, size_pt=setting.title_pt * 1.8, bold=True)
    days = f"The record runs from {content.first_day} to {content.last_day}." if content.first_day else ""
    head = [
        *text(setting, "The book for the bench", width, ink=GREY),
        Block(title[0].height_mm, title[0].marks, ("cover",), "How to read this book"),
        *title[1:6],
        *desk.text(" ".join(filter(None, (days, f"Printed on {content.printed}.", content.chosen)))),
        ruled(width, ink=BLACK, line_mm=0.5),
    ]
    yield together(head)
    yield together(_meanings(desk, content))
    if content.note:
        yield together(
            [*desk.text(f"Handed over on {content.note_day}", bold=True), *desk.text(content.note), gap(2.5)]
        )
    if not content.tags:
        yield together(_what_to_do(desk))
    yield together(
        [block for lead, words in content.counts for block in led(setting, lead, words, width, lead_mm=LEAD_MM)]
        + [gap(2.5)]
    )
    yield together([*desk.text("How to read it", bold=True), *_how_to(desk)])
    yield together([*desk.text("What is where", bold=True), *_contents(desk, sections)])


def meanings(content: BookContent) -> str:
    """What front, left and turning mean, for the foot of every page."""
    front = content.front_means or "not written down"
    left = content.left_means or "not written down"
    is_open = turning_gap(content.turning_means, content.front_means)
    turning = f"{content.turning_means}{' (see page 1)' if is_open else ''}" or "as written on page 1"
    return f"Front: {front}. Left: {left}. Turning: {turning}. O'clock: as one looks at the thing."


def _meanings(desk: Desk, content: BookContent) -> list[Block]:
    blocks: list[Block] = []
    for lead, words in (("front means", content.front_means), ("left means", content.left_means)):
        if words:
            blocks += led(desk.setting, lead, words, desk.width_mm, lead_mm=LEAD_MM)
        else:
            blocks.append(writing_line(desk.setting, f"{lead}: {NOT_SAID}", desk.width_mm))
    turning, note = content.turning_means, turning_note(content.turning_means, content.front_means)
    if turning:
        words = f"{turning}. {note}" if note else turning
        blocks += led(desk.setting, "turning means", words, desk.width_mm, lead_mm=LEAD_MM)
    if not note:
        gap_words = turning_gap(turning, content.front_means) or NO_TURNING
        blocks.append(writing_line(desk.setting, f"turning, {gap_words}:", desk.width_mm))
    clock = "As one looks at the thing: 12 is up. Seen from its other side, 2 o'clock is 10 o'clock."
    blocks += led(desk.setting, "o'clock", clock, desk.width_mm, lead_mm=LEAD_MM)
    return [*blocks, gap(2.5)]


def _what_to_do(desk: Desk) -> list[Block]:
    lines = (
        "Nothing is tagged yet, so there is little to print. Before anything comes off:",
        "1. Tape a number on both ends of every wire, hose, line, cable and linkage.",
        "2. Photograph both ends with the number readable, and once from farther away. Bring the photos in: "
        "asfound add FOLDER",
        '3. Write down what each number is: asfound tag --line "17 hose bypass hose A heat exchanger B thermostat"',
        "4. Print this book again: asfound book OUT.pdf --replace",
    )
    return [block for line in lines for block in desk.text(line)] + [gap(2.5)]


def _how_to(desk: Desk) -> list[Block]:
    lines = (
        "Numbers are those on the tapes. A bar marks the lower side of a number: without it 6 reads as 9, and 16 as "
        "91. A zero has a stroke through it.",
        "A ring on a picture is where that end of the thing was; 17A is end A of 17. A broken ring with a question "
        "mark is a guess of the machine that nobody confirmed.",
        "Pictures of the ends are from before the thing came off. Where there is none, it says so.",
        "Fitted is not tight: by hand, tight, marked and checked each have a box of their own.",
        "Write each note beside what it is about. Every page has its number at the foot, so that you can type your "
        "notes in later, page by page.",
        "The book holds only what was written down, and it judges nothing: follow the "
        "service manual, local law and licensed practice.",
    )
    return [block for line in lines for block in (*desk.text(line), gap(0.8))] + [gap(1.5)]


def _contents(desk: Desk, sections: Sequence[tuple[str, str]]) -> list[Block]:
    blocks: list[Block] = []
    for title, anchor in sections:
        blocks += led(desk.setting, desk.page(anchor), title, desk.width_mm, lead_mm=LEAD_MM / 1.6, jump=anchor)
    return blocks


def cautions(desk: Desk) -> Iterator[Group]:
    """Every caution by phase of the work, each phase deferring; with Lift the pull in the legs of a sling."""
    words = (
        "The usual cautions, by phase of the work. The list is not full. A signal word tells how bad it can get: "
        "DANGER will kill or badly hurt, WARNING could, CAUTION could hurt less badly, NOTICE means damage to things "
        "(ANSI Z535.4)."
    )
    yield from desk.section(CAUTION_SECTION, words, CAUTION_SECTION)
    for phase in dict.fromkeys(caution.phase for caution in CAUTIONS):
        yield desk.subhead(phase.capitalize())
        yield from caution_groups(desk.setting, cautions_of(phase), desk.width_mm, notes=True)
        if phase == "lift":
            yield from _sling(desk)


def _sling(desk: Desk) -> Iterator[Group]:
    """How hard each leg pulls, by its angle."""
    words = (
        f"Pull in each leg = weight / (legs x sine of the angle from level). However many legs there are, count "
        f"{COUNTED_LEGS}. For each {SLING_WEIGHT_KG:g} kg that hangs on {COUNTED_LEGS} legs:"
    )
    yield together([gap(1.0), *desk.text(words)], with_next=True)
    rows = []
    for angle in SLING_ANGLES_DEG:
        pull = estimate_pull(SLING_WEIGHT_KG, COUNTED_LEGS, angle).pull_kg
        flat = "" if angle >= GOOD_ANGLE_DEG else f"flat: keep each leg at {GOOD_ANGLE_DEG:g} degrees or steeper"
        rows.append((f"{angle} degrees", "" if pull is None else f"{pull:.1f} kg", flat))
    rows.append((f"under {LEAST_ANGLE_DEG:g} degrees", "not used", "take longer legs"))
    yield from desk.table((("angle of the leg from level", 0.28), ("pull in each leg", 0.22), ("", 0.5)), rows)
    yield together([block for line in (*COMMON_PRACTICE, DEFER) for block in desk.text(line)])
