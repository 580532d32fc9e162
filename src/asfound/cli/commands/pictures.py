"""`asfound pictures`: every picture in order of time."""

from __future__ import annotations

import click

from asfound.actions.archive import Archive
from asfound.actions.gaps import damaged_files
from asfound.actions.known import known_clips, known_pictures
from asfound.cli.json_documents import moment, picture_document
from asfound.cli.parts import clean, console, example, json_option, opened, print_json


@click.command(epilog=example("asfound pictures --clips"))
@click.option("--clips", is_flag=True, help="List clips instead.")
@click.option("--damaged", is_flag=True, help="List only what is damaged, with what can still be seen of it.")
@json_option
def COMMAND(clips: bool, damaged: bool, as_json: bool) -> None:
    """List pictures in order of time, with where the time came from."""
    with opened() as archive:
        if damaged:
            _list_damaged(archive, as_json)
            return
        if clips:
            _list_clips(archive, as_json)
            return
        found = known_pictures(archive).values()
        if as_json:
            print_json([picture_document(picture) for picture in found])
            return
        for p in found:
            doubt = f"  ! {p.time_doubt}" if p.time_doubt else ""
            out = f"  ({p.trouble})" if p.trouble else ""
            line = f"{p.picture_id:>5}  {moment(p.taken_at) or 'time unknown':<29}  {clean(p.file)}{doubt}{out}"
            console().print(line, markup=False, soft_wrap=True)
        if not found:
            console().print("No pictures yet. Bring some in with: asfound add FOLDER")


def _list_damaged(archive: Archive, as_json: bool) -> None:
    """Files that cannot be shown whole; whether something of each can be seen, and what is the matter."""
    found = damaged_files(archive)
    seen = {one.picture_id for one in known_pictures(archive).values() if one.sharpness is not None}
    framed = {one.file.partition("@")[0] for one in known_pictures(archive).values() if one.kind == "frame"}
    shown = [one.picture_id in seen or one.file in framed for one in found]
    if as_json:
        print_json(
            [
                {"file": one.file, "picture": one.picture_id, "trouble": one.trouble, "seen_in_part": in_part}
                for one, in_part in zip(found, shown, strict=True)
            ]
        )
        return
    for one, in_part in zip(found, shown, strict=True):
        console().print(f"{one.file}: {one.trouble}; {'a part can be seen' if in_part else 'nothing can be seen'}")
    if not found:
        console().print("No picture or clip is damaged. Every byte is checked by: asfound check --full")


def _list_clips(archive: Archive, as_json: bool) -> None:
    found = known_clips(archive)
    if as_json:
        print_json(
            [
                {
                    "clip": c.clip_id,
                    "file": c.file,
                    "taken": moment(c.taken_at),
                    "seconds": c.duration_s,
                    "doubt": c.time_doubt,
                }
                for c in found
            ]
        )
        return
    for c in found:
        doubt = f"  ! {c.time_doubt}" if c.time_doubt else ""
        line = (
            f"{c.clip_id:>5}  {moment(c.taken_at) or 'time unknown':<29}  {c.duration_s:6.1f} s  {clean(c.file)}{doubt}"
        )
        console().print(line, markup=False, soft_wrap=True)
