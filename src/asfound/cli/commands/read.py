"""`asfound read`: read tape numbers and printed markers in pictures."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfound.actions import resolve
from asfound.cli.parts import clean, console, errors, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import counted

if TYPE_CHECKING:
    from asfound.actions.read_proposals import FoundNumber
    from asfound.actions.reading import ReadReport
    from asfound.core.read.reading import Reading

THE_EXTRA = 'A second reader makes fewer mistakes but takes four times as long: pip install "asfound[read]"'


@click.command(epilog=example("asfound read P1_0016.jpg"))
@click.argument("photos", nargs=-1)
@click.option("--again", is_flag=True, help="Read pictures again that were read before.")
@json_option
def COMMAND(photos: tuple[str, ...], again: bool, as_json: bool) -> int:
    """Read the numbers on tape and the printed markers in PHOTOS, or in all pictures of the job.

    PHOTOS are pictures of the archive or files outside it. Where a tag has the number, a pin is proposed for you to
    confirm or reject. Nothing is tagged or pinned without your word. X and Y are the centre, W and H the size, as
    fractions of the picture as displayed. Stop with Ctrl-C at any time; run it again to carry on.
    """
    from asfound.actions.reading import ReadReport, read_file, read_pictures

    outside = [Path(photo) for photo in photos if Path(photo).is_file()]
    with opened() as archive, shown_progress() as progress:
        within = [resolve.get_picture(archive, photo) for photo in photos if not Path(photo).is_file()]
        report = ReadReport("")
        if within or not photos:
            report = read_pictures(archive, within if photos else None, again=again, progress=progress)
        loose = [(path, reading) for path in outside for reading in read_file(archive, path)]
    documents = [_of_archive(found) for found in report.found]
    documents += [_document(reading, path.name, None) for path, reading in loose]
    if as_json:
        print_json(documents)
    else:
        _tell(report, documents, bool(photos))
    for file, reason in report.failed:
        errors().print(f"not read: {clean(file)}: {clean(reason)}", markup=False, soft_wrap=True)
    if report.stopped:
        errors().print("Stopped. What was read is kept; run it again to carry on.")
    return 1 if report.failed or report.stopped else 0


def _of_archive(found: FoundNumber) -> dict[str, Any]:
    return {
        **_document(found.reading, found.picture.file, found.picture.picture_id),
        "tag": None if found.tag is None else found.tag.number,
        "end": found.end or found.reading.end,
        "proposed": found.is_proposed,
        "answer": found.answer,
    }


def _document(reading: Reading, file: str, picture_id: int | None) -> dict[str, Any]:
    return {
        "picture": picture_id,
        "file": file,
        "number": reading.number,
        "end": reading.end,
        "how": reading.how,
        "x": reading.x_frac,
        "y": reading.y_frac,
        "w": reading.w_frac,
        "h": reading.h_frac,
        "confidence": round(reading.confidence, 4),
        "upside_down": reading.upside_down,
        "doubt": reading.doubt or None,
        "tag": None,
        "proposed": False,
        "answer": None,
    }


def _tell(report: ReadReport, documents: list[dict[str, Any]], named: bool) -> None:
    out = console()
    for each in documents:
        number = f"{each['number']}{each['end'] or ''}"
        state = "proposed" if each["proposed"] else each["answer"] or ("" if each["tag"] else "no tag")
        words = ", ".join(filter(None, (f"{each['confidence']:.0%} sure", each["how"], state, each["doubt"])))
        out.print(f"{each['file']}  {number}  {words}", markup=False)
    if not documents:
        out.print("No number was read." if named else "No number was read in any picture.")
    if report.reader:
        proposed = sum(each["proposed"] for each in documents)
        wait = f"{proposed} {'waits' if proposed == 1 else 'wait'} for your answer"
        out.print(f"{counted(report.read, 'picture')} read now, {counted(len(documents), 'number')} known, {wait}.")
    if any(each["proposed"] for each in documents):
        out.print("Answer them with: asfound confirm 17a PICTURE, or reject; or in the screens: asfound")
    if report.reader == "own":
        out.print(THE_EXTRA, markup=False)
