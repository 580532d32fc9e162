"""The demo scenario *Sallow* as plain dataclasses: an invented river workboat, 46 tags, 12 bags, 127 photos.

The columns that are the answer key (`a_iec`, `b_iec`, `true_time`, `day`, `shows`) are not read.
"""

from __future__ import annotations

import csv
import re
from datetime import UTC, datetime, time
from functools import lru_cache
from pathlib import Path

from asfound.core.log.record import BagContents, Record, TagSighting
from asfound.model.log import Event
from asfound.model.tags import EndLetter, Tag, TagEnd

FOLDER = Path(__file__).parent / "data" / "sallow"
STATE_COLUMN = "state_2026_04_26"
HOW = {"hand-tight": "by hand", "tight": "tight", "tight and marked": "marked"}
CAPPED = {"yes": True, "no": False}
REFITTED_AT = datetime(2026, 4, 26, 18, 0, tzinfo=UTC)


def read_rows(name: str) -> list[dict[str, str]]:
    """Rows of one of the scenario's files: "scenario", "photos", "bags", "snags" or "days"."""
    with (FOLDER / f"demo-{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@lru_cache(maxsize=1)
def load_sallow() -> Record:
    """The record as it stood on the evening of 2026-04-26, with `tag_id` = row."""
    rows = read_rows("scenario")
    return Record(
        tags=tuple(_tag(row, rows) for row in rows),
        ends=tuple(_end(row, letter) for row in rows for letter in ("A", "B")[: int(row["ends"])]),
        sightings=tuple(_sightings(rows)),
        events=tuple(event for row in rows for event in _events(row)),
        bags=tuple(_bag(row) for row in read_rows("bags")),
        fit_after=tuple(
            (int(row["row"]), _row_of(number, rows)) for row in rows for number in _numbers(row["refit_after"])
        ),
    )


def _tag(row: dict[str, str], rows: list[dict[str, str]]) -> Tag:
    same = [other["row"] for other in rows if other["tag"] == row["tag"]]
    return Tag(
        tag_id=int(row["row"]),
        job_id=1,
        number=row["tag"],
        order=same.index(row["row"]) + 1,
        kind=row["kind"],
        name=row["name"],
        ends=int(row["ends"]),
        note=row["note"],
        flow=row["flow"],
        size=row["size"],
        bag=row["bag"],
        created_at=_at(row["tagged_on"]),
    )


def _end(row: dict[str, str], letter: EndLetter) -> TagEnd:
    side = letter.lower()
    place = row[f"end_{side}_place"]
    # What was written for the whole thing stands with end A, after what was written for that end.
    notes = [row[f"end_{side}_note"], row["how_it_sat"] if letter == "A" else ""]
    loose = re.search(r"tape at the (\w+) end found loose", row["note"])
    return TagEnd(
        tag_id=int(row["row"]),
        end=letter,
        place=place,
        how_it_sat="; ".join(filter(None, notes)),
        capped=CAPPED.get(row[f"capped_{side}"]),
        capped_with="n/a" if row[f"capped_{side}"] == "n/a" else "",
        colour="/".join(filter(None, (row[f"{side}_base"], row[f"{side}_stripe"]))),
        tape_lost=loose is not None and loose[1] in place,
    )


def _events(row: dict[str, str]) -> list[Event]:
    tag_id, off_at = int(row["row"]), _at(row["off_on"])
    events = [Event(tag_id, tag_id, "off", off_at, "", row["bag"], "", off_at)]
    how = HOW.get(row[STATE_COLUMN])
    if how is not None:
        events.append(Event(1000 + tag_id, tag_id, "refitted", REFITTED_AT, how, "", "", REFITTED_AT))
    return events


def _sightings(rows: list[dict[str, str]]) -> list[TagSighting]:
    """Tags in pictures; a number used twice is the thing that was tagged last when the picture was taken."""
    sightings = []
    for picture_id, photo in enumerate(read_rows("photos"), 1):
        for number, letter in re.findall(r"(\w+?)([AB])(?:;|$)", photo["tags"]):
            day = photo["exif_datetime"][:10].replace(":", "-")
            tagged = [row for row in rows if row["tag"] == number and row["tagged_on"] <= day]
            stage = "before" if photo["stage"] in ("before", "during") else "after"
            sightings.append(TagSighting(int(tagged[-1]["row"]), letter, picture_id, stage))
    return sightings


def _bag(row: dict[str, str]) -> BagContents:
    fastener = " x ".join(filter(None, (row["thread"], row["length_mm"])))
    contents = ", ".join(filter(None, (row["contents"], fastener, row["head_mark"])))
    return BagContents(row["bag"], contents, int(row["count_out"]), int(row["count_back"]), row["note"])


def _row_of(number: str, rows: list[dict[str, str]]) -> int:
    return next(int(row["row"]) for row in rows if row["tag"] == number)


def _numbers(text: str) -> list[str]:
    return [number for number in text.split(";") if number]


def _at(day: str) -> datetime:
    return datetime.combine(datetime.fromisoformat(day), time(16, 0), UTC)
