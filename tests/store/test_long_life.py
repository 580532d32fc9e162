"""Archives as earlier programs left them, kept as files: each opens with all that was in it, and a copy stays."""

from __future__ import annotations

import gzip
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from asfound.actions import undo
from asfound.actions.archive import open_archive
from asfound.actions.check import check_archive
from asfound.errors import UnfinishedArchive
from asfound.store import events, fitting, pins, tags
from asfound.store.database import Store
from asfound.store.migrations import MIGRATIONS

KEPT = sorted((Path(__file__).parents[1] / "data" / "formats").glob("*.sqlite.gz"))


def unpacked(kept: Path, folder: Path) -> Path:
    folder.mkdir()
    path = folder / "asfound.sqlite"
    path.write_bytes(gzip.decompress(kept.read_bytes()))
    return path


def test_every_format_before_this_one_is_kept():
    """Keep the next with: python -m tests.data.formats.make"""
    numbers = {int(path.name.partition(".")[0]) for path in KEPT}
    assert numbers >= set(range(1, len(MIGRATIONS)))


@pytest.mark.parametrize("kept", KEPT, ids=lambda path: path.name)
def test_archive_of_an_earlier_program_opens_with_all_that_was_in_it(kept: Path, tmp_path: Path):
    path = unpacked(kept, tmp_path / "archive")

    with open_archive(path.parent) as archive:
        store = archive.store
        (tag,) = tags.list_tags(store, 1)
        assert (tag.number, tag.name, archive.job.front_means) == ("17", "raw water hose", "belt end")
        assert tags.list_ends(store, 1)[1][0].place == "sea cock"
        (pin,) = pins.find_pins(store, 1)
        assert (pin.end, pin.x_frac, pin.y_frac) == ("A", 0.25, 0.75)
        assert [(event.kind, event.bag) for event in events.find_events(store, 1)] == [("off", "B4")]
        assert list(fitting.list_holds(store, 1)) == ["before lift out"]
        assert store.value("PRAGMA integrity_check") == "ok"
        assert undo.undo(archive, is_sure=True) == ["tag 17 written down"]
        assert tags.list_tags(store, 1) == []
        assert undo.redo(archive) == ["tag 17 written down"]
        assert [tag.name for tag in tags.list_tags(store, 1)] == ["raw water hose"]

    assert not any("page" in one.what for one in check_archive(path.parent).damaged)
    number = int(kept.name.partition(".")[0])
    copy = path.with_name(f"asfound-format-{number}.sqlite")
    assert copy.exists() == (number < len(MIGRATIONS))
    if copy.exists():
        with closing(sqlite3.connect(copy)) as plain:
            assert plain.execute("PRAGMA user_version").fetchone() == (number,)
            assert plain.execute("SELECT name FROM tag").fetchone() == ("raw water hose",)


@pytest.mark.parametrize("kept", KEPT[:3], ids=lambda path: path.name)
def test_archive_of_an_unreleased_state_is_refused_before_anything_is_written(kept: Path, tmp_path: Path):
    """Its tables may be others under the same number; half brought up it could be opened by nobody."""
    path = unpacked(kept, tmp_path / "archive")
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA application_id = 7")
    before = path.read_bytes()

    with pytest.raises(UnfinishedArchive, match="nothing in it was touched"):
        Store(path)

    assert path.read_bytes() == before
    assert not list(path.parent.glob("*format*"))
