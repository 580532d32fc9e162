"""Documents of a job: kept, tied, opened; a photo that is one is never as found, never sorted, never a gap's answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions import documents, gaps, walk_round
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive
from asfound.actions.backup import back_up, restore
from asfound.actions.check import check_archive
from asfound.actions.documents import DocumentTies, read_ties
from asfound.actions.find import find_tags, search
from asfound.actions.pin import Box, pin_tag
from asfound.actions.repair import repair
from asfound.actions.sort import finish_pending
from asfound.actions.tag_card import read_card
from asfound.actions.undo import undo
from asfound.errors import Ambiguous, Misused, NotFound, Unreadable
from asfound.store.pictures import get_picture, list_pictures
from asfound.store.pins import find_pins, list_proposals
from tests.drawn_places import photo_of
from tests.small_archive import small_archive
from tests.small_changes import tag_of

NOBODY = DocumentTies()


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with small_archive(tmp_path / "archive") as opened:
        yield opened


@pytest.fixture
def manual(tmp_path: Path) -> Path:
    path = tmp_path / "manual.pdf"
    path.write_bytes(b"%PDF-1.7 a page")
    return path


def test_file_is_kept_once_and_tied(archive: Archive, manual: Path):
    ties = read_ties(archive, "31, 112", bag="B1", snag="1")
    first, is_new = documents.keep_file(archive, manual, "manual  p. 112", ties)
    again, is_new_again = documents.keep_file(archive, manual, "", read_ties(archive, "110"))

    assert (is_new, is_new_again, again.document_id) == (True, False, first.document_id)
    assert again.called == "manual p. 112 (manual.pdf)"
    assert documents.belongs_to(archive, again) == "31, 112, 110, bag B1, snag 1"
    assert documents.path_of_document(archive, again).read_bytes() == manual.read_bytes()
    assert ("document", "1: manual p. 112 (manual.pdf)") in [
        (one.full_label, one.words) for one in read_card(archive, tag_of(archive, "31")).fields
    ]
    undo(archive)
    assert documents.belongs_to(archive, documents.get_document(archive, "MANUAL.pdf")) == "31, 112, bag B1, snag 1"
    undo(archive)
    assert documents.list_documents(archive) == ()


def test_span_of_numbers_ties_each(archive: Archive, manual: Path):
    kept, _ = documents.keep_file(archive, manual, "", read_ties(archive, "31-112"))
    assert documents.belongs_to(archive, kept) == "31, 110, 112" or set(kept.tag_ids) == {
        tag_of(archive, number).tag_id for number in ("31", "110", "112")
    }
    left = documents.untie_document(archive, kept, read_ties(archive, "110"))
    assert tag_of(archive, "110").tag_id not in left.tag_ids
    with pytest.raises(NotFound, match="not tied"):
        documents.untie_document(archive, kept, read_ties(archive, "110"))


def test_document_is_found_by_its_words_and_file(archive: Archive, manual: Path):
    kept, _ = documents.keep_file(archive, manual, "coupling bolts, tightening", NOBODY)

    for words in ("coupling tightening", "manual"):
        assert ("document", str(kept.document_id)) in [(one.kind, one.label) for one in search(archive, words).others]
    documents.change_document(archive, kept, "belt run", NOBODY)
    assert not search(archive, "coupling tightening").others
    documents.drop_document(archive, kept)
    assert not search(archive, "belt run").others


def test_photo_called_a_document_is_as_found_no_more_and_comes_back_whole(archive: Archive):
    tag = tag_of(archive, "110")
    page = get_picture(archive.store, 5)
    pin_tag(archive, tag, "A", page, Box(0.5, 0.5))
    finish_pending(archive)
    as_found = next(one for one in find_tags(archive, "110a")).as_found
    assert as_found is not None
    assert as_found.picture.picture_id == 5

    document, _ = documents.call_document(archive, page, "manual p. 3", DocumentTies(tags=(tag,)))
    finish_pending(archive)

    assert next(one for one in find_tags(archive, "110a")).as_found is None
    assert find_pins(archive.store, tag.tag_id) == []
    assert not [one for one in list_proposals(archive.store, 1) if one.tag_id == tag.tag_id]
    assert 5 not in [one.picture_id for one in list_pictures(archive.store, 1)]
    assert "110" in [gap.number for gap in gaps.find_gaps(archive) if gap.kind == "never photographed"]
    with pytest.raises(Misused, match="is a document"):
        pin_tag(archive, tag, "B", page, Box(0.5, 0.5))
    with pytest.raises(Misused, match="is a document"):
        walk_round.answer_by(archive, walk_round.find_item(archive, "plate"), [page])

    documents.drop_document(archive, document)
    finish_pending(archive)
    assert [one.picture_id for one in find_pins(archive.store, tag.tag_id)] == [5]
    assert next(one for one in find_tags(archive, "110a")).as_found is not None


def test_photo_that_is_a_document_says_so_when_its_file_is_looked_for(archive: Archive):
    documents.call_document(archive, get_picture(archive.store, 1), "", NOBODY)
    (found,) = [one for one in search(archive, "P0001.jpg").others if one.kind == "picture"]
    assert found.words == "a document, which shows nothing as it was found"


def test_walk_round_does_not_count_a_photo_that_became_a_document(archive: Archive):
    item = walk_round.find_item(archive, "plate")
    walk_round.answer_by(archive, item, [get_picture(archive.store, 1)])
    documents.call_document(archive, get_picture(archive.store, 1), "", NOBODY)
    assert {line.item.key: line.standing.state for line in walk_round.list_walk(archive)}["plate"] == "open"


def test_picture_file_can_be_shown_and_is_not_sorted(archive: Archive, tmp_path: Path):
    photo_of(2).rotate(180).save(tmp_path / "page.png")

    kept, is_new = documents.keep_file(archive, tmp_path / "page.png", "manual p. 4", NOBODY)
    finish_pending(archive)

    assert is_new
    assert kept.picture_id is not None
    assert kept.picture_id not in [one.picture_id for one in list_pictures(archive.store, 1)]
    report = add_dump(archive, [tmp_path / "page.png"], workers=0)
    assert [one.picture_id for one in report.known] == [kept.picture_id]


def test_dump_names_documents_and_knows_those_that_are_kept(archive: Archive, manual: Path, tmp_path: Path):
    report = add_dump(archive, [manual], workers=0)
    assert [one.name for one in report.documents] == ["manual.pdf"]
    assert (report.added, report.refused, sum(report.passed_over.values())) == ([], [], 0)

    _, is_new = documents.keep_found(archive, report.documents[0])
    _, is_new_again = documents.keep_found(archive, report.documents[0])
    assert (is_new, is_new_again) == (True, False)


def test_damage_is_named_with_its_tags_and_taken_back_from_a_backup(archive: Archive, manual: Path, tmp_path: Path):
    kept, _ = documents.keep_file(archive, manual, "", read_ties(archive, "31"))
    back_up(archive, tmp_path / "stick")
    path = documents.path_of_document(archive, kept)
    path.chmod(0o644)
    path.write_bytes(b"%PDF-1.7 X page")
    archive.store.close()

    (damage,) = check_archive(archive.folder, is_full=True).damaged
    assert (damage.tags, "manual.pdf" in damage.what) == (("31",), True)
    assert "a document of 31" in repair(archive.folder).gone[0][1]
    assert repair(archive.folder, [tmp_path / "stick"]).healed == ["manual.pdf"]
    assert check_archive(archive.folder, is_full=True).is_sound
    restore(tmp_path / "stick", tmp_path / "new")
    assert check_archive(tmp_path / "new", is_full=True).is_sound


def test_what_is_no_document_is_refused(archive: Archive, tmp_path: Path, manual: Path):
    (tmp_path / "nothing.pdf").write_bytes(b"")
    with pytest.raises(Misused, match="empty"):
        documents.keep_file(archive, tmp_path / "nothing.pdf", "", NOBODY)
    with pytest.raises(Unreadable):
        documents.keep_file(archive, tmp_path / "gone.pdf", "", NOBODY)
    with pytest.raises(NotFound, match="asfound documents"):
        documents.get_document(archive, "9")
    other = tmp_path / "other"
    other.mkdir()
    (other / "manual.pdf").write_bytes(b"%PDF-1.7 another page")
    for path in (manual, other / "manual.pdf"):
        documents.keep_file(archive, path, "", NOBODY)
    with pytest.raises(Ambiguous, match="1, 2"):
        documents.get_document(archive, "manual.pdf")
