"""Documents and their ties; a picture that is a document is in no list of the machine's pictures, spots or pins."""

from __future__ import annotations

import sqlite3

import pytest

from asfound.model.documents import Document
from asfound.store import bags, costs, documents, jobs, pins, snags, spots, tags
from asfound.store.database import Store
from asfound.store.pictures import get_picture, list_pictures, save_original
from tests.store.filled import NOW, person_rows


@pytest.fixture
def kept(store: Store) -> Store:
    """Originals for documents, and a digest for the first picture."""
    for digest in ("d1", "d2"):
        save_original(store, digest=digest, suffix=".pdf", size_bytes=1, kind="document", stored_at=NOW)
    return store


def add(store: Store, digest: str = "d1", picture_id: int | None = None) -> int:
    kind = "pdf" if picture_id is None else "image"
    return documents.add_document(store, 1, NOW, file=f"{digest}.pdf", kind=kind, digest=digest, picture_id=picture_id)


def test_document_comes_back_with_all_it_belongs_to(kept: Store):
    bag_id = bags.save_bag(kept, 1, "B1")
    snag_id = snags.add_snag(kept, 1, "1", NOW, is_day_only=False, what="torn")
    first = add(kept)
    documents.change_what(kept, first, "manual p. 112")
    for thing in ({"tag_id": 1}, {"tag_id": 1}, {"bag_id": bag_id}, {"snag_id": snag_id}):
        documents.tie(kept, first, **thing)
    second = add(kept, "d2")

    assert documents.list_documents(kept, 1) == [
        Document(first, 1, "d1.pdf", "pdf", "d1", None, "manual p. 112", (1,), (bag_id,), (snag_id,)),
        Document(second, 1, "d2.pdf", "pdf", "d2", None, ""),
    ]
    assert documents.list_documents(kept, 2) == []
    assert documents.untie(kept, first, bag_id=bag_id)
    assert not documents.untie(kept, first, bag_id=bag_id)
    assert documents.list_documents(kept, 1)[0].bag_ids == ()
    with pytest.raises(ValueError, match="job_id"):
        documents.tie(kept, first, job_id=1)


def test_bytes_are_one_document_of_a_job_and_another_of_another(kept: Store):
    add(kept)
    with pytest.raises(sqlite3.IntegrityError):
        add(kept)
    other = jobs.add_job(kept, "Other", "Etc/UTC", NOW).job_id
    documents.add_document(kept, other, NOW, file="x", kind="other", digest="d1")
    assert len(documents.list_documents(kept, other)) == 1


def test_lost_document_is_named_and_costs_the_tags_it_is_tied_to(kept: Store):
    twice = [tags.add_tag(kept, 1, "12", NOW, kind="hose", name="", ends=2) for _ in range(2)][1]
    for tag_id in (1, twice):
        documents.tie(kept, add(kept) if tag_id == 1 else 1, tag_id=tag_id)

    assert costs.name_of_original(kept, "d1") == "d1.pdf"
    assert documents.tags_of_original(kept, "d1") == ["12.2", "17"]
    assert documents.tags_of_original(kept, "d2") == []


def test_picture_that_is_a_document_is_no_picture_of_the_machine(kept: Store):
    for picture_id in (1, 2):
        pins.save_pin(kept, 1, "A", picture_id, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)
    spots.say_pair(kept, 1, 2, "pair")
    kept.run("DELETE FROM stale_carry")
    kept.run("DELETE FROM setting WHERE name = 'stale spots'")

    with kept.step("a document", NOW):
        add(kept, picture_id=1)

    assert [one.picture_id for one in list_pictures(kept, 1)] == [2, 3]
    assert get_picture(kept, 1).picture_id == 1
    assert set(spots.load_membership(kept, 1)) == {2, 3}
    assert spots.list_spots(kept, 1)[0].picture_ids == (2, 3)
    assert spots.list_pairs(kept, 1) == []
    assert [one.picture_id for one in pins.find_pins(kept, 1)] == [2]
    assert [one.picture_id for one in pins.list_pins(kept, 1)] == [2]
    assert pins.pictures_with_pins(kept, 1) == {2}
    assert [one.picture_id for one in pins.pins_on_picture(kept, 1)] == [1]  # they rest, and are not lost
    assert pins.stale_ends(kept) == [(1, "A")]
    assert spots.are_spots_stale(kept)

    kept.run("DELETE FROM stale_carry")
    kept.undo(NOW)
    assert [one.picture_id for one in pins.list_pins(kept, 1)] == [1, 2]
    assert len(spots.list_pairs(kept, 1)) == 1
    assert pins.stale_ends(kept) == [(1, "A")]


def test_paper_document_changes_nothing_of_spots_and_pins(kept: Store):
    kept.run("DELETE FROM setting WHERE name = 'stale spots'")
    add(kept)
    assert not spots.are_spots_stale(kept)
    assert len(list_pictures(kept, 1)) == 3


def test_tag_that_is_removed_leaves_its_document(kept: Store):
    documents.tie(kept, add(kept), tag_id=1)
    tags.remove_tag(kept, 1)
    assert documents.list_documents(kept, 1)[0].tag_ids == ()


def test_every_change_is_taken_back_and_comes_again(kept: Store):
    states = [person_rows(kept)]
    for change in (
        lambda: add(kept),
        lambda: documents.change_what(kept, 1, "it's p. 112"),
        lambda: documents.tie(kept, 1, tag_id=1),
        lambda: documents.untie(kept, 1, tag_id=1),
        lambda: documents.tie(kept, 1, tag_id=1),
        lambda: documents.remove_document(kept, 1),
    ):
        with kept.step("said", NOW):
            change()
        states.append(person_rows(kept))

    for before in reversed(states[:-1]):
        kept.undo(NOW)
        assert person_rows(kept) == before
    for after in states[1:]:
        kept.redo(NOW)
        assert person_rows(kept) == after


def test_change_marks_the_document_for_search(kept: Store):
    kept.run("DELETE FROM stale_search")
    documents.tie(kept, add(kept), tag_id=1)
    assert {tuple(row) for row in kept.rows("SELECT kind, ref FROM stale_search")} == {("document", 1)}
