"""Every field of the table reaches all that goes by it: a list brought in, the form, cards, the search, the command."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions.archive import Archive, open_archive
from asfound.actions.find import find_tags
from asfound.actions.job import new_job
from asfound.actions.tag import EndWords, TagWords, add_tag, change_end, change_tag, list_tags
from asfound.actions.tag_card import read_cards
from asfound.actions.tag_form import read_form, save_form
from asfound.actions.tags_import import import_tags
from asfound.cli.commands.tag import COMMAND
from asfound.core.log.tag_fields import OF_END, OF_TAG, TAG_FIELDS
from asfound.errors import Misused
from asfound.model.field_rows import FieldRow

PLAIN = [row for row in (*OF_TAG.values(), *OF_END.values()) if row.words == "text"]
ROWS = pytest.mark.parametrize("row", PLAIN, ids=lambda row: f"{row.name} of {'end' if row.is_of_end else 'tag'}")


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def shown(archive: Archive, row: FieldRow) -> str:
    """What the card of the only tag says of a field; the cap stands with what says that there is one."""
    (card,) = read_cards(archive).values()
    name = "capped" if row.name == "capped_with" else row.name
    said = [one.words for one in card.fields if (one.name, one.end) == (name, "B" if row.is_of_end else "")]
    return " ".join(said)


@ROWS
def test_a_field_is_brought_in_shown_and_found(archive: Archive, tmp_path: Path, row: FieldRow) -> None:
    assert row.column is not None
    column = row.column.format("b")
    (tmp_path / "tags.csv").write_text(f"tag,{column}\n17,quillwort\n")

    report = import_tags(archive, tmp_path / "tags.csv")

    assert report.unread_columns == ()
    assert "quillwort" in shown(archive, row)
    if row.search is not None:
        assert {one.tag.number for one in find_tags(archive, "quillwort")} == {"17"}


@ROWS
def test_a_field_is_filled_in_and_emptied_in_the_form(archive: Archive, row: FieldRow) -> None:
    key = f"{row.name} B" if row.is_of_end else row.name
    if not row.title:
        assert key not in {one.key for one in TAG_FIELDS}
        return

    saved = save_form(archive, {"number": "17", key: "quillwort"})
    filled = read_form(archive, saved.tag)[key], shown(archive, row)
    emptied = save_form(archive, {key: ""}, tag=saved.tag)

    assert filled == ("quillwort", "quillwort")
    assert read_form(archive, emptied.tag)[key] == ""


@ROWS
def test_a_field_has_an_option_and_what_it_says_of_itself(row: FieldRow) -> None:
    options = {option: one for one in COMMAND.params for option in one.opts}
    names = [f"--{row.option}-{letter}" for letter in "ab"] if row.is_of_end else [f"--{row.option}"]

    for name in names:
        assert row.hint[1:].rstrip(" .,") in options[name].help


def test_what_is_no_field_is_a_slip_of_the_program() -> None:
    with pytest.raises(TypeError, match="colours"):
        EndWords(colours="RD")
    with pytest.raises(TypeError, match="place"):
        TagWords(place="pump")


def test_nothing_said_is_nothing_changed(archive: Archive) -> None:
    mine = add_tag(archive, "17", TagWords(kind="hose", name="upper"))

    assert not TagWords(name=None)
    assert TagWords(name="")
    change_end(archive, mine, "A", EndWords())
    assert change_tag(archive, mine, TagWords(size="8 mm")).name == "upper"


@pytest.mark.parametrize("words", [{"kind": "gizmo"}, {"kind": ""}, {"flow": "sideways"}, {"route": "x" * 2001}])
def test_what_cannot_be_read_leaves_all_as_it_was(archive: Archive, words: dict[str, str]) -> None:
    mine = add_tag(archive, "17", TagWords(kind="hose"))

    with pytest.raises(Misused):
        change_tag(archive, mine, TagWords(size="8 mm", **words))

    assert list_tags(archive) == [mine]
