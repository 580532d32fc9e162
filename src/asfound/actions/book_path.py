"""Where the book is printed to, kept for the next time."""

from __future__ import annotations

from pathlib import Path

from asfound.actions import settings
from asfound.actions.archive import Archive
from asfound.system import file_name


def usual_path(archive: Archive) -> Path:
    """Where the book was printed last; else a file beside the archive, by the job's name."""
    known = settings.remembered(archive, _path_key(archive))
    if known and Path(known).parent.is_dir():
        return Path(known)
    return archive.folder.resolve().parent / f"{file_name(archive.job.name) or 'book'}.pdf"


def remember_path(archive: Archive, path: Path) -> None:
    """Keep where the book was printed, for the next time."""
    settings.remember(archive, _path_key(archive), str(path))


def _path_key(archive: Archive) -> str:
    return f"book of job {archive.job.job_id}"
