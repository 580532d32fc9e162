"""Looks at holds are kept, also those that an earlier format kept one of."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.store import fitting, jobs, migrations
from asfound.store.database import Store

BEFORE_LOOKS = 3
AT = datetime(2025, 10, 18, 14, 0, tzinfo=UTC)
LATER = datetime(2025, 10, 19, 14, 0, tzinfo=UTC)


def test_look_of_an_earlier_format_is_kept_and_its_step_can_still_be_taken_back(tmp_path: Path):
    path = tmp_path / "asfound.sqlite"
    with pytest.MonkeyPatch.context() as earlier:
        earlier.setattr(migrations, "MIGRATIONS", migrations.MIGRATIONS[:BEFORE_LOOKS])
        with Store(path) as store:
            job_id = jobs.add_job(store, "Sallow", "Europe/Amsterdam", AT).job_id
            with store.step("hold before lift out looked at", AT):
                store.run(
                    "INSERT INTO hold_word(job_id, hold, at, by_whom) "
                    "VALUES (?, 'before lift out', ?, 'yard engineer')",
                    *(job_id, AT.isoformat()),
                )

    with Store(path) as store:
        assert fitting.list_holds(store, job_id) == {"before lift out": (AT, "yard engineer")}
        with store.step("again", LATER):
            fitting.pass_hold(store, job_id, "before lift out", LATER, "deckhand", is_day_only=True)
        assert [(look.at, look.is_day_only) for look in fitting.list_looks(store, job_id)] == [
            (AT, False),
            (LATER, True),
        ]
        store.undo(LATER)
        store.undo(LATER)
        assert fitting.list_looks(store, job_id) == []
