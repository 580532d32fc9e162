"""`asfound add`: bring in the photos and clips of a phone or card."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfound.actions.archive import Archive
from asfound.actions.sort import finish_pending
from asfound.actions.sort_report import SortReport
from asfound.cli.json_documents import moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import counted
from asfound.media.limits import TOO_LARGE
from asfound.store.pictures import get_clip, get_picture

if TYPE_CHECKING:
    from asfound.actions.add import AddedFile, DumpReport, RefusedFile

WARNINGS_SHOWN = 20
REFUSED = "refused"
DAMAGED = "kept, but check whether the phone still has it undamaged"
NOT_SHOWN = "the original is kept, without a picture to look at"


@click.command(epilog=example("asfound add ~/phone/DCIM card.zip"))
@click.argument("sources", nargs=-1, required=True, type=click.Path(path_type=Path, exists=True))
@click.option("--documents", "keep", is_flag=True, help="Keep PDF, sound and text files too, as documents of this job.")
@click.option("--later", is_flag=True, help="Only bring the files in; sort them when next asked, or with: asfound sort")
@json_option
def COMMAND(sources: tuple[Path, ...], keep: bool, later: bool, as_json: bool) -> int:
    """Add photos and clips from SOURCES: folders, files and zips.

    The source is only read. The same bytes are never stored twice, whatever their name. Stop with Ctrl-C at any time;
    add the same again to carry on.
    """
    from asfound.actions.add import add_dump
    from asfound.actions.documents import keep_found

    with opened() as archive:
        with shown_progress() as progress:
            report = add_dump(archive, sources, progress=progress)
            kept = [keep_found(archive, one)[1] for one in report.documents] if keep else []
            sorted_ = None if later or report.stopped else finish_pending(archive, progress)
        if as_json:
            print_json(_document(archive, report))
        else:
            _tell(report, sorted_)
            _tell_documents(report, kept, sources)
    _warn(REFUSED, [(each.file, each.reason + _what_is_kept(each)) for each in report.refused])
    troubled = [(each.file, each.trouble) for each in report.added if each.trouble]
    troubled += [(each.file, each.trouble) for each in report.known if each.trouble]
    _warn(NOT_SHOWN, [one for one in troubled if one[1].startswith(TOO_LARGE)])
    _warn(DAMAGED, [one for one in troubled if not one[1].startswith(TOO_LARGE)])
    if report.stopped:
        errors().print("Stopped. What was added is kept; add the same again to go on.")
    return 1 if report.refused or report.stopped or troubled else 0


def _what_is_kept(each: RefusedFile) -> str:
    if not each.kept:
        return ""
    return f" ({NOT_SHOWN if each.reason.startswith(TOO_LARGE) else f'its bytes are {DAMAGED}'})"


def _warn(what: str, files: list[tuple[str, str]]) -> None:
    for file, why in files[:WARNINGS_SHOWN]:
        errors().print(f"{what}: {file}: {why}")
    if len(files) > WARNINGS_SHOWN:
        errors().print(f"{what}: and {len(files) - WARNINGS_SHOWN} more; --json names them all")


def _document(archive: Archive, report: DumpReport) -> dict[str, Any]:
    return {
        "dump": report.dump_id,
        "added": [_added(archive, each) for each in report.added],
        "known": [
            {
                "picture": each.picture_id,
                "file": each.file,
                "trouble": each.trouble or None,
                "came_back": each.came_back,
            }
            for each in report.known
        ],
        "refused": [{"file": each.file, "reason": each.reason} for each in report.refused],
        "documents": [{"file": each.name, "kind": each.kind} for each in report.documents],
        "passed_over": dict(report.passed_over),
    }


def _added(archive: Archive, each: AddedFile) -> dict[str, Any]:
    if each.picture_id is not None:
        taken = get_picture(archive.store, each.picture_id).taken_at
    else:
        taken = get_clip(archive.store, each.clip_id).taken_at if each.clip_id is not None else None
    return {
        "picture": each.picture_id,
        "file": each.file,
        "kind": each.kind,
        "taken": moment(taken),
        "time_source": str(each.time_source),
        "frames": each.frames,
        "trouble": each.trouble or None,
    }


def _tell(report: DumpReport, sorted_: SortReport | None) -> None:
    out = console()
    photos = sum(each.kind == "photo" for each in report.added)
    clips = len(report.added) - photos
    taken = f", {counted(report.frames, 'frame')} taken from the clips" if clips else ""
    out.print(f"{counted(photos, 'photo')} and {counted(clips, 'clip')} added{taken}")
    _tell_known(report)
    if report.refused:
        out.print(f"{len(report.refused)} refused, named below")
    if report.passed_over:
        out.print(f"skipped: {', '.join(f'{why} ({count})' for why, count in report.passed_over.items())}")
    if report.span:
        first, last = report.span
        out.print(f"taken from {first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M}")
    if report.impossible_times:
        file, *rest = report.impossible_times
        more = f" and {len(rest)} more" if rest else ""
        out.print(f"times that cannot be right: {file}{more}; put the camera's clock right with: asfound clock")
    if report.cameras:
        said = ", ".join(f"{name} ({count})" for name, count in report.cameras.most_common())
        out.print(f"cameras: {said}", markup=False)
    if sorted_:
        out.print(f"{counted(sorted_.new_spots, 'new spot')}, {counted(sorted_.new_pairs, 'new pair')}")


def _tell_documents(report: DumpReport, kept: list[bool], sources: tuple[Path, ...]) -> None:
    """Files that are neither photos nor clips: kept, or named with the way to keep them."""
    known = len(report.known_documents) + kept.count(False)
    if known:
        console().print(f"{counted(known, 'document')} kept here already")
    if any(kept):
        console().print(f"{counted(kept.count(True), 'document')} kept; tie them to tags with: asfound document change")
    elif report.documents and not kept:
        names = [each.name for each in report.documents]
        more = f" and {len(names) - WARNINGS_SHOWN} more" if len(names) > WARNINGS_SHOWN else ""
        console().print(f"not added, can be kept as documents: {', '.join(names[:WARNINGS_SHOWN])}{more}", markup=False)
        again = shlex.join(["asfound", "add", "--documents", *map(str, sources)])
        console().print(f"  Keep them with: {again}", markup=False, soft_wrap=True)


def _tell_known(report: DumpReport) -> None:
    count = len(report.known)
    back = [each.file for each in report.known if each.came_back]
    all_of_them = "It was" if count == 1 else f"All {count} were"
    if count and not report.added:
        console().print(f"{all_of_them} here already{'.' if back else '; nothing has changed.'}")
    elif count:
        console().print(f"{count} {'was' if count == 1 else 'were'} here already")
    if back:
        more = f" and {len(back) - WARNINGS_SHOWN} more" if len(back) > WARNINGS_SHOWN else ""
        original, is_ = ("original", "is") if len(back) == 1 else ("originals", "are")
        console().print(
            f"The missing {original} of {', '.join(back[:WARNINGS_SHOWN])}{more} {is_} back in the archive."
        )
