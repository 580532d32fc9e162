"""A backup opened for reading, whether it is a folder or one file."""

from __future__ import annotations

import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from asfound.archive.backups import DATABASES, is_backup, list_states
from asfound.archive.elsewhere import Elsewhere
from asfound.errors import ArchiveTrouble, Misused, NoArchive
from asfound.store.integrity import check_database


@contextmanager
def opened_backup(backup: Path, state: str = "") -> Iterator[tuple[Path, Elsewhere]]:
    """A state of the database in a backup, as a file that may be read, and where its originals lie."""
    if backup.is_dir() and is_backup(backup):
        names = [path for path in list_states(backup) if path.name.startswith(state)]
        if not names:
            raise _no_state(backup, state, [path.name for path in list_states(backup)])
        yield names[0], Elsewhere([backup / "originals"])
    elif backup.is_file() and zipfile.is_zipfile(backup):
        with tempfile.TemporaryDirectory(prefix="asfound-") as place, zipfile.ZipFile(backup) as packed:
            inside = [name for name in packed.namelist() if name.startswith(f"{DATABASES}/")]
            names = sorted((Path(name) for name in inside if Path(name).name.startswith(state)), reverse=True)
            if not names:
                raise _no_state(backup, state, inside)
            database = Path(place, names[0].name)
            database.write_bytes(_unpacked(packed, names[0].as_posix(), backup))
            yield database, Elsewhere([backup])
    else:
        raise NoArchive(f"{backup}: no backup here; name the folder or the .zip that asfound backup made.")


def refuse_damaged(backup: Path, database: Path, state: str) -> None:
    """Raise `ArchiveTrouble` where a state is damaged, with the latest whole one; chosen for want of one it passes."""
    if not check_database(database):
        return
    whole = next((path.stem for path in list_states(backup) if not check_database(path)), None)
    if whole is not None:
        raise ArchiveTrouble(
            f"{backup}: the state of {database.stem} is damaged. The latest whole one is {whole}; bring that back with "
            f"--state {whole}"
        )
    if not state:
        raise ArchiveTrouble(
            f"{backup}: no state of the record in it is whole; asfound check {backup} says what is damaged. Bring it "
            f"back as it is with --state {database.stem}, then save what can be read with: asfound repair"
        )


def _unpacked(packed: zipfile.ZipFile, name: str, backup: Path) -> bytes:
    try:
        return packed.read(name)
    except (zipfile.BadZipFile, zlib.error, EOFError) as error:
        raise ArchiveTrouble(
            f"{backup}: the record in it is damaged ({error}); bring back another backup. Its photos can still be "
            f"used with: asfound repair --from {backup}"
        ) from error


def _no_state(backup: Path, state: str, names: list[str]) -> Misused:
    if not names:
        return Misused(f"{backup}: this backup was never finished: it holds no database. Make it again: asfound backup")
    known = ", ".join(Path(name).stem for name in names[:5])
    return Misused(f'{backup}: no state of the database begins with "{state}"; these are there: {known}')
