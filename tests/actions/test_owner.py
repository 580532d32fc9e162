"""What tells one archive from others: made once, and not in the way where nothing can be written."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.owner import identity_of_archive, new_identity
from asfound.store.database import Store


def test_identity_is_made_once_and_no_other_archive_has_it(tmp_path: Path):
    with Store(tmp_path / "a.sqlite") as store:
        made = identity_of_archive(store, new_identity)
    with Store(tmp_path / "a.sqlite") as store, Store(tmp_path / "b.sqlite") as other:
        assert identity_of_archive(store, new_identity) == made
        assert identity_of_archive(other, new_identity) not in ("", made)


def test_archive_that_cannot_be_written_has_none_and_is_no_trouble(tmp_path: Path):
    Store(tmp_path / "a.sqlite").close()
    with Store(tmp_path / "a.sqlite", read_only=True) as store:
        assert identity_of_archive(store, new_identity) == ""
