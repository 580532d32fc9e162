"""Read tape numbers and printed markers in pictures, and propose pins from them.

What is read is kept as it was read, picture by picture, so that a stopped run goes on where it was. It is weighed anew
against the job's numbers and pins each time it is asked for, because those change. Nothing here makes a tag, a pin or
any other fact: a read number is a question to the person.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.progress import Progress, quiet
from asfound.actions.read_proposals import SHOWN_FROM, FoundNumber, weigh_readings
from asfound.actions.sort import finish_pending
from asfound.actions.views import load_rgb, naming_refused, source_of
from asfound.core.read.agree import agree
from asfound.core.read.engine import NumberEngine
from asfound.core.read.picture import best_engine, read_picture
from asfound.core.read.reading import Reading
from asfound.errors import AsfoundError
from asfound.media.limits import DEFAULT_LIMITS
from asfound.media.opening import open_picture
from asfound.model.pictures import Picture
from asfound.store import readings
from asfound.store.pictures import list_pictures
from asfound.store.tags import known_numbers

_SURER = {"own": ("rapidocr",)}
"""For each reader, those whose readings it need not repeat."""


@dataclass(slots=True)
class ReadReport:
    """What a run did: pictures read in it, what is known of the pictures asked for, and what could not be opened.

    Attributes
    ----------
    reader : str
        Name of the engine that read.
    failed : list of (str, str)
        File name and reason.
    """

    reader: str
    read: int = 0
    found: list[FoundNumber] = field(default_factory=list)
    failed: list[tuple[str, str]] = field(default_factory=list)
    stopped: bool = False


def read_pictures(
    archive: Archive,
    among: Sequence[Picture] | None = None,
    *,
    again: bool = False,
    engine: NumberEngine | None = None,
    progress: Progress = quiet,
) -> ReadReport:
    """Read the pictures that have not been read yet, propose pins, and tell what is known of all that were asked for.

    Parameters
    ----------
    among : sequence of Picture or None
        None for all pictures of the job.
    again : bool
        Read those again that were read before.
    engine : NumberEngine or None
        None takes the surest that is installed. Pictures that a less sure one has read are read again.
    """
    finish_pending(archive, progress)
    engine = engine or best_engine()
    asked = list_pictures(archive.store, archive.job.job_id) if among is None else list(among)
    readers = (engine.name, *_SURER.get(engine.name, ()))
    unread = set(readings.unread_pictures(archive.store, archive.job.job_id, readers))
    todo = [picture for picture in asked if again or picture.picture_id in unread]
    report = ReadReport(engine.name)
    try:
        for done, picture in enumerate(todo):
            progress(f"reading {picture.file}", done, len(todo))
            _read(archive, picture, engine, report)
    except KeyboardInterrupt:
        report.stopped = True
    wanted = {picture.picture_id for picture in asked}
    report.found = [
        found for found in weigh_readings(archive.store, archive.job.job_id) if found.picture.picture_id in wanted
    ]
    return report


def read_file(archive: Archive, path: Path, *, engine: NumberEngine | None = None) -> list[Reading]:
    """Read a picture that is not in the archive; nothing is kept of it.

    Raises
    ------
    Refused
        If it is no picture that can be read.
    """
    with naming_refused(path):
        image_rgb = open_picture(path, limits=DEFAULT_LIMITS)
    found = read_picture(image_rgb, engine=engine or best_engine())
    known = known_numbers(archive.store, archive.job.job_id)
    weighed = agree(found, known, aspect=image_rgb.shape[1] / image_rgb.shape[0])
    return [reading for reading in weighed if reading.confidence >= SHOWN_FROM]


def _read(archive: Archive, picture: Picture, engine: NumberEngine, report: ReadReport) -> None:
    try:
        image_rgb = load_rgb(source_of(archive, picture))
    except AsfoundError as error:
        report.failed.append((picture.file, str(error)))
        return
    found = read_picture(image_rgb, engine=engine)
    with archive.store.transaction():
        readings.save_readings(archive.store, picture.picture_id, engine.name, found)
    report.read += 1
