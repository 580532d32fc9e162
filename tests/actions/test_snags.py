"""Snags by what they are called: a plain number, and the older form with an N before it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.snags import SnagTies, add_snag, close_snag, get_snag, list_snags, tie_snag
from asfound.actions.snags_import import import_snags
from asfound.errors import Misused, NotFound


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def test_snags_are_numbered_on_from_the_last(archive: Archive) -> None:
    labels = [add_snag(archive, "lug snapped").label for _ in range(2)]
    add_snag(archive, "from an older record", label="N7")

    assert [*labels, add_snag(archive, "the next").label] == ["1", "2", "8"]


@pytest.mark.parametrize("typed", ["7", "N7", "n7", " 7 ", "snag 7", "Snag N7"])
@pytest.mark.parametrize("label", ["7", "N7"])
def test_a_snag_is_found_with_and_without_its_n(archive: Archive, label: str, typed: str) -> None:
    snag = add_snag(archive, "lug snapped", label=label)

    assert get_snag(archive, typed) == snag
    with pytest.raises(Misused, match="close it with"):
        add_snag(archive, "another", label=typed)


def test_an_n_that_is_part_of_a_word_stays(archive: Archive) -> None:
    add_snag(archive, "nut gone", label="nut")

    assert get_snag(archive, "NUT").what == "nut gone"
    with pytest.raises(NotFound):
        get_snag(archive, "ut")


def test_a_list_with_the_older_form_adds_to_the_snags_there_are(archive: Archive, tmp_path: Path) -> None:
    add_snag(archive, "lug snapped")
    (tmp_path / "snags.csv").write_text("snag,what,place\nN1,lug snapped,front\nN2,hose soft,\n")

    import_snags(archive, tmp_path / "snags.csv")

    assert [(snag.label, snag.place) for snag in list_snags(archive)] == [("1", "front"), ("N2", "")]


def test_what_a_step_is_called_names_the_snag(archive: Archive) -> None:
    snag = add_snag(archive, "lug snapped", label="heater")
    tie_snag(archive, snag, SnagTies(buy="lug"))
    close_snag(archive, snag, "new one")

    words = archive.store.steps(3)
    assert [str(getattr(one, "words", one)) for one in words] == [
        "snag heater closed", "snag heater changed", "snag heater",
    ]  # fmt: skip
