"""The words that are searched follow what is written down, change by change, and are made only for what changed."""

from __future__ import annotations

import pytest

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.bags import BagWords, GroupWords, save_bag
from asfound.actions.job import new_job
from asfound.actions.resume import hand_over
from asfound.actions.search_texts import refresh
from asfound.actions.snags import SnagTies
from asfound.actions.tag import EndWords, TagWords, add_tag, also_number, change_end, change_tag, note_belt, remove_tag
from asfound.actions.undo import undo
from asfound.core.find.texts import asked_words
from asfound.model.tags import Tag
from asfound.store import search


@pytest.fixture
def hose(archive: Archive) -> Tag:
    return add_tag(archive, "17", TagWords(kind="hose", name="bypass hose", note="greasy"))


def found(archive: Archive, typed: str) -> list[tuple[str, int]]:
    refresh(archive.store)
    hits = search.find_texts(archive.store, archive.job.job_id, asked_words(typed), limit=9)
    return [(hit.kind, hit.ref) for hit in hits]


@pytest.mark.parametrize("word", ["17", "hose", "bypass", "greasy"])
def test_thing_is_found_by_every_word_said_of_it(archive: Archive, hose: Tag, word: str):
    assert found(archive, word) == [("tag", hose.tag_id)]


def test_words_of_ends_bags_snags_belts_log_and_other_numbers_lead_to_the_thing(archive: Archive, hose: Tag):
    change_end(archive, hose, "B", EndWords(place="thermostat", colour="RD/BK", terminal="D+"))
    save_bag(archive, "B4", BagWords(place="drawer", contents="dowels"), tags=[hose])
    snags.add_snag(archive, "chafed through", SnagTies(tag=hose, buy="sleeve"))
    note_belt(archive, hose, path="crank, alternator")
    also_number(archive, hose, "917")
    log.write_line(archive, hose, "note", note="kinked", by_whom="Tine")

    for word in ("thermostat", "red", "D+", "b4", "drawer", "dowels", "chafed", "sleeve", "alternator", "917",
                 "kinked", "tine"):  # fmt: skip
        assert ("tag", hose.tag_id) in found(archive, word), word


def test_bag_snag_fluid_and_note_of_a_day_are_found_by_their_own_words(archive: Archive):
    bag = save_bag(archive, "B4", BagWords(name="flange", note="oily"), groups=[GroupWords("studs", thread="M8")])
    snag = snags.add_snag(archive, "paint chipped", SnagTies(place="port bearer"))
    line = log.write_drained(archive, log.Drained("coolant", "9 l", "drum", "rusty"))
    hand_over(archive, "seacock is shut")

    assert found(archive, "studs") == found(archive, "oily") == [("bag", bag.bag_id)]
    assert found(archive, "bearer") == [("snag", snag.snag_id)]
    assert found(archive, "drum") == found(archive, "rusty") == [("line", line.event_id)]
    assert [kind for kind, _ref in found(archive, "seacock")] == ["day"]


def test_changed_word_is_found_and_the_old_one_no_more(archive: Archive, hose: Tag):
    assert found(archive, "bypass")

    change_tag(archive, hose, TagWords(name="return hose"))
    assert found(archive, "bypass") == []
    assert found(archive, "return") == [("tag", hose.tag_id)]

    undo(archive)
    assert found(archive, "bypass") == [("tag", hose.tag_id)]


def test_struck_line_and_removed_thing_are_found_no_more(archive: Archive, hose: Tag):
    line = log.write_line(archive, hose, "note", note="kinked")
    drained = log.write_drained(archive, log.Drained("coolant"))
    assert found(archive, "kinked")

    log.strike(archive, line)
    log.strike(archive, drained)
    assert found(archive, "kinked") == found(archive, "coolant") == []

    remove_tag(archive, hose)
    assert found(archive, "greasy") == []
    undo(archive)
    assert found(archive, "greasy") == [("tag", hose.tag_id)]


def test_each_job_is_searched_alone(archive: Archive, hose: Tag):
    refresh(archive.store)
    new_job(archive, "Tractor", zone="UTC")
    other = add_tag(archive, "18", TagWords(name="greasy pipe"))

    assert found(archive, "greasy") == [("tag", other.tag_id)]


def test_nothing_is_written_while_nothing_changed(archive: Archive, hose: Tag):
    refresh(archive.store)
    stamp = archive.store.stamp()

    refresh(archive.store)

    assert archive.store.stamp() == stamp
    assert search.stale_texts(archive.store) == []


def test_words_are_no_step_of_a_person(archive: Archive, hose: Tag):
    steps = archive.store.count_steps()

    refresh(archive.store)

    assert archive.store.count_steps() == steps
    assert undo(archive) == ["tag 17 added"]
