"""What a typed line writes, and where."""

from __future__ import annotations

import runpy
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import bags, job, log, snags, tag, undo
from asfound.actions.archive import Archive, open_archive
from asfound.actions.away import list_away
from asfound.actions.fluids import list_fluids
from asfound.actions.known import states
from asfound.actions.to_buy import list_to_buy
from asfound.actions.typed_line import read_about, write_typed
from asfound.errors import AskBack, Misused

NOW = datetime(2025, 11, 5, 15, 40, tzinfo=UTC)
ROOT = Path(__file__).parents[1]


@pytest.fixture
def archive(tmp_path: Path) -> Archive:
    made = open_archive(tmp_path / "archive", create=True, now=lambda: NOW)
    job.new_job(made, "Work boat", zone="Europe/Amsterdam")
    for number in ("17", "18", "36"):
        tag.add_tag(made, number, tag.TagWords(kind="hose"))
    bags.save_bag(made, "B9", bags.BagWords(contents="bolts", count_out=7))
    return made


def test_all_of_a_line_is_one_step(archive: Archive):
    written = write_typed(archive, "mk: 17 off bag B9; 18 capped; drained 2 l fuel into jerry can")

    assert [(one.kind, one.by_whom) for one in written.lines] == [("off", "mk"), ("capped", "mk"), ("drained", "mk")]
    assert [one.container for one in written.lines] == ["", "", "jerry can"]
    undo.undo(archive)
    assert log.list_lines(archive) == []
    assert not any(end.capped for ends in tag.list_ends(archive).values() for end in ends)


def test_nothing_is_written_of_what_is_asked_back(archive: Archive):
    for line in ("17 off, 99 capped", "17 off 3/11", "17 of", "17 off, 18 off yesterday"):
        with pytest.raises(AskBack):
            write_typed(archive, line)
    with pytest.raises(Misused, match="still to come"):
        write_typed(archive, "17 off 6.11.")
    assert log.list_lines(archive) == []


def test_a_thing_is_back_once_both_ends_are(archive: Archive):
    (first,) = tag.list_tags(archive)[:1]
    for line, state in (("17a off, 17b off", "off"), ("17a back on", "off"), ("17b back on", "refitted")):
        write_typed(archive, line)
        assert states(archive)[first.tag_id] == state


def test_tape_that_is_lost_is_in_the_log_and_on_the_end(archive: Archive):
    (first,) = tag.list_tags(archive)[:1]
    (line,) = write_typed(archive, "tape lost on 17b").lines

    assert (line.kind, line.end) == ("tape lost", "B")
    assert [end.tape_lost for end in tag.list_ends(archive)[first.tag_id]] == [False, True]
    write_typed(archive, "retaped 17b")
    assert [end.tape_lost for end in tag.list_ends(archive)[first.tag_id]] == [False, False]


def test_pieces_are_counted_in_the_bag_and_in_the_log(archive: Archive):
    (line,) = write_typed(archive, "B9 all back").lines

    assert (line.event_id > 0, line.kind, line.bag, line.amount) == (True, "counted back", "B9", "7")
    assert bags.get_bag(archive, "B9").count_back == 7


def test_snags_and_what_to_buy_go_on_their_lists(archive: Archive):
    (snag,) = write_typed(archive, "MK: snag 17 clamp rusted").lines
    write_typed(archive, "need a new clamp for 17")

    assert (snag.event_id, snag.kind) == (0, "snag")
    assert snags.list_snags(archive)[0].what == "clamp rusted (MK)"
    assert [words for _item, words in list_to_buy(archive)] == ["clamp for 17"]
    write_typed(archive, "bought clamp for 17")
    assert list_to_buy(archive) == []


def test_a_part_that_was_bought_does_not_stand_for_the_broken_thing(archive: Archive):
    write_typed(archive, "17 cracked")
    write_typed(archive, "bought clamp for 17")

    assert ["17" in words for _item, words in list_to_buy(archive)] == [True]


def test_leaks_that_name_no_fluid_are_of_all_that_was_filled(archive: Archive):
    write_typed(archive, "coolant drained 9 l")
    write_typed(archive, "coolant back in 9 l, bled")
    write_typed(archive, "17 checked for leaks")
    assert list_fluids(archive)[0].leaks is None
    write_typed(archive, "no leaks")
    assert list_fluids(archive)[0].leaks is not None


def test_what_is_sent_has_the_day_it_is_promised_for(archive: Archive):
    write_typed(archive, "cylinder head sent to engine shop, back by 20 dec")

    assert list_away(archive)[0].line.promised == "2025-12-20"


def test_of_a_thing_in_hand_only_what_happened_is_typed(archive: Archive):
    def read(line: str) -> tuple[str, ...]:
        answer = read_about(archive, "17", line)
        assert answer.sure is not None
        return answer.sure[0].tags

    assert read("off, stiff") == ("17",)
    assert read("yesterday off") == ("17",)
    assert read("18 off") == ("18",)
    assert read("engine out") == ()
    assert len(read_about(archive, "17", "no leaks").readings) == 2


def test_lines_to_build_by_are_all_taken_as_meant(tmp_path: Path):
    bench = runpy.run_path(str(ROOT / "bench" / "typed_lines.py"))
    lines = (ROOT / "data" / "typed_lines" / "to_build_by.txt").read_text().splitlines()
    with bench["make_archive"](tmp_path / "archive") as archive:
        for line, meant in (one.split(" => ") for one in lines if not one.startswith("#")):
            assert bench["written_rows"](archive, line) == bench["meant_rows"](meant), line


def test_of_the_lines_written_later_none_is_written_otherwise_than_meant(tmp_path: Path):
    bench = runpy.run_path(str(ROOT / "bench" / "typed_lines.py"))
    lines = (ROOT / "data" / "typed_lines" / "later.txt").read_text().splitlines()
    with bench["make_archive"](tmp_path / "archive") as archive:
        told = [
            (line, bench["meant_rows"](meant), bench["written_rows"](archive, line))
            for line, meant in (one.split(" => ") for one in lines if not one.startswith("#"))
        ]

    assert [line for line, meant, written in told if written not in (None, meant)] == []
    assert sum(written == meant for _line, meant, written in told) >= 0.95 * len(told)
