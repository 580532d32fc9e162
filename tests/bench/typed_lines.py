"""How many lines of the log, typed as people say them, are taken as meant.

Run: python tests/bench/typed_lines.py tests/data/typed_lines/kept_back.txt

A line is asked of a job with the tags 1 to 60, without 33 and 34, two things numbered 12, and the bags B1 to B12, on
Wednesday 5 November 2025, 16:40 in Amsterdam. What is meant follows " => ": a line of the log each, parted by " | ", as
number with end, what happened, and fields; "-" is no tag. ASK means that nothing is to be written. Tag, end, event, bag
and day are compared; who, how much and notes are not.
"""

from __future__ import annotations

import re
import sys
import tempfile
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from asfound.actions import bags, job, tag
from asfound.actions.archive import Archive, open_archive
from asfound.actions.typed_line import write_typed
from asfound.errors import AsfoundError

NOW = datetime(2025, 11, 5, 16, 40, tzinfo=ZoneInfo("Europe/Amsterdam"))
ONE_ENDED = ("20", "21", "22")
MEANT = re.compile(r"(?P<tag>-|\d+(?:\.\d)?)(?P<end>[ab]?) (?P<event>.+?)(?P<fields>(?: \w+=.*)?)")
Row = tuple[str, str, str, str, str]
"""Tag, end, event, bag, day."""


def make_archive(folder: Path) -> Archive:
    """The job that the lines speak of."""
    archive = open_archive(folder, create=True, now=lambda: NOW)
    job.new_job(archive, "Work boat", zone="Europe/Amsterdam")
    for number in [*map(str, range(1, 61)), "12"]:
        if number not in ("33", "34"):
            tag.add_tag(archive, number, tag.TagWords(kind="bracket" if number in ONE_ENDED else "hose"))
    for number in range(1, 13):
        bags.save_bag(archive, f"B{number}", bags.BagWords(contents="bolts"))
    return archive


def meant_rows(words: str) -> set[Row] | None:
    """What is to be written; None where it is to be asked back."""
    if words == "ASK":
        return None
    rows = set()
    for part in words.split(" | "):
        found = MEANT.fullmatch(part)
        assert found is not None, part
        fields = dict(re.findall(r"(\w+)=(.*?)(?= \w+=|$)", found["fields"]))
        number = "" if found["tag"] == "-" else found["tag"]
        day = fields.get("at", f"{NOW:%Y-%m-%d}")[:10]
        rows.add((number, found["end"], found["event"], fields.get("bag", "").removeprefix("B"), day))
    return rows


def written_rows(archive: Archive, line: str) -> set[Row] | None:
    """What a line wrote, taken back again; None where it was refused."""
    tags = tag.list_tags(archive)
    numbers = {one.tag_id: one.number if one.order == 1 else f"{one.number}.{one.order}" for one in tags}
    try:
        with archive.store.transaction():
            new = write_typed(archive, line).lines
            raise _Enough
    except _Enough:
        return {
            (
                numbers.get(one.tag_id or 0, ""),
                one.end.lower(),
                one.kind,
                one.bag.removeprefix("B"),
                f"{one.at:%Y-%m-%d}",
            )
            for one in new
        }
    except AsfoundError:
        return None


class _Enough(Exception):
    """What a line wrote was looked at; nothing of it stays."""


def main(path: Path) -> None:
    lines = [one.split(" => ") for one in path.read_text().splitlines() if not one.startswith("#")]
    with tempfile.TemporaryDirectory() as folder, make_archive(Path(folder) / "archive") as archive:
        told = [(line, meant_rows(meant), written_rows(archive, line)) for line, meant in lines]
    right = sum(meant == written for _, meant, written in told)
    wrong = [line for line, meant, written in told if written is not None and meant != written]
    print(f"{right} of {len(told)} as meant ({right / len(told):.2f}); {len(wrong)} written otherwise than meant")
    if not path.name.startswith("kept_back"):  # those lines stay unread, so that nothing is tuned on them
        print("".join(f"  otherwise: {line}\n" for line in wrong), end="")
        refused = [line for line, meant, written in told if written is None and meant is not None]
        print("".join(f"  asked back: {line}\n" for line in refused), end="")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
