"""The book from the screens: where to, printed behind them, never over a file without a word, and opened."""

from __future__ import annotations

import threading
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from textual.pilot import Pilot

from asfound.actions import book as book_actions
from asfound.actions.archive import Archive, open_archive
from asfound.actions.book_path import usual_path
from asfound.actions.job import change_job, new_job
from asfound.actions.progress import Progress
from asfound.actions.tag import TagWords, add_tag
from asfound.tui.app import ArchiveApp
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.tui.screens_of import running


@pytest.fixture
def book(archive: Archive) -> Path:
    """Where the book of the small archive goes while nobody says otherwise."""
    return archive.folder.parent.resolve() / "work-boat-port-engine.pdf"


async def done(app: ArchiveApp, pilot: Pilot[None]) -> None:
    await app.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.parametrize("place", [(), ("n",)])
async def test_o_asks_where_to_while_there_is_no_book_and_enter_prints_it(
    archive: Archive, book: Path, tmp_path: Path, place: tuple[str]
) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press(*place, "o")
        await pilot.pause()
        assert app.screen.query_one(AskLine).field.value == str(book)
        await pilot.press("enter")
        await done(app, pilot)
        told = app.here.said_words if app.here else ""
        assert f"{len(pdfium.PdfDocument(book))} pages of A4" in told
        assert book.name[:8] in told  # the path is cut where it fits no line
        assert "o on the first screen opens it" in told


async def test_a_folder_and_a_bare_name_become_files(archive: Archive, book: Path, tmp_path: Path) -> None:
    async with running(archive) as (app, pilot):
        for typed in (f"{tmp_path}/", f"{tmp_path}/second copy"):
            await pilot.press("P")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = typed
            await pilot.press("enter")
            await done(app, pilot)
        assert {one.name for one in tmp_path.glob("*.pdf")} == {book.name, "second copy.pdf"}


@pytest.mark.parametrize(("answer", "is_printed"), [("y", True), ("n", False), ("yellow", False)])
async def test_a_book_that_is_there_is_written_over_only_by_a_word(
    archive: Archive, book: Path, tmp_path: Path, answer: str, is_printed: bool
) -> None:
    book.write_bytes(b"the old one")
    async with running(archive) as (app, pilot):
        await pilot.press("P")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert book.read_bytes() == b"the old one"
        await pilot.press(*answer, "enter")
        await done(app, pilot)
        assert book.read_bytes().startswith(b"%PDF") == is_printed


async def test_how_far_it_is_stands_in_the_top_line_and_x_stops_it(
    archive: Archive, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = threading.Event()
    real = book_actions.write_book

    def write_slowly(archive: Archive, path: Path, *, replace: bool, progress: Progress) -> book_actions.BookReport:
        progress("printing pictures", 1, 2)
        assert go_on.wait(20)
        return real(archive, path, replace=replace, progress=progress)

    monkeypatch.setattr(book_actions, "write_book", write_slowly)
    async with running(archive) as (app, pilot):
        await pilot.press("P")
        await pilot.pause()
        await pilot.press("enter")
        while "printing pictures 1 of 2" not in str(app.screen.query_one("#top").render()):
            await pilot.pause(0.01)
        await pilot.press("P")
        await pilot.pause()
        assert "still running" in (app.here.said_words if app.here else "")
        await pilot.press("x")
        go_on.set()
        await done(app, pilot)
        assert "Printing was stopped; nothing was written." in (app.here.said_words if app.here else "")
        assert not book.exists()


async def test_o_opens_the_book_that_was_printed(
    archive: Archive, book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.write_bytes(b"%PDF")
    opened: list[Path] = []
    monkeypatch.setattr("asfound.tui.book.open_in_viewer", lambda path, environ: opened.append(path) is None)
    async with running(archive) as (app, pilot):
        await pilot.press("o")
        await pilot.pause()
        assert opened == [book]
        assert app.clipboard == str(book)
        assert "Opened in the viewer" in (app.here.said_words if app.here else "")


async def test_without_a_viewer_its_path_is_shown(
    archive: Archive, book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("asfound.tui.book.open_in_viewer", lambda path, environ: False)
    book.write_bytes(b"%PDF")
    async with running(archive) as (app, pilot):
        await pilot.press("o")
        await pilot.pause()
        told = app.here.said_words if app.here else ""
        assert "No viewer here" in told
        assert book.name[:8] in told  # the path is cut where it fits no line


async def test_the_list_of_commands_prints_it_from_any_screen(archive: Archive, book: Path, tmp_path: Path) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("t")
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert titles.count("Print the book") == titles.count("Open the book") == 1
        await pilot.press("ctrl+p", *"print the book", "enter")
        await pilot.pause()
        assert app.screen.query_one(AskLine).field.value == str(book)
        await pilot.press("escape", "escape")
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert titles.count("Print the book") == titles.count("Open the book") == 1


async def test_an_archive_prints_its_book_beside_itself_and_keeps_where(
    archive: Archive, book: Path, tmp_path: Path
) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow, diesel out", zone="UTC", turning_means="clockwise seen from the belt end")
        add_tag(archive, "17", TagWords(kind="hose", name="bypass hose"))
        assert usual_path(archive) == (tmp_path / "sallow-diesel-out.pdf").resolve()
        async with running(archive) as (app, pilot):
            (row,) = [row for row in app.screen.query_one(RowList).rows if row.key == "meanings"]
            assert row.cells[2] == "front: not said; left: not said; turning: clockwise seen from the belt end"
            await pilot.press("o")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = f"{tmp_path}/bench copy"
            await pilot.press("enter")
            await done(app, pilot)
            assert "The book is printed" in (app.here.said_words if app.here else "")
        assert usual_path(archive) == tmp_path / "bench copy.pdf"
    first = pdfium.PdfDocument(tmp_path / "bench copy.pdf")[0].get_textpage().get_text_range()
    assert "clockwise seen from the belt end" in first


async def test_a_place_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow", zone="UTC")
        async with running(archive) as (app, pilot):
            await pilot.press("P")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = f"{tmp_path}/no such folder/book.pdf"
            await pilot.press("enter")
            await done(app, pilot)
            assert "there is no folder" in (app.here.said_words if app.here else "")


async def test_the_first_screen_says_what_front_left_and_turning_mean(archive: Archive) -> None:
    change_job(archive, front_means="belt end", left_means="port")
    async with running(archive) as (app, pilot):
        rows = app.screen.query_one(RowList)
        rows.choose(next(at for at, row in enumerate(rows.rows) if row.key == "meanings"))
        assert rows.chosen is not None
        assert rows.chosen.cells[2] == "front: belt end; left: port; turning: not said"
        await pilot.press("enter")
        await pilot.pause()
        assert "asfound job set" in (app.here.said_words if app.here else "")
