"""An archive on a disk that cannot be written, such as a backup, is read as it is, whichever format it has."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import ArchiveTrouble, NewerArchive
from asfound.store import database, jobs, migrations
from asfound.store.database import Store


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A database of the last format but one, which may not be written; whoever runs this may write anything."""
    place = tmp_path / "asfound.sqlite"
    known = migrations.MIGRATIONS
    with monkeypatch.context() as earlier:
        earlier.setattr(migrations, "MIGRATIONS", known[:-1])
        with Store(place) as store:
            store.run(
                "INSERT INTO job(name, zone, created_at) VALUES ('Sallow', 'Etc/UTC', '2025-10-11T09:00:00+00:00')"
            )
    monkeypatch.setattr(database.os, "access", lambda *_: False)
    return place


def test_earlier_format_is_read_and_stays_as_it_is(place: Path):
    as_found = place.read_bytes()

    with Store(place) as store:
        assert [job.name for job in jobs.list_jobs(store)] == ["Sallow"]
        assert store.value("PRAGMA user_version") == len(migrations.MIGRATIONS)

    assert place.read_bytes() == as_found


def test_nothing_is_taken_for_saved(place: Path):
    with Store(place) as store, pytest.raises(ArchiveTrouble, match="nothing was saved"), store.transaction():
        store.run("UPDATE job SET name = 'Other'")


def test_later_format_is_refused_in_words(place: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(migrations, "MIGRATIONS", migrations.MIGRATIONS[:-2])

    with pytest.raises(NewerArchive, match="newer program"):
        Store(place)
