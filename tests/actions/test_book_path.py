"""Where the book is printed to."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from asfound.actions.book_path import remember_path, usual_path
from asfound.actions.job import change_job, new_job, use_job
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


@pytest.mark.parametrize(
    ("name", "file"),
    [("Sallow, diesel out", "sallow-diesel-out.pdf"), ("Zeemeeuw / 2", "zeemeeuw-2.pdf"), ("... ", "book.pdf")],
)
def test_it_goes_beside_the_archive_by_the_name_of_the_job(archive: Archive, name: str, file: str):
    change_job(archive, name=name)

    assert usual_path(archive) == archive.folder.resolve().parent / file


def test_where_it_was_printed_is_kept_for_each_job(archive: Archive, tmp_path: Path):
    first_id = archive.job.job_id
    remember_path(archive, tmp_path / "bench copy.pdf")

    new_job(archive, "Tern", zone="UTC")
    assert usual_path(archive).name == "tern.pdf"

    use_job(archive, first_id)
    assert usual_path(archive) == tmp_path / "bench copy.pdf"


def test_a_folder_that_is_gone_is_not_offered_again(archive: Archive, tmp_path: Path):
    stick = tmp_path / "stick"
    stick.mkdir()
    remember_path(archive, stick / "book.pdf")
    assert usual_path(archive) == stick / "book.pdf"

    stick.rmdir()

    assert usual_path(archive) == archive.folder.resolve().parent / "sallow.pdf"
