"""No sequence of entries, undos and machine sorts changes what a person typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.actions import bags, fit, gaps, log, resume, snags, sort, tag, undo
from asfound.actions.archive import Archive, open_archive
from asfound.actions.bags import BagWords, GroupWords
from asfound.actions.find import search
from asfound.actions.job import new_job
from asfound.actions.tag import EndWords, TagWords
from asfound.core.read.reading import Reading
from asfound.errors import AsfoundError
from asfound.model.tags import PinProposal
from asfound.store import answers, fitting, jobs, pins, readings, spots
from asfound.store.migrations import PERSON_TABLES
from asfound.store.pictures import NewPicture, save_picture

NOW = datetime(2026, 4, 26, 18, tzinfo=UTC)
NUMBERS = ("1", "2", "4")
PICTURES = 4

texts = st.text(max_size=20) | st.sampled_from(['it\'s "odd"; --', "RD/BK", "17b", "back in place", "\u202e91", " x "])
which = st.integers(0, 2)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three tags off, and four pictures in two spots; each example takes back all that it entered."""
    folder = tmp_path_factory.mktemp("typed") / "archive"
    with open_archive(folder, create=True, now=lambda: NOW) as archive:
        new_job(archive, "Sallow", zone="Europe/Amsterdam")
        store, job_id = archive.store, archive.job.job_id
        dump_id = jobs.start_dump(store, job_id, "card", NOW)
        camera_id = jobs.save_camera(store, job_id, "P1")
        for at in range(PICTURES):
            save_picture(store, NewPicture(job_id, dump_id, "photo", f"P1_{at}.jpg", None, camera_id, None, 400, 300))
        _sort_into(archive, [0, 0, 1, 1])
        for number in NUMBERS:
            mine = tag.add_tag(archive, number, TagWords(kind="hose"))
            log.mark_off(archive, mine)
    return folder


def _sort_into(archive: Archive, places: list[int]) -> None:
    """Put each picture into one of three spots."""
    store, job_id = archive.store, archive.job.job_id
    ids = [row[0] for row in store.rows("SELECT spot_id FROM spot ORDER BY spot_id LIMIT 3")]
    ids += [spots.new_spot(store, job_id) for _missing in range(3 - len(ids))]
    spots.save_membership(store, job_id, {at + 1: ids[place] for at, place in enumerate(places)}, {})


@dataclass
class Said:
    """What was typed, kept beside the archive in plain lists, with every earlier state for undo."""

    lines: list[tuple[str, str]] = field(default_factory=list)
    bags: dict[str, str] = field(default_factory=dict)
    snags: dict[str, str] = field(default_factory=dict)
    moves: list[tuple[str, str, str]] = field(default_factory=list)
    numbers: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=lambda: dict.fromkeys(NUMBERS, ""))

    def copy(self) -> Said:
        return Said(*(type(part)(part) for part in vars(self).values()))


def _tag(archive: Archive, at: int) -> Any:
    return next(one for one in tag.list_tags(archive) if one.number == NUMBERS[at])


def enter_note(archive: Archive, said: Said, at: int, text: str) -> None:
    if text.strip():
        log.write_line(archive, _tag(archive, at), "note", note=text)
        said.lines.append(("note", text))


def enter_strike(archive: Archive, said: Said, at: int, text: str) -> None:
    open_lines = [line for line in log.list_lines(archive) if line.kind == "note" and not line.is_struck]
    if open_lines:
        log.strike(archive, open_lines[at % len(open_lines)], text)
        said.lines.append(("not so", text))


def enter_bag(archive: Archive, said: Said, at: int, text: str) -> None:
    if said.bags.get(f"B{at}") != text:
        bags.save_bag(archive, f"B{at}", BagWords(note=text), groups=[GroupWords("bolts")], tags=[_tag(archive, at)])
        said.bags[f"B{at}"] = text


def enter_snag(archive: Archive, said: Said, at: int, text: str) -> None:
    if text.strip():
        label = snags.add_snag(archive, text, snags.SnagTies(tag=_tag(archive, at))).label
        said.snags[label] = text.strip()


def enter_move(archive: Archive, said: Said, at: int, _text: str) -> None:
    one, other = _tag(archive, at), _tag(archive, (at + 1) % 3)
    fit.move_step(archive, one, "before", other)
    said.moves.append((str(one.tag_id), "before", str(other.tag_id)))


def enter_answer(archive: Archive, said: Said, _at: int, text: str) -> None:
    if text.strip() and "3" not in said.numbers:
        gaps.answer_gaps(archive, "3", text)
        said.numbers["3"] = text.strip()


def enter_name(archive: Archive, said: Said, at: int, text: str) -> None:
    mine = _tag(archive, at)
    if mine.name != text:
        tag.change_tag(archive, mine, TagWords(name=text))
        said.names |= {mine.number: text}


def enter_pin(archive: Archive, _said: Said, at: int, _text: str) -> None:
    with archive.step("pin"):
        end = _tag(archive, at)
        pins.save_pin(
            archive.store, end.tag_id, "A", at + 1, NOW, x_frac=1 / (at + 2), y_frac=0.5, w_frac=None, h_frac=None
        )
        tag.change_end(archive, end, "B", EndWords(place=f"place {len(archive.store.steps(99))}"))


ENTRIES: tuple[Callable[[Archive, Said, int, str], None], ...] = (
    enter_note, enter_strike, enter_bag, enter_snag, enter_move, enter_answer, enter_name, enter_pin,
)  # fmt: skip


def sort_again(archive: Archive, _at: int) -> None:
    sort.finish_pending(archive)


def guess_anew(archive: Archive, at: int) -> None:
    store = archive.store
    with store.transaction():
        _sort_into(archive, [(at + place) % 3 for place in range(PICTURES)])
        guess = PinProposal(_tag(archive, at).tag_id, "A", at + 1, 0.9, 0.9, None, None, "carried", 0.9, "depth", None)
        pins.replace_proposals(store, guess.tag_id, "A", "carried", [guess])
        readings.save_readings(store, at + 1, "own", [Reading("1", "A", "written", 0.1, 0.1, 0.1, 0.1, 0.9)])


def forget_guesses(archive: Archive, _at: int) -> None:
    with archive.store.transaction():
        spots.clear_computed(archive.store, archive.job.job_id)
        pins.mark_stale(archive.store, archive.job.job_id)


def look(archive: Archive, at: int) -> None:
    gaps.find_gaps(archive)
    resume.where_was_i(archive)
    search(archive, NUMBERS[at])


MACHINE: tuple[Callable[[Archive, int], None], ...] = (sort_again, guess_anew, forget_guesses, look)

steps = st.lists(
    st.tuples(st.sampled_from(ENTRIES), which, texts) | st.tuples(st.sampled_from(MACHINE), which) | st.just("undo"),
    min_size=4,
    max_size=16,
)


def tables(archive: Archive) -> dict[str, list[tuple[object, ...]]]:
    rows = {table: archive.store.rows(f"SELECT * FROM {table}") for table in PERSON_TABLES}
    return {table: sorted(map(tuple, found), key=repr) for table, found in rows.items()}


def read_back(archive: Archive) -> Said:
    """The same out of the archive, as it is shown."""
    job_id = archive.job.job_id
    return Said(
        [(line.kind, line.note) for line in sorted(log.list_lines(archive), key=_entered) if line.kind != "off"],
        {bag.label: bag.note for bag in bags.list_bags(archive)},
        {snag.label: snag.what for snag in snags.list_snags(archive)},
        fitting.list_moves(archive.store, job_id),
        answers.settled_numbers(archive.store, job_id),
        {one.number: one.name for one in tag.list_tags(archive)},
    )


def _entered(line: Any) -> int:
    return int(line.event_id)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(taken=steps)
def test_entries_undos_and_machine_sorts_leave_every_typed_word_as_it_was(made: Path, taken: list[Any]):
    with open_archive(made, now=lambda: NOW) as archive:
        said, earlier = Said(), list[tuple[Said, dict[str, list[tuple[object, ...]]]]]()
        begun = archive.store.count_steps()
        try:
            for step in taken:
                before = tables(archive)
                if step == "undo":
                    if earlier:
                        undo.undo(archive)
                        said, was = earlier.pop()
                        assert tables(archive) == was
                elif step[0] in MACHINE:
                    step[0](archive, step[1])
                    assert tables(archive) == before, "the machine touches no word"
                else:
                    kept, count = said.copy(), archive.store.count_steps()
                    step[0](archive, said, *step[1:])
                    if archive.store.count_steps() > count:
                        earlier.append((kept, before))
                    assert set(before["event"]) <= set(tables(archive)["event"]), "no line of the log is ever changed"
                assert read_back(archive) == said
        finally:
            while archive.store.count_steps() > begun:
                undo.undo(archive)


def test_entry_that_is_refused_leaves_no_trace(made: Path):
    with open_archive(made, now=lambda: NOW) as archive:
        before = tables(archive)
        for refused in (
            lambda: log.write_line(archive, _tag(archive, 0), "note", note=" "),
            lambda: snags.add_snag(archive, " "),
            lambda: bags.save_bag(archive, "back in place"),
            lambda: fit.move_step(archive, _tag(archive, 0), "before", _tag(archive, 0)),
            lambda: gaps.answer_gaps(archive, "99", "never used"),
        ):
            with pytest.raises(AsfoundError):
                refused()
            assert tables(archive) == before
