"""A short report of where a job stands, for when there is no terminal to draw screens on."""

from __future__ import annotations

from asfound.actions import log
from asfound.actions.gaps import find_gaps
from asfound.actions.spots import list_pairs, list_spots
from asfound.actions.tag import list_tags
from asfound.cli.parts import console, opened, settle
from asfound.cli.places import counted
from asfound.store.pictures import list_clips, list_pictures


def print_report() -> None:
    """Print counts, what is off and not yet back, the first gaps, and the next step."""
    with opened() as archive:
        settle(archive)
        job = archive.job
        pictures = list_pictures(archive.store, job.job_id)
        clips = list_clips(archive.store, job.job_id)
        spots, tags, gaps = list_spots(archive), list_tags(archive), find_gaps(archive)
        last = {event.tag_id: event.kind for event in log.list_events(archive)}
        still_off = [tag.number for tag in tags if last.get(tag.tag_id) == "off"]
        out = console()
        out.print(f"{job.name}", markup=False, style="bold")
        frames = sum(1 for picture in pictures if picture.kind == "frame")
        taken = f"{counted(len(clips), 'clip')} with {counted(frames, 'frame')} taken"
        out.print(f"{counted(len(pictures) - frames, 'photo')}, {taken}")
        out.print(f"{counted(len(spots), 'spot')}, {counted(len(list_pairs(archive)), 'pair')}")
        out.print(f"{counted(len(tags), 'tag')}, off and not yet back: {', '.join(still_off) or 'none'}", markup=False)
        out.print(counted(len(gaps), "gap") + (", first of all:" if gaps else ""))
        for gap in gaps[:5]:
            out.print(f"  {gap.why}", markup=False)
        out.print(_next_step(len(pictures), len(tags)))


def _next_step(pictures: int, tags: int) -> str:
    if not pictures:
        return "Next: bring pictures in with: asfound add FOLDER"
    if not tags:
        return "Next: write down the first tag with: asfound tag 1 --kind wire"
    return "Next: open the screens in a terminal with: asfound"
