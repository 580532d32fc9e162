"""Any step of a person can be taken back exactly, whatever code made it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.errors import ArchiveTrouble, NewerArchive, NothingToUndo, UnfinishedArchive
from asfound.model.tags import PinProposal
from asfound.store import answers, bags, events, fitting, jobs, pins, purchases, snags, spots, tags, values
from asfound.store.database import Store
from tests.store.filled import NOW, filled_store, person_rows


def add_snag(store: Store) -> int:
    label = str(len(snags.list_snags(store, 1)) + 1)
    return snags.add_snag(store, 1, label, NOW, is_day_only=False, what="stripped")


ACTIONS = {
    "tag": lambda s: tags.add_tag(s, 1, "12", NOW, kind="wire", name="it's", ends=2),
    "rename": lambda s: tags.change_tag(s, 1, name="black 'quoted' hose", flow="A to B"),
    "end": lambda s: tags.change_end(s, 1, "A", place="pump", capped=1),
    "one end": lambda s: tags.change_tag(s, 1, ends=1),
    "pin": lambda s: pins.save_pin(s, 1, "A", 1, NOW, x_frac=0.1, y_frac=1 / 3, w_frac=None, h_frac=None),
    "pin box": lambda s: pins.save_pin(s, 1, "B", 2, NOW, x_frac=0.5, y_frac=0.7, w_frac=0.1, h_frac=0.2),
    "reject": lambda s: pins.reject(s, 1, "A", 3),
    "off": lambda s: events.add_event(s, 1, "off", NOW, NOW, bag="B4"),
    "bag": lambda s: bags.save_bag(s, 1, "B4"),
    "bag's tag": lambda s: bags.link_tag(s, bags.save_bag(s, 1, "B4"), 1),
    "bag's groups": lambda s: bags.save_group(s, bags.save_bag(s, 1, "B4"), "bolts", thread="M8", count_out=4),
    "cut": lambda s: events.add_event(s, 1, "cut", NOW, NOW, note="it's short now"),
    "drained": lambda s: events.add_event(s, None, "drained", NOW, NOW, job_id=1, what="oil", amount="7.5 l"),
    "struck": lambda s: events.add_event(s, 1, "not so", NOW, NOW, strikes=1),
    "alias": lambda s: tags.add_alias(s, 1, "17x"),
    "rule": lambda s: fitting.add_rule(s, 2, 1),
    "move": lambda s: fitting.add_move(s, 1, "1", "before", "2"),
    "hold": lambda s: fitting.pass_hold(s, 1, "before lift in", NOW, "yard engineer"),
    "value": lambda s: values.change_value(s, values.add_value(s, 1, 1, "", "gap"), wanted="0.1 mm", page="6-12"),
    "purchase": lambda s: purchases.change_purchase(s, purchases.add_purchase(s, 1, tag_id=1), price="12 EUR"),
    "member": lambda s: purchases.save_member(s, 1, "3", faced="forward"),
    "member gone": lambda s: purchases.remove_member(s, 1, "3"),
    "own step": lambda s: fitting.add_step(s, 1, "bleed the fuel", is_hold=False),
    "own step gone": lambda s: fitting.remove_step(s, 1, fitting.list_steps(s, 1)[0][0], "step 1"),
    "day": lambda s: fitting.save_day_note(s, 1, "2025-10-18", "fuel off"),
    "belt": lambda s: tags.save_belt(s, 1, path="crank, pump"),
    "snag": lambda s: snags.change_snag(s, add_snag(s), tag_id=1, buy="clamp"),
    "number": lambda s: answers.settle_number(s, 1, "34", "never used"),
    "answer": lambda s: answers.answer_gap(s, 1, "one end only", "tag 1 B", "hidden"),
    "name spot": lambda s: spots.name_spot(s, 1, "starter"),
    "place": lambda s: spots.place_picture(s, 2, None),
    "not a pair": lambda s: spots.say_pair(s, 1, 3, "not a pair"),
    "clock": lambda s: jobs.correct_clock(s, 1, -240.0, None),
    "same camera": lambda s: jobs.join_cameras(s, 1, jobs.save_camera(s, 1, "VID")),
    "other camera": lambda s: jobs.split_camera(s, 1, "VID"),
    "remove": lambda s: tags.remove_tag(s, 1),
}


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(names=st.lists(st.sampled_from(sorted(ACTIONS)), min_size=1, max_size=12))
def test_undoing_every_step_brings_back_every_earlier_state(names: list[str], tmp_path_factory: pytest.TempPathFactory):
    with filled_store(tmp_path_factory.mktemp("undo")) as store:
        states = []
        for name in names:
            before = person_rows(store)
            try:
                with store.step(name, NOW):
                    ACTIONS[name](store)
            except Exception:  # such as a pin on a tag that an earlier step removed
                assert person_rows(store) == before, "a step that fails leaves nothing behind"
                continue
            if person_rows(store) != before:
                states.append((name, before))
        for name, before in reversed(states):
            assert store.undo(NOW) == name
            assert person_rows(store) == before


def test_step_that_changes_nothing_leaves_no_trace(store: Store):
    with store.step("nothing", NOW):
        pass

    with pytest.raises(NothingToUndo):
        store.undo(NOW)


def test_step_inside_a_step_is_one_step(store: Store):
    with store.step("outer", NOW):
        ACTIONS["pin"](store)
        with store.step("inner", NOW):
            ACTIONS["off"](store)

    assert store.steps(9) == ["outer"]
    store.undo(NOW)
    assert not pins.find_pins(store, 1)
    assert not events.find_events(store, 1)


def test_undone_step_is_not_undone_again(store: Store):
    for name in ("pin", "off"):
        with store.step(name, NOW):
            ACTIONS[name](store)

    assert [store.undo(NOW), store.undo(NOW)] == ["off", "pin"]
    with pytest.raises(NothingToUndo):
        store.undo(NOW)


def test_changed_pin_is_marked_to_be_carried_anew(store: Store):
    with store.step("pin", NOW):
        ACTIONS["pin"](store)
    assert pins.stale_ends(store) == [(1, "A")]

    pins.mark_carried(store, 1, "A")
    store.undo(NOW)

    assert pins.stale_ends(store) == [(1, "A")], "the undone pin's proposals have to go"


def test_archive_of_a_later_version_is_refused(tmp_path: Path):
    with Store(tmp_path / "later.sqlite") as store:
        store.run("PRAGMA user_version = 999")

    with pytest.raises(NewerArchive, match="use the newer program"):
        Store(tmp_path / "later.sqlite")


def test_archive_of_an_unreleased_format_is_refused_in_words_and_left_alone(tmp_path: Path):
    path = tmp_path / "archive.db"
    with Store(path) as store:
        store.run("PRAGMA application_id = 1")
    before = path.read_bytes()

    with pytest.raises(UnfinishedArchive, match="nothing in it was touched"):
        Store(path)
    assert path.read_bytes() == before


def test_second_word_on_a_pair_replaces_the_first(store: Store):
    """Also while the spots are stale already, which an earlier word made them."""
    for word in ("pair", "not a pair", "pair"):
        with store.step(word, NOW):
            spots.say_pair(store, 1, 3, word)

    assert spots.load_pair_words(store, 1) == {(1, 3): "pair"}
    assert spots.are_spots_stale(store)


def test_confirmed_proposal_is_no_longer_open(store: Store):
    proposal = PinProposal(1, "A", 2, 0.5, 0.5, None, None, "carried", 0.9, "depth", None)
    pins.replace_proposals(store, 1, "A", "carried", [proposal])

    pins.save_pin(store, 1, "A", 2, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None, source="carried")

    assert pins.find_proposals(store, 1, "A") == []


@pytest.mark.parametrize(("kind", "is_stale"), [("off", True), ("refitted", True), ("measured", False), ("cut", False)])
def test_only_off_and_refitted_make_pictures_be_sorted_anew(store: Store, kind: str, is_stale: bool):
    store.run("DELETE FROM setting WHERE name = 'stale spots'")

    events.add_event(store, 1, kind, NOW, NOW)

    assert (jobs.get_setting(store, "stale spots") is not None) == is_stale


def test_archive_that_cannot_be_written_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "archive.db"
    with Store(path) as store, store.transaction():
        store.run("INSERT INTO setting(name, value) VALUES ('x', '1')")
    monkeypatch.setattr("asfound.store.database.os.access", lambda *_: False)
    before = path.read_bytes()

    with Store(path) as store:
        assert store.value("SELECT value FROM setting WHERE name = 'x'") == "1"
        with pytest.raises(ArchiveTrouble, match="make it writable"):
            store.run("DELETE FROM setting")
        with pytest.raises(ArchiveTrouble, match="make it writable"), store.step("17 off", NOW):
            pass
    assert path.read_bytes() == before
