"""A tag in one typed line."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from asfound.core.log.entry import parse_entry
from asfound.core.log.entry_fields import EndEntry, Entry, Known
from asfound.model.tags import KINDS, SIDES
from tests.scenario import load_sallow
from tests.strategies import WORDS

from .entry_lines import render_entry

LINE = "17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK"
KNOWN = Known(places=("thermostat housing", "radiator top", "starter", "starter, lower port side"))
MARKERS = (
    *"A B a b end sat colour bag B7 size 10 mm note to flow RD/BK GR capped not tape lost".split(),
    *("engine side", "stays behind", "engine", "side"),
    *("terminal", "30", "x", "M10", "at", "2", "oclock", ";", '"', "\\"),
)

texts = st.one_of(
    st.text(max_size=12),
    st.lists(st.sampled_from((*WORDS, *MARKERS, *KINDS)), max_size=5).map(" ".join),
)
ends = st.builds(
    EndEntry,
    texts,
    texts,
    texts,
    texts,
    st.sampled_from([None, True, False]),
    st.booleans(),
    st.sampled_from(["", *SIDES]),
)
entries = st.builds(Entry, texts, texts, texts, texts, texts, texts, ends, ends, texts)
lines = st.lists(st.sampled_from((*WORDS, *MARKERS, *KINDS, "thermostat housing", "17", "17b")), max_size=14).map(
    " ".join
)
knowns = st.sampled_from([None, KNOWN, Known(kinds=(), numbers=frozenset({"A", "L"}))])


def test_line_of_the_brief_is_read_field_by_field() -> None:
    entry = parse_entry(LINE)

    assert entry == Entry(
        number="17",
        kind="hose",
        name="upper radiator",
        a=EndEntry(place="thermostat housing"),
        b=EndEntry(place="radiator top", how_it_sat="clamp 2 oclock", colour="RD/BK"),
    )
    assert render_entry(entry) == (
        "17 hose upper radiator A thermostat housing B radiator top sat clamp 2 oclock colour RD/BK"
    )


@pytest.mark.parametrize(
    ("line", "entry"),
    [
        ("", Entry()),
        ("17", Entry("17")),
        ("#17: wire", Entry("#17", "wire")),
        ("12 earth strap a block b frame", Entry("12", "ground strap", a=EndEntry("block"), b=EndEntry("frame"))),
        ("3 upper coolant hose end a: head", Entry("3", "coolant hose", "upper coolant hose", a=EndEntry("head"))),
        ("3 hose with a clip", Entry("3", "hose", "with a clip")),
        ("8 fuse 10 A panel", Entry("8", "", "fuse 10 A panel")),
        ("41 bolts M10 x 35 A flange", Entry("41", "", "bolts", size="M10 x 35", a=EndEntry("flange"))),
        ("5 hose 13mm A->B A pump", Entry("5", "hose", size="13mm", flow="A to B", a=EndEntry("pump"))),
        ("5 hose flow both ways", Entry("5", "hose", flow="both ways")),
        ("5 hose bag B7 B tank", Entry("5", "hose", bag="B7", b=EndEntry("tank"))),
        ("5 bracket back in place", Entry("5", "bracket", bag="back in place")),
        ("5 hose A pump capped B tank not capped", Entry("5", "hose", a=EndEntry("pump", capped=True),
                                                         b=EndEntry("tank", capped=False))),
        ("5 hose capped", Entry("5", "hose", a=EndEntry(capped=True), b=EndEntry(capped=True))),
        ("5 cable A lever 9 threads showing tape lost",
         Entry("5", "cable", a=EndEntry("lever", "9 threads showing", tape_lost=True))),
        ("5 wire A coil terminal 15 B relay; small spade terminal 87",
         Entry("5", "wire", a=EndEntry("coil", terminal="15"), b=EndEntry("relay", "small spade", terminal="87"))),
        ("5 cable battery terminal A x", Entry("5", "cable", "battery terminal", a=EndEntry("x"))),
        ("5 wire A relay RD B head colour light blue", Entry("5", "wire", a=EndEntry("relay", colour="RD"),
                                                             b=EndEntry("head", colour="light blue"))),
        ("5 wire black lead A x sat arrow up", Entry("5", "wire", "black lead", a=EndEntry("x", "arrow up"))),
        ("5 hose A x at 10 note cracked A bit", Entry("5", "hose", a=EndEntry("x", "at 10"), note="cracked A bit")),
        ('5 hose "A to B" A "pump, B side"', Entry("5", "hose", "A to B", a=EndEntry("pump, B side"))),
        ("5 hose A pump engine side B tank top RD stays behind", Entry("5", "hose", a=EndEntry("pump", side="engine"),
                                                                b=EndEntry("tank top", colour="RD", side="stays"))),
        ("5 hose A engine side cover clamp 2 oclock B hull",
         Entry("5", "hose", a=EndEntry("engine side cover", "clamp 2 oclock"), b=EndEntry("hull"))),
        ("5 hose A pump, engine side; clamp up B x stays behind, note dry",
         Entry("5", "hose", a=EndEntry("pump", "clamp up", side="engine"), b=EndEntry("x", side="stays"), note="dry")),
        ("look at the thermostat later", Entry(note="look at the thermostat later")),
    ],
)  # fmt: skip
def test_lines_are_read(line: str, entry: Entry) -> None:
    assert parse_entry(line) == entry


def test_colour_before_the_ends_is_said_of_both() -> None:
    entry = parse_entry("4 wire starter signal RD/BK A starter B relay")

    assert (entry.a.colour, entry.b.colour) == ("RD/BK", "RD/BK")


@pytest.mark.parametrize(("line", "typed"), [("7 wire GR/BK", "GR/BK"), ("7 wire GR", "GR"), ("7 wire RDBU", "RDBU")])
def test_colours_that_can_mean_two_things_are_kept_and_asked(line: str, typed: str) -> None:
    entry = parse_entry(line)

    assert entry.a.colour == typed
    assert [question.typed for question in entry.questions] == [typed]


@pytest.mark.parametrize("line", ["7 mirror L/R", "7 switch on/off", "7 hose or pipe", "7 a/c line"])
def test_words_with_strokes_are_no_colours(line: str) -> None:
    assert parse_entry(line).a.colour == ""


def test_known_places_split_the_line_without_letters() -> None:
    entry = parse_entry("17 hose upper Thermostat  housing radiator top clamp at 2", KNOWN)

    assert (entry.name, entry.a.place) == ("upper", "thermostat housing")
    assert entry.b == EndEntry("radiator top", "clamp at 2")


def test_longest_known_place_counts_and_the_rest_is_how_it_sat() -> None:
    entry = parse_entry("2 cable main A starter lower port side main stud, bottom lug B starter", KNOWN)

    assert entry.a == EndEntry("starter, lower port side", "main stud, bottom lug")
    assert entry.b == EndEntry("starter")


def test_known_place_of_one_word_does_not_split_a_name() -> None:
    assert parse_entry("4 wire starter signal", KNOWN).name == "starter signal"


def test_known_number_needs_no_digit() -> None:
    assert parse_entry("L wire", Known(numbers=frozenset({"L"}))).number == "L"
    assert parse_entry("L wire").number == ""


def test_every_tag_of_the_scenario_reads_back_from_its_line() -> None:
    record = load_sallow()
    known = Known(places=tuple({end.place for end in record.ends if end.place}))

    for tag in record.tags:
        a, b = (record.end(tag, letter) for letter in ("A", "B"))
        at_a, at_b = (EndEntry(e.place, e.how_it_sat, e.colour, "", e.capped, e.tape_lost) for e in (a, b))
        entry = Entry(tag.number, tag.kind, tag.name, tag.size, tag.flow, tag.bag, at_a, at_b, tag.note)
        assert parse_entry(render_entry(entry, known), known) == entry


@settings(max_examples=150, deadline=None)
@given(entries, knowns)
@example(Entry(name="17 hose A"), None)
@example(Entry(a=EndEntry(tape_lost=True)), None)
def test_rendered_entry_reads_back_as_the_same_fields(entry: Entry, known: Known | None) -> None:
    assert parse_entry(render_entry(entry, known), known) == entry


@settings(max_examples=150, deadline=None)
@given(st.text() | lines, knowns)
def test_any_text_is_read_and_what_was_read_reads_back(line: str, known: Known | None) -> None:
    entry = parse_entry(line, known)

    assert parse_entry(render_entry(entry, known), known) == entry


@settings(deadline=None)
@given(lines)
def test_no_word_is_lost_but_those_that_open_a_field(line: str) -> None:
    shown = render_entry(parse_entry(line)).casefold()
    opening = "a b end sat colour bag size note flow to capped not tape lost terminal plugged x".split()

    kinds = "earth ground strap hose hoses"
    for word in re.findall(r"\w+", line.casefold()):
        assert word in opening or word in shown or word in kinds
