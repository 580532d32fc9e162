"""A short report of where a job stands, for when there is no terminal to draw screens on."""

from __future__ import annotations

from asfound.actions.gaps import find_gaps
from asfound.actions.spots import list_pairs
from asfound.actions.summary import summarize
from asfound.actions.tag_list import list_tags_by_number
from asfound.cli.parts import console, opened, settle
from asfound.cli.places import counted


def print_report() -> None:
    """Print counts, what is off and not yet back, the first gaps, and the next step."""
    with opened() as archive:
        settle(archive)
        told, gaps = summarize(archive), find_gaps(archive)
        still_off = [one.label for one in list_tags_by_number(archive) if one.state == "off"]
        out = console()
        out.print(told.name, markup=False, style="bold")
        taken = f"{counted(told.clips, 'clip')} with {counted(told.frames, 'frame')} taken"
        out.print(f"{counted(told.pictures - told.frames, 'photo')}, {taken}")
        out.print(f"{counted(told.spots, 'spot')}, {counted(len(list_pairs(archive)), 'pair')}")
        out.print(f"{counted(told.tags, 'tag')}, off and not yet back: {', '.join(still_off) or 'none'}", markup=False)
        out.print(counted(len(gaps), "gap") + (", first of all:" if gaps else ""))
        for gap in gaps[:5]:
            out.print(f"  {gap.why}", markup=False)
        out.print(_next_step(told.pictures, told.tags))


def _next_step(pictures: int, tags: int) -> str:
    if not pictures:
        return "Next: bring pictures in with: asfound add FOLDER"
    if not tags:
        return "Next: write down the first tag with: asfound tag 1 --kind wire"
    return "Next: open the screens in a terminal with: asfound"
