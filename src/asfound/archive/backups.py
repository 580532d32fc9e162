"""A backup: the originals by digest, and several states of the database, each whole or not there at all.

    originals/ab/abcdef….jpg             as in the archive
    databases/2025-10-18T09.42.11.sqlite  the database as it was then, in universal time; with its page sums beside it
    README.txt                           a note to whoever finds the folder
    identity.txt                         what tells its archive from others

A state of the database is published last: while one is being made it has another name, and so has a file that a stopped
run left half written. As one file, a backup is a zip with the same names in it and one state.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from asfound.archive.atomic import TEMPORARY, draft_in, save_bytes
from asfound.archive.layout import Layout
from asfound.system import sync_folder

DATABASES = "databases"
IDENTITY = "identity.txt"
STAMP = "%Y-%m-%dT%H.%M.%S"
KEPT_LATEST = 10
README = """\
This folder is a backup made by asfound: photos and clips of a machine that was taken apart, and the record of it.

originals/   Every photo and clip, byte for byte. The name of each is its SHA-256 digest. Any viewer opens them.
databases/   The record as it was at the time in each name: SQLite databases.

Bring it back with:  asfound restore THIS-FOLDER --to NEW-FOLDER
"""


def make_backup_folder(folder: Path) -> Layout:
    """Make a backup's folders and note; a second time changes nothing."""
    layout = Layout(folder)
    layout.originals.mkdir(parents=True, exist_ok=True)
    (folder / DATABASES).mkdir(exist_ok=True)
    if not layout.readme.exists():
        save_bytes(layout.readme, README.encode("utf-8"))
    return layout


def is_backup(folder: Path) -> bool:
    """Whether a folder is a backup, and not an archive."""
    return (folder / DATABASES).is_dir() and not Layout(folder).database.exists()


def list_states(folder: Path) -> list[Path]:
    """The states of the database in a backup folder, latest first; half-written ones left out."""
    return sorted((folder / DATABASES).glob("[0-9]*.sqlite"), reverse=True)


def save_identity(layout: Layout, identity: str) -> None:
    """Write down in a backup folder whose it is, unless that stands there."""
    place = layout.folder / IDENTITY
    if identity and not place.exists():
        save_bytes(place, identity.encode())


def identity_of_backup(place: Path) -> str:
    """Of which archive a backup is; empty where it does not say, or is none."""
    with suppress(OSError, zipfile.BadZipFile, KeyError):
        if place.is_dir():
            return (place / IDENTITY).read_bytes().decode("ascii", "replace").strip()
        with zipfile.ZipFile(place) as packed:
            return packed.read(IDENTITY).decode("ascii", "replace").strip()
    return ""


def states_in_file(path: Path) -> list[str]:
    """Places of the states of the database in a backup in one file, latest first; none in any other file."""
    with suppress(OSError, zipfile.BadZipFile), zipfile.ZipFile(path) as packed:
        inside = [name for name in packed.namelist() if name.startswith(f"{DATABASES}/") and time_of_state(name)]
        return sorted(inside, reverse=True)
    return []


def half_written(folder: Path) -> list[Path]:
    """What a stopped backup left in a backup folder."""
    return sorted((folder / DATABASES).glob(f"{TEMPORARY}*"))


def state_name(at: datetime) -> str:
    """The name of a state of the database."""
    return f"{at.astimezone(UTC).strftime(STAMP)}.sqlite"


def time_of_state(name: str) -> datetime | None:
    """When a state was made, by its name; None for another name."""
    with suppress(ValueError):
        return datetime.strptime(Path(name).stem, STAMP).replace(tzinfo=UTC)
    return None


def superseded(states: Iterable[Path]) -> list[Path]:
    """States that need not be kept: neither among the latest nor the latest of their month."""
    ordered = sorted(states, reverse=True)
    months: dict[str, Path] = {}
    for path in ordered:
        months.setdefault(path.name[:7], path)
    kept = {*ordered[:KEPT_LATEST], *months.values()}
    return [path for path in ordered if path not in kept]


def publish_zip(
    target: Path, database: Path, name: str, originals: Iterable[tuple[Path, str]], identity: str = ""
) -> None:
    """Write a backup as one file, whole or not at all.

    Parameters
    ----------
    database : Path
        The state of the database.
    name : str
        Its name in the backup.
    originals : iterable of (Path, str)
        Where each lies, and its place in the backup.
    identity : str
        Of which archive it is.
    """
    with draft_in(target.parent) as draft:
        # Photos and clips are compressed already.
        with zipfile.ZipFile(draft.file, "w", zipfile.ZIP_STORED) as packed:
            packed.writestr("README.txt", README)
            if identity:
                packed.writestr(IDENTITY, identity)
            for path, place in originals:
                packed.write(path, place)
            packed.write(database, f"{DATABASES}/{name}")
        draft.publish(target)
    sync_folder(target.parent)
