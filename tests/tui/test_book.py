"""The book from the screens: where to, printed behind them, never over a file without a word, and opened."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from textual.pilot import Pilot

from asfound.actions.archive import open_archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords, add_tag
from asfound.tui.app import ArchiveApp
from asfound.tui.archive_service import ArchiveService
from asfound.tui.service import JobSummary
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.tui.fake_service import FakeService
from tests.tui.screens_of import running


class Shelf(FakeService):
    """A book that goes to a folder that is there; printing goes no further than it is let."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.kept["book"] = str(folder / "work-boat.pdf")
        self.go_on = threading.Event()
        self.go_on.set()

    def print_book(
        self, path: Path, *, replace: bool, progress: Callable[[str], None], stopped: Callable[[], bool]
    ) -> str:
        progress("printing pictures 1 of 2")
        assert self.go_on.wait(20)
        return "" if stopped() else super().print_book(path, replace=replace, progress=progress, stopped=stopped)


async def done(app: ArchiveApp, pilot: Pilot[None]) -> None:
    await app.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.parametrize("place", [(), ("n",)])
async def test_o_asks_where_to_while_there_is_no_book_and_enter_prints_it(tmp_path: Path, place: tuple[str]) -> None:
    service = Shelf(tmp_path)
    async with running(service) as (app, pilot):
        await pilot.press(*place, "o")
        await pilot.pause()
        assert app.screen.query_one(AskLine).field.value == f"{tmp_path}/work-boat.pdf"
        await pilot.press("enter")
        await done(app, pilot)
        assert service.calls == [("print_book", tmp_path / "work-boat.pdf", False)]
        told = app.here.said_words if app.here else ""
        assert "12 pages of A4" in told
        assert "work-boat.pdf" in told
        assert "o on the first screen opens it" in told


async def test_a_folder_and_a_bare_name_become_files(tmp_path: Path) -> None:
    service = Shelf(tmp_path)
    async with running(service) as (app, pilot):
        for typed in (f"{tmp_path}/", f"{tmp_path}/second copy"):
            await pilot.press("P")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = typed
            await pilot.press("enter")
            await done(app, pilot)
        assert [call[1].name for call in service.calls] == ["work-boat.pdf", "second copy.pdf"]


@pytest.mark.parametrize(("answer", "is_printed"), [("y", True), ("n", False), ("yellow", False)])
async def test_a_book_that_is_there_is_written_over_only_by_a_word(
    tmp_path: Path, answer: str, is_printed: bool
) -> None:
    book = tmp_path / "work-boat.pdf"
    book.write_bytes(b"the old one")
    service = Shelf(tmp_path)
    async with running(service) as (app, pilot):
        await pilot.press("P")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert service.calls == []
        await pilot.press(*answer, "enter")
        await done(app, pilot)
        assert service.calls == ([("print_book", book, True)] if is_printed else [])


async def test_how_far_it_is_stands_in_the_top_line_and_x_stops_it(tmp_path: Path) -> None:
    service = Shelf(tmp_path)
    service.go_on.clear()
    async with running(service) as (app, pilot):
        await pilot.press("P")
        await pilot.pause()
        await pilot.press("enter")
        while "printing pictures 1 of 2" not in str(app.screen.query_one("#top").render()):
            await pilot.pause(0.01)
        await pilot.press("P")
        await pilot.pause()
        assert "going on already" in (app.here.said_words if app.here else "")
        await pilot.press("x")
        service.go_on.set()
        await done(app, pilot)
        assert "Printing was stopped; nothing was written." in (app.here.said_words if app.here else "")
        assert service.calls == []


async def test_o_opens_the_book_that_was_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = tmp_path / "work-boat.pdf"
    book.write_bytes(b"%PDF")
    opened: list[Path] = []
    monkeypatch.setattr("asfound.tui.book.open_in_viewer", lambda path, environ: opened.append(path) is None)
    async with running(Shelf(tmp_path)) as (app, pilot):
        await pilot.press("o")
        await pilot.pause()
        assert opened == [book]
        assert app.clipboard == str(book)
        assert "Opened in the viewer" in (app.here.said_words if app.here else "")


async def test_without_a_viewer_its_path_is_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("asfound.tui.book.open_in_viewer", lambda path, environ: False)
    (tmp_path / "work-boat.pdf").write_bytes(b"%PDF")
    async with running(Shelf(tmp_path)) as (app, pilot):
        await pilot.press("o")
        await pilot.pause()
        told = app.here.said_words if app.here else ""
        assert "No viewer here" in told
        assert "work-boat.pdf" in told


async def test_the_list_of_commands_prints_it_from_any_screen(tmp_path: Path) -> None:
    async with running(Shelf(tmp_path)) as (app, pilot):
        await pilot.press("t")
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert titles.count("Print the book") == titles.count("Open the book") == 1
        await pilot.press("ctrl+p", *"print the book", "enter")
        await pilot.pause()
        assert app.screen.query_one(AskLine).field.value == f"{tmp_path}/work-boat.pdf"
        await pilot.press("escape", "escape")
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert titles.count("Print the book") == titles.count("Open the book") == 1


async def test_an_archive_prints_its_book_beside_itself_and_keeps_where(tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow, diesel out", zone="UTC", turning_means="clockwise seen from the belt end")
        add_tag(archive, "17", TagWords(kind="hose", name="bypass hose"))
        service = ArchiveService(archive)
        assert service.book_path() == (tmp_path / "sallow-diesel-out.pdf").resolve()
        async with running(service) as (app, pilot):
            (row,) = [row for row in app.screen.query_one(RowList).rows if row.key == "meanings"]
            assert row.cells[2] == "front: not said; left: not said; turning: clockwise seen from the belt end"
            await pilot.press("o")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = f"{tmp_path}/bench copy"
            await pilot.press("enter")
            await done(app, pilot)
            assert "The book is printed" in (app.here.said_words if app.here else "")
        assert service.book_path() == tmp_path / "bench copy.pdf"
    first = pdfium.PdfDocument(tmp_path / "bench copy.pdf")[0].get_textpage().get_text_range()
    assert "clockwise seen from the belt end" in first


async def test_a_place_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow", zone="UTC")
        async with running(ArchiveService(archive)) as (app, pilot):
            await pilot.press("P")
            await pilot.pause()
            app.screen.query_one(AskLine).field.value = f"{tmp_path}/no such folder/book.pdf"
            await pilot.press("enter")
            await done(app, pilot)
            assert "there is no folder" in (app.here.said_words if app.here else "")


async def test_the_first_screen_says_what_front_left_and_turning_mean() -> None:
    class Said(FakeService):
        def summary(self) -> JobSummary:
            return replace(super().summary(), meanings="front: belt end; left: port; turning: not said")

    async with running(Said()) as (app, pilot):
        rows = app.screen.query_one(RowList)
        rows.choose(next(at for at, row in enumerate(rows.rows) if row.key == "meanings"))
        await pilot.press("enter")
        await pilot.pause()
        assert "asfound job set" in (app.here.said_words if app.here else "")
