"""Sheets as people have them: own heads, marks between cells, letters, days; shown first, and nothing dropped."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.table_import import read_day, read_table
from asfound.actions.tag import list_ends, list_tags
from asfound.actions.tags_import import import_tags
from asfound.actions.undo import undo
from asfound.errors import AskFirst, Misused

SHEET = "No;What;From;To;Torque;Remarks\n17;raw water hose;pump;heat exchanger;45 Nm;greasy\n18;earth lead;block;;;\n"


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def sheet(tmp_path: Path, text: str, encoding: str = "utf-8") -> Path:
    path = tmp_path / "own.csv"
    path.write_bytes(text.encode(encoding))
    return path


def test_own_heads_are_asked_first_shown_in_a_dry_run_and_taken_as_shown(archive: Archive, tmp_path: Path):
    path = sheet(tmp_path, SHEET)
    with pytest.raises(AskFirst, match='"No" is read as tag; "What" is read as name') as asked:
        import_tags(archive, path)
    assert "--dry-run" in str(asked.value)
    assert '"Torque" is kept in the note as "Torque: 45 Nm"' in str(asked.value)
    assert import_tags(archive, path, is_dry_run=True).count("added") == 2
    assert (list_tags(archive), archive.store.count_steps()) == ([], 0)

    report = import_tags(archive, path, as_shown=True)

    hose, lead = list_tags(archive)
    assert (hose.number, hose.name, hose.note) == ("17", "raw water hose", "Torque: 45 Nm; greasy")
    assert [end.place for end in list_ends(archive)[hose.tag_id]] == ["pump", "heat exchanger"]
    assert (lead.note, report.unread_columns) == ("", ())
    assert [one.column for one in report.heads] == ["tag", "name", "end_a_place", "end_b_place", "note", "note"]
    with pytest.raises(AskFirst, match="all of them are taken back at once"):
        undo(archive)
    undo(archive, is_sure=True)
    assert list_tags(archive) == []


def test_what_was_said_of_a_head_counts_and_only_the_rest_is_asked(archive: Archive, tmp_path: Path):
    path = sheet(tmp_path, "Nummer;Was\n17;hose\n")
    with pytest.raises(Misused, match="--column HEAD=tag"):
        import_tags(archive, path, as_shown=True)
    import_tags(archive, path, said={"nummer": "tag", "WAS": "name"})
    assert [one.name for one in list_tags(archive)] == ["hose"]
    for said, why in (({"Wo": "name"}, 'no column "Wo"'), ({"Was": "gadget"}, '"gadget" is no column')):
        with pytest.raises(Misused, match=why):
            import_tags(archive, path, said={"nummer": "tag", **said})


def test_sheet_with_our_columns_alone_is_asked_nothing(archive: Archive, tmp_path: Path):
    assert import_tags(archive, sheet(tmp_path, "tag,name\n17,hose\n")).count("added") == 1
    with pytest.raises(AskFirst, match='"Torque" is kept in the note'):
        import_tags(archive, sheet(tmp_path, "tag,Torque\n17,45 Nm\n"))


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_mark_between_cells_is_the_one_the_first_line_has_most(archive: Archive, tmp_path: Path, mark: str):
    text = f'tag{mark}name{mark}"size, ""in"", ; mm"\n17{mark}hose{mark}12\n'
    table = read_table(sheet(tmp_path, text))
    assert table.names == ["tag", "name", 'size, "in", ; mm']
    assert table.rows == [(2, {"tag": "17", "name": "hose", 'size, "in", ; mm': "12"})]


def test_letters_of_windows_are_read_with_a_word_and_those_of_nobody_refused(archive: Archive, tmp_path: Path):
    report = import_tags(archive, sheet(tmp_path, "tag,name\n17,tuyau d'échappement 90°\n", "cp1252"))
    assert list_tags(archive)[0].name == "tuyau d'échappement 90°"
    assert "line 2); it was read as Windows-1252" in report.words[0]
    assert import_tags(archive, sheet(tmp_path, "tag,name\n18,é\n", "utf-8-sig")).words == ()
    assert import_tags(archive, sheet(tmp_path, "tag,name\n19,é\n", "utf-16")).words == ()
    (tmp_path / "odd.csv").write_bytes(b"tag,name\n17,\x81\n")
    with pytest.raises(Misused, match="not UTF-8"):
        import_tags(archive, tmp_path / "odd.csv")


def test_heads_that_are_empty_or_come_twice_lose_nothing(archive: Archive, tmp_path: Path):
    import_tags(archive, sheet(tmp_path, "No,Remarks,Remarks,\n17,greasy,bent,spare\n"), as_shown=True)
    assert list_tags(archive)[0].note == "greasy; Remarks (3): bent; column 4: spare"


@pytest.mark.parametrize(
    ("typed", "day"),
    [("18.10.2025", "2025-10-18"), ("1.2.2026", "2026-02-01"), ("18/10/2025", "2025-10-18"),
     ("10/18/2025", "2025-10-18"), ("5/5/2026", "2026-05-05"), ("2025-10-18", "2025-10-18")],
)  # fmt: skip
def test_days_as_people_write_them(typed: str, day: str):
    at, is_day_only = read_day(typed, "Europe/Amsterdam")
    assert (f"{at:%Y-%m-%d}", is_day_only) == (day, True)


@pytest.mark.parametrize(("typed", "why"), [("10/11/2025", "one way only"), ("32.1.2026", "not a date"), ("soon", "")])
def test_day_with_two_readings_is_asked_back(archive: Archive, tmp_path: Path, typed: str, why: str):
    with pytest.raises(Misused, match=why or "not a date; write"):
        read_day(typed, "Europe/Amsterdam")
    report = import_tags(archive, sheet(tmp_path, f"tag,off_on\n17,{typed}\n"))
    assert report.rows[0].became == "refused"
    assert log.list_lines(archive) == []
