"""Content of a book that is hard to lay out: long words, many ends, narrow pictures, loops, letters of anywhere."""

from __future__ import annotations

from asfound.core.codes.caution_table import CAUTIONS
from asfound.core.refit.steps import HoldPoint, Lift, OwnStep
from asfound.core.sheets.book.content import (
    BagEntry,
    BookContent,
    BookEnd,
    DayEntry,
    DocumentEntry,
    GapPart,
    HoldEntry,
    OverviewEntry,
    Pinned,
    Shown,
    SnagEntry,
    SpotEntry,
    TagEntry,
    WalkEntry,
)

LONG = "a hose that goes behind the tank, over the strainer and under everything else that was ever fitted there; " * 30
UNBROKEN = "x" * 400
ANYWHERE = "Łódź Ωμέγα Жук 🔧 日本 عربي e\u0301"


def shown(picture_id: int, size_px: tuple[int, int] = (4000, 3000), spot_id: int | None = 1) -> Shown:
    return Shown(picture_id, f"{UNBROKEN if picture_id == 2 else 'P1_0001'}.jpg", size_px, "2025-10-12 11:00", spot_id)


def tag(number: int, label: str = "", **said: object) -> TagEntry:
    label = label or str(number)
    ends = (
        BookEnd("A", "tank", "stays behind", (("sat", LONG), ("colour", "RD/BK (red with black stripe)")),
                 shown(number), Pinned(f"{label}A", 0.02, 0.98)),
        BookEnd("B", UNBROKEN, "", (), None),
    )  # fmt: skip
    made: dict[str, object] = {
        "tag_id": number, "label": label, "name": f"hose {number}", "kind": "hose", "has_bar": label == "6",
        "standing": "off since 2025-10-18", "fields": (("note", ANYWHERE),), "ends": ends,
    }  # fmt: skip
    return TagEntry(**{**made, **said})  # type: ignore[arg-type]


def book_of_odd_things() -> BookContent:
    """One of each that is hard, and enough of them to fill pages."""
    tags = [
        tag(1, name=LONG),
        tag(2, label="W-10000000000000000000000000000000", name=UNBROKEN),
        tag(
            6,
            cautions=CAUTIONS,
            fields=(("note", LONG), ("route", UNBROKEN)),
            bags=(LONG, "B1: 3 out"),
            snags=(LONG,),
            values=(("tightening", LONG), (UNBROKEN, "45 Nm")),
        ),
        tag(7, name="", kind="", ends=(BookEnd("", "", "", (), shown(3, (300, 4000)), Pinned("7", 0.5, 0.5, False)),)),
        tag(
            8,
            ends=(),
            loops=("8 and 9 wait for each other: take one rule away.",),
            waits_for=("9", "hold before lift in"),
        ),
        *(tag(number) for number in range(9, 60)),
    ]
    own = OwnStep(1, LONG), OwnStep(2, UNBROKEN, is_hold=True)
    steps = (*tags[:3], HoldPoint.LIFT_IN, Lift.IN, *tags[3:40], own[0], HoldPoint.FIRST_START, own[1])
    near = tuple(Pinned(f"{at}A?", 0.5 + at / 500, 0.5, at % 2 == 0) for at in range(12))
    far = tuple((at, 0.3 + at / 100, 0.4, 0.2, 0.2) for at in (1, 2, 3))
    listed = tuple((f"{one.label}A", one.heading, one.tag_id) for one in tags)
    return BookContent(
        job=f"{ANYWHERE} {LONG}",
        front_means=LONG,
        left_means="",
        turning_means=LONG,
        printed="2026-04-26",
        first_day="2025-10-11",
        last_day="2026-04-26",
        note=LONG,
        note_day="2026-04-26",
        counts=(("tags", LONG),),
        steps=steps,
        not_off=tuple(tags[40:]),
        warnings=("8 and 9 wait for each other: take one rule away.",),
        holds=tuple(HoldEntry(point, ((LONG, True), (UNBROKEN, False)), LONG, "Looked at.") for point in HoldPoint),
        bags=(
            BagEntry("B1", LONG, (UNBROKEN,), "", "1, 2", "100", "", LONG),
            BagEntry(UNBROKEN, "", (), "", "", "", ""),
        ),
        belts=(("43", LONG, (("path", LONG),)), ("44", "belt", ())),
        snags=(
            SnagEntry("N1", "1 hose", LONG, UNBROKEN, False, True),
            SnagEntry("N2", "", "stuck", "", False, False, LONG),
        ),
        fluids=(("2025-10-18", "7.5 l engine oil", UNBROKEN, "black", LONG),),
        sent_out=(("1 hose", UNBROKEN, "2025-11-08", "NOT BACK", LONG),),
        to_buy=(LONG, UNBROKEN),
        gaps=(GapPart("Check on the machine while you still can", (LONG, UNBROKEN)),),
        documents=(DocumentEntry("1", LONG, UNBROKEN, shown(2, (300, 4000))), DocumentEntry("9999", UNBROKEN, LONG)),
        walk=(
            WalkEntry(LONG[:60], tuple(shown(at) for at in (1, 2, 3, 4)), LONG[:60]),
            WalkEntry(UNBROKEN[:60], (), LONG),
            WalkEntry("plate", (), ""),
        ),
        overviews=(OverviewEntry(shown(4), far), OverviewEntry(shown(5, (3000, 4000)), far)),
        spots=tuple(
            SpotEntry(
                at,
                LONG if at == 2 else "",
                shown(at, spot_id=at),
                near,
                listed if at < 3 else (),
                tuple(shown(9) for _ in range(9)),
                10,
            )
            for at in (1, 2, 3)
        ),
        days=(DayEntry("2025-10-18", LONG, (("09:00", UNBROKEN[:30], LONG, UNBROKEN),) * 3),),
    )
