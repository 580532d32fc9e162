"""The whole record of a tag: every field, both ends, in one line and from a table."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import bags, log, resolve, tag, undo
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.quick_line import enter_line
from asfound.actions.tag import EndWords, TagWords
from asfound.actions.tag_card import read_card, read_cards
from asfound.actions.tags_import import import_tags
from asfound.core.find.texts import words_of_colour
from asfound.core.log.tag_readers import colour_question
from asfound.errors import Ambiguous, Misused
from tests.scenario import FOLDER

NOW = datetime(2026, 4, 26, 18, tzinfo=UTC)
LINE = "17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK"


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True, now=lambda: NOW) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def fields(archive: Archive, number: str) -> dict[str, str]:
    return {one.full_label: one.words for one in read_card(archive, resolve.get_tag(archive, number).tag).fields}


def test_every_field_that_is_said_is_shown_again(archive: Archive):
    mine = tag.add_tag(
        archive,
        "5",
        TagWords(
            kind="wire", name="charge cable", note="boot torn", flow="a to b", size="16 mm2", route="over the gear",
            how_it_sat="flat", hazard="battery", condition="reuse", goes_with="hull", look_alike="L1",
        ),
    )  # fmt: skip
    words = EndWords(
        place="alternator", how_it_sat="stud", colour="RD/BK?", capped=True, tape_lost=True, terminal="B+", note="oily",
        clock="2:30", capped_with="cap",
    )  # fmt: skip
    tag.change_end(archive, mine, "A", words)

    shown = fields(archive, "5")

    assert shown == {
        "kind": "wire", "name": "charge cable", "size": "16 mm2", "flow": "A to B", "route": "over the gear",
        "how it sat": "flat", "end A": "alternator", "sat at A": "stud; 2:30 o'clock",
        "colour at A": "RD/BK (red with black stripe), seen in poor light",
        "terminal at A": "B+ (alternator or dynamo to battery plus)", "capped at A": "yes, cap", "tape at A": "lost",
        "note at A": "oily", "hazard": "battery", "condition": "reuse", "belongs with": "hull", "looks like": "L1",
        "note": "boot torn",
    }  # fmt: skip


def test_main_colour_and_stripe_are_kept_apart(archive: Archive):
    """IEC 60757:2021, 5.1 sorts the codes; which of them is the main colour must survive beside it."""
    mine = tag.add_tag(archive, "4", TagWords(kind="wire"))
    tag.change_end(archive, mine, "A", EndWords(colour="RD/BK"))
    tag.change_end(archive, mine, "B", EndWords(colour="BK/RD"))

    ends = read_card(archive, mine).ends

    assert [(end.main, end.stripe, end.colour) for end in ends] == [("RD", "BK", "RD/BK"), ("BK", "RD", "BK/RD")]


def test_colour_that_can_be_two_is_asked_and_kept_as_typed(archive: Archive):
    mine = tag.add_tag(archive, "4", TagWords(kind="wire"))
    tag.change_end(archive, mine, "A", EndWords(colour="GR"))

    assert "GY (grey) or GN (green)" in colour_question("GR")
    assert (read_card(archive, mine).ends[0].main, read_card(archive, mine).ends[0].colour) == ("", "GR")


def test_line_of_the_brief_becomes_a_tag_field_by_field(archive: Archive):
    entered = enter_line(archive, LINE)

    assert entered.is_new
    assert fields(archive, "17") == {
        "kind": "hose",
        "name": "upper radiator",
        "end A": "thermostat housing",
        "end B": "radiator top",
        "sat at B": "clamp 2 oclock",
        "colour at B": "RD/BK (red with black stripe)",
    }
    assert read_card(archive, entered.tag).ends[1].clock == "2 o'clock"


def test_line_says_more_of_a_known_tag_and_one_undo_takes_it_back(archive: Archive):
    enter_line(archive, "17 hose upper radiator")
    before = fields(archive, "17")
    enter_line(archive, "17 A pump capped bag B4")
    assert fields(archive, "17")["bag"] == "B4"

    undo.undo(archive)

    assert fields(archive, "17") == before
    assert bags.list_bags(archive) == []


def test_line_without_number_is_refused_and_nothing_is_written(archive: Archive):
    with pytest.raises(Misused, match="does not begin with a number"):
        enter_line(archive, "upper hose, black")
    assert tag.list_tags(archive) == []


@pytest.mark.parametrize("number", ["1" * 5000, "a\nb", "\x1b[31m7", "", "  ", "7\u202e"])
def test_what_cannot_stand_on_a_tape_is_no_number(archive: Archive, number: str):
    with pytest.raises(Misused):
        tag.add_tag(archive, number, TagWords())


@pytest.mark.parametrize("flow", ["sideways", "A to A", "C to D"])
def test_what_is_no_direction_is_refused(archive: Archive, flow: str):
    with pytest.raises(Misused, match="is not a direction"):
        tag.add_tag(archive, "1", TagWords(flow=flow))
    assert tag.list_tags(archive) == []


@pytest.mark.parametrize("clock", ["13", "0", "2:75", "noon"])
def test_what_is_no_clock_hour_is_refused(archive: Archive, clock: str):
    mine = tag.add_tag(archive, "1", TagWords())
    with pytest.raises(Misused):
        tag.change_end(archive, mine, "A", EndWords(clock=clock))


def test_names_of_a_repeated_number_stay_when_another_goes(archive: Archive):
    things = [tag.add_tag(archive, "12", TagWords(name=name)) for name in ("one", "two", "three")]

    tag.renumber_tag(archive, things[1], "50")

    assert resolve.get_tag(archive, "12.3").tag.name == "three"
    assert tag.add_tag(archive, "12", TagWords(name="four")).order == 4


def test_name_of_a_repeated_number_cannot_be_a_number(archive: Archive):
    for name in ("one", "two"):
        tag.add_tag(archive, "12", TagWords(name=name))

    with pytest.raises(Misused, match="12x"):
        tag.add_tag(archive, "12.2", TagWords())


def test_repeated_number_passes_over_a_tape_that_reads_so(archive: Archive):
    tag.add_tag(archive, "12", TagWords(name="one"))
    tag.add_tag(archive, "12.2", TagWords(name="own tape"))

    second = tag.add_tag(archive, "12", TagWords(name="two"))

    assert second.order == 3
    assert resolve.get_tag(archive, "12.2").tag.name == "own tape"
    assert resolve.get_tag(archive, "12.3").tag.name == "two"


def test_number_that_reads_as_an_end_is_told(archive: Archive):
    tag.add_tag(archive, "7", TagWords())
    own = tag.add_tag(archive, "7b", TagWords(name="own"))

    assert "7 end b" in tag.shadowed_end(archive, own)
    assert resolve.get_tag(archive, "7 end b").tag.number == "7"


# The table of the whole boat


def test_whole_boat_comes_in(archive: Archive):
    report = import_tags(archive, FOLDER / "demo-scenario.csv")

    assert (len(report.rows), report.count("added"), report.unread_columns) == (46, 46, ())
    assert not [row for row in report.rows if row.left_out]
    assert len(tag.list_tags(archive)) == 46
    assert fields(archive, "31")["tape at B"] == "lost"
    assert fields(archive, "26") | {"fit after": "27", "fit before": "27"} == fields(archive, "26")
    wire = read_card(archive, resolve.get_tag(archive, "13").tag)
    assert [end.colour for end in wire.ends] == ["RD", "BN"]


def test_bringing_it_in_again_changes_nothing_and_leaves_no_step(archive: Archive):
    import_tags(archive, FOLDER / "demo-scenario.csv")
    cards, steps = read_cards(archive), archive.store.count_steps()

    report = import_tags(archive, FOLDER / "demo-scenario.csv")

    assert report.count("same") == 46
    assert read_cards(archive) == cards
    assert archive.store.count_steps() == steps


def test_dry_run_tells_all_and_changes_nothing(archive: Archive):
    report = import_tags(archive, FOLDER / "demo-scenario.csv", is_dry_run=True)

    assert report.count("added") == 46
    assert tag.list_tags(archive) == []
    assert archive.store.count_steps() == 0


def test_one_undo_takes_a_table_back(archive: Archive):
    import_tags(archive, FOLDER / "demo-scenario.csv")

    undo.undo(archive, is_sure=True)

    assert tag.list_tags(archive) == []
    assert log.list_lines(archive) == []


def write(tmp_path: Path, *lines: str) -> Path:
    path = tmp_path / "tags.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_row_that_cannot_be_taken_leaves_the_others(archive: Archive, tmp_path: Path):
    path = write(
        tmp_path,
        "tag,kind,flow,off_on,refit_after,spare",
        "1,hose,A to B,2025-10-18,2;99,",
        "2,gizmo,,,,",
        "3,wire,sideways,,,",
        "4,wire,,2025-13-40,,",
        ",wire,,,,",
        "6,wire,,0001-01-01,,",
        "7,wire,,,,,,one too many",
    )

    report = import_tags(archive, path)  # nothing stands under "spare", so nothing is asked about it

    assert [(row.line, row.became) for row in report.rows] == [
        (2, "added"), (3, "refused"), (4, "refused"), (5, "refused"), (6, "refused"), (7, "refused"), (8, "refused"),
    ]  # fmt: skip
    assert [one.number for one in tag.list_tags(archive)] == ["1"]
    whys = [row.left_out for row in report.rows]
    assert "2" in whys[0][0]
    assert "99" in whys[0][1]
    for why, word in zip(whys[1:], ("gizmo", "sideways", "2025-13-40", "number", "year 1", "cells"), strict=True):
        assert word in why[0]
    assert report.unread_columns == ()


def test_row_of_a_known_tag_shows_what_becomes_another(archive: Archive, tmp_path: Path):
    tag.add_tag(archive, "1", TagWords(kind="hose", name="water hose"))

    report = import_tags(archive, write(tmp_path, "tag,name,size", "1,heater hose,"), is_dry_run=True)

    assert report.rows[0].changes == ("name: water hose -> heater hose",)
    assert fields(archive, "1")["name"] == "water hose"


def test_answer_columns_are_never_read(archive: Archive, tmp_path: Path):
    import_tags(archive, write(tmp_path, "tag,kind,a_base,a_iec", "1,wire,,BKRD"))

    assert "colour at A" not in fields(archive, "1")


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"name\nhose\n", b'tag\n"1\n', b""])
def test_what_is_no_table_of_tags_is_told_in_one_line(archive: Archive, tmp_path: Path, content: bytes):
    path = tmp_path / "odd.csv"
    path.write_bytes(content)

    with pytest.raises(Misused) as told:
        import_tags(archive, path)
    assert "\n" not in str(told.value)


def test_number_on_two_things_must_be_told_apart_in_a_rule(archive: Archive, tmp_path: Path):
    report = import_tags(archive, write(tmp_path, "tag,name,refit_after", "12,one,", "12,two,", "13,three,12"))

    assert "on 2 things" in report.rows[2].left_out[0]
    with pytest.raises(Ambiguous):
        resolve.get_tag(archive, "12")


def test_hazard_in_unknown_words_is_asked_back_beside_the_thing(archive: Archive):
    mine = tag.add_tag(archive, "20", TagWords(kind="hose", hazard="petorl"))
    other = tag.add_tag(archive, "21", TagWords(kind="hose", hazard="gasoline"))

    assert any('"petorl": is it petrol?' in note for note in read_card(archive, mine).notes)
    assert any("keep flames away" in caution for caution in read_card(archive, other).cautions)


@pytest.mark.parametrize("typed", ["light blue", "dark blue"])
def test_a_shade_stays_as_typed_and_is_found_by_it(archive: Archive, typed: str):
    mine = tag.add_tag(archive, "30", TagWords(kind="wire"))
    tag.change_end(archive, mine, "A", EndWords(colour=typed))

    end = read_card(archive, mine).ends[0]
    assert (end.colour, end.main) == (typed, "")
    assert any("kept as typed" in note for note in read_card(archive, mine).notes)
    assert {*typed.split(), "bu"} <= {*words_of_colour(end.colour).split()}
    assert {"light", "dark"} - {*words_of_colour(end.colour).split()}
