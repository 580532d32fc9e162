"""What is read once is kept until something is written, and each thread has a connection of its own."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest

from asfound.actions.archive import Archive, SharedArchive, kept, open_archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords, add_tag, list_tags
from asfound.actions.undo import undo

READ: list[Path] = []


@kept
def numbers(archive: Archive) -> tuple[str, ...]:
    READ.append(archive.folder)
    return tuple(tag.number for tag in list_tags(archive))


@kept
def many(archive: Archive) -> int:
    return len(numbers(archive))


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    READ.clear()
    with open_archive(tmp_path / "archive", create=True) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        add_tag(opened, "17", TagWords())
        yield opened


def test_what_is_kept_is_read_once_while_nothing_is_written(archive: Archive):
    assert [numbers(archive), numbers(archive), many(archive)] == [("17",), ("17",), 1]
    assert len(READ) == 1


def test_a_word_and_its_undoing_are_seen_at_once(archive: Archive):
    numbers(archive)

    add_tag(archive, "18", TagWords())
    after = numbers(archive), many(archive)
    undo(archive)

    assert after == (("17", "18"), 2)
    assert (numbers(archive), many(archive)) == (("17",), 1)


def test_what_another_program_writes_is_seen_too(archive: Archive):
    numbers(archive)

    with archive.reopen() as other:
        add_tag(other, "19", TagWords())

    assert numbers(archive) == ("17", "19")


def test_in_the_middle_of_a_step_what_is_written_so_far_is_seen(archive: Archive):
    with archive.step("two tags"):
        add_tag(archive, "18", TagWords())
        assert numbers(archive) == ("17", "18")
        add_tag(archive, "19", TagWords())

    assert numbers(archive) == ("17", "18", "19")


def test_every_thread_has_its_own_connection_and_keeps_it(archive: Archive):
    shared, met = SharedArchive(archive), []

    def ask() -> None:
        met.extend([shared.here, shared.here])
        assert numbers(shared.here) == ("17",)
        shared.here.close()

    thread = Thread(target=ask)
    thread.start()
    thread.join()

    assert shared.here is archive
    assert met[0] is met[1]
    assert met[0] is not archive
    assert met[0].folder == archive.folder


def test_what_is_kept_says_its_type_and_none_that_could_be_changed():
    """It is shared by all who ask: a list, a dict or a set would invite one of them to change it for the others."""
    told = {}
    for module in (Path(__file__).parents[2] / "src" / "asfound" / "actions").glob("*.py"):
        for one in ast.parse(module.read_text(encoding="utf-8")).body:
            if isinstance(one, ast.FunctionDef) and any(ast.unparse(each) == "kept" for each in one.decorator_list):
                told[f"{module.stem}.{one.name}"] = "" if one.returns is None else ast.unparse(one.returns)

    assert len(told) > 20
    loose = re.compile(r"^$|\b(Any|object|list|dict|set)\b")
    assert {name: kind for name, kind in told.items() if loose.search(kind)} == {}
