"""An archive from before a job had a word for turning: it is brought up when it is opened, and the word is undoable."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions import undo
from asfound.actions.archive import open_archive
from asfound.actions.job import change_job, new_job
from asfound.store import migrations

BEFORE_TURNING = 2


def test_a_job_of_an_earlier_format_gets_the_word_and_keeps_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as earlier:
        earlier.setattr(migrations, "MIGRATIONS", migrations.MIGRATIONS[:BEFORE_TURNING])
        with open_archive(tmp_path / "archive", create=True) as archive, archive.store.transaction():
            columns = {row["name"] for row in archive.store.rows("PRAGMA table_info(job)")}
            assert "turning_means" not in columns
            archive.store.run(
                "INSERT INTO job(name, zone, front_means, created_at) VALUES ('Sallow', 'UTC', 'belt end', ?)",
                archive.now().isoformat(),
            )
    with open_archive(tmp_path / "archive", job_id=1) as archive:
        assert (archive.job.front_means, archive.job.turning_means) == ("belt end", "")
        change_job(archive, turning_means="clockwise seen from the belt end")
        assert archive.job.turning_means == "clockwise seen from the belt end"
        undo.undo(archive)
        assert (archive.job.front_means, archive.job.turning_means) == ("belt end", "")


def test_words_typed_over_lines_are_one_line(tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        job = new_job(archive, "Sallow", zone="UTC", turning_means=" clockwise\n seen from the belt end ")
        assert job.turning_means == "clockwise seen from the belt end"
