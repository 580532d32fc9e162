"""Threads, spanners and head marks, as written on bags."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.fasteners import (
    PROPERTY_CLASSES,
    TORQUE,
    describe_fasteners,
    explain_class,
    explain_lines,
    find_head_marks,
)
from asfound.core.codes.thread_tables import ASME_B18, COARSE_MM, ISO_272, ISO_272_REMEMBERED
from asfound.core.codes.threads import SPANNER_WARNING, Thread, find_threads, spanners_for
from tests.scenario import read_rows


@pytest.mark.parametrize(
    ("text", "thread"),
    [
        ("M10", Thread("metric", "M10", 1.5, True, series="coarse")),
        ("m10", Thread("metric", "M10", 1.5, True, series="coarse")),
        ("M10 x 1.25", Thread("metric", "M10", 1.25, series="fine")),
        ("M10x1,25", Thread("metric", "M10", 1.25, series="fine")),
        ("M10 x 35, 10.9", Thread("metric", "M10", 1.5, True, series="coarse", length="35 mm")),
        ("M10 x 35,10.9", Thread("metric", "M10", 1.5, True, series="coarse", length="35 mm")),
        ("M10 × 1.25 × 35", Thread("metric", "M10", 1.25, series="fine", length="35 mm")),
        ("M8 x 1.25", Thread("metric", "M8", 1.25, series="coarse")),
        ("M3 x 20", Thread("metric", "M3", length="20 mm")),
        ("3/8-24", Thread("inch", "3/8", threads_per_inch=24, series="UNF")),
        ("3/8 UNF", Thread("inch", "3/8", threads_per_inch=24, series="UNF")),
        ("1/2-13", Thread("inch", "1/2", threads_per_inch=13, series="UNC")),
        ("1/2-13 x 1-1/4", Thread("inch", "1/2", threads_per_inch=13, series="UNC", length="1-1/4 in")),
        ("1/2-12", Thread("inch", "1/2", threads_per_inch=12)),
        ("7/16", Thread("inch", "7/16")),
        ("1-1/8-12", Thread("inch", "1-1/8", threads_per_inch=12)),
        ("M8 fine", Thread("metric", "M8", series="fine")),
        ("M8 fine x 20", Thread("metric", "M8", series="fine", length="20 mm")),
        ("M8 x 20 fine", Thread("metric", "M8", series="fine", length="20 mm")),
        ("M8 coarse", Thread("metric", "M8", 1.25, True, series="coarse")),
        ("M8 fine x 1", Thread("metric", "M8", 1.0, series="fine")),
        ("M14 x 1.25", Thread("metric", "M14", 1.25, series="fine")),
        ("M16 x 2", Thread("metric", "M16", 2.0, series="coarse")),
        ("M18", Thread("metric", "M18", 2.5, True, series="coarse")),
        ("M20 x 2.5", Thread("metric", "M20", 2.5, series="coarse")),
        ("1/2 BSP", Thread("inch", "1/2", series="BSP")),
        ('1/2" BSP', Thread("inch", "1/2", series="BSP")),
        ("3/8-16 BSW", Thread("inch", "3/8", threads_per_inch=16, series="BSW")),
        ("3/8 Whitworth", Thread("inch", "3/8", series="BSW")),
        ("1/4 in NPT", Thread("inch", "1/4", series="NPT")),
        ("1/4-18 npt", Thread("inch", "1/4", threads_per_inch=18, series="NPT")),
        ("G 1/2", Thread("inch", "1/2", series="BSPP")),
        ("R1/4", Thread("inch", "1/4", series="BSPT")),
    ],
)
def test_threads_are_read_as_people_write_them(text: str, thread: Thread) -> None:
    """Coarse pitches: ISO 261, from memory. UNC and UNF counts: ASME B1.1. Other names of threads: from memory."""
    assert find_threads(text) == [thread]


@pytest.mark.parametrize("text", ["", "10 mm", "AM10", "M", "11/10/2025", "2025-10-11", "10.9", "6/9"])
def test_what_is_no_thread_is_left_alone(text: str) -> None:
    """Common practice, no source."""
    assert find_threads(text) == []


def test_coarse_pitch_that_was_not_written_is_marked_as_from_memory() -> None:
    """ISO 261, from memory: coarse M10 is 1.5 mm."""
    assert "no pitch written, so coarse, 1.5 mm (ISO 261, from memory)" in find_threads("M10")[0].words
    assert "implied" not in find_threads("M10 x 1.5")[0].words
    assert "measure it again" in find_threads("M10 x 2")[0].words


def test_inch_size_without_threads_per_inch_is_asked() -> None:
    """ASME B1.1: 3/8 has 16 threads per inch as UNC and 24 as UNF."""
    assert "16 is UNC and 24 is UNF: count them" in find_threads("3/8")[0].words


@pytest.mark.parametrize("text", ["1/2 BSP", "3/8-16 BSW", "1/4 NPT", "3/4-10 Whitworth", "G 3/8"])
def test_other_inch_threads_are_named_and_never_read_as_unc(text: str) -> None:
    """Names of the series from memory."""
    (thread,) = find_threads(text)

    assert f"{thread.series} is not in our table" in thread.words
    assert (thread.is_in_table, spanners_for(thread)) == (False, ())
    assert find_threads(thread.shown) == [thread]


def test_a_bare_count_that_fits_unc_may_be_whitworth() -> None:
    """From memory: 3/8 BSW has 16 like UNC, 1/2 BSW has 12 where UNC has 13."""
    assert "BSW" in find_threads("3/8-16")[0].words
    assert "BSW" not in find_threads("1/2-13")[0].words
    assert "pipe thread or BSW" in find_threads("1/2")[0].words


def test_fine_without_a_pitch_asks_for_it() -> None:
    """M8 x 1 is usual on engines: from memory."""
    assert find_threads("M8 fine")[0].words == (
        "M8 fine: which pitch? It is not written, measure it. Usual: 1 mm (from memory)."
    )
    assert find_threads("M9 fine")[0].words.endswith("measure it.")


def test_head_of_m10_takes_sixteen_or_the_older_seventeen() -> None:
    """ISO 272:1982 has 16 mm, the older DIN 17 mm; flange heads from memory."""
    spanners = spanners_for(Thread("metric", "M10"))

    assert [(spanner.size, spanner.source) for spanner in spanners[:2]] == [
        ("16 mm", "ISO 272:1982"),
        ("17 mm", "older DIN"),
    ]
    assert all("from memory" in spanner.source for spanner in spanners[2:])


def test_three_eighths_unf_takes_nine_sixteenths() -> None:
    """ASME B1.1 for the thread, ASME B18.2.1 for the head."""
    thread = find_threads("3/8-24")[0]

    assert (thread.series, spanners_for(thread)[0].size) == ("UNF", "9/16 in")


def test_a_spanner_proves_no_thread() -> None:
    assert SPANNER_WARNING in describe_fasteners("M10").lines


@pytest.mark.parametrize(("lines", "grade"), [(0, "2 or ungraded"), (3, "5"), (6, "8")])
def test_lines_on_inch_heads_give_the_grade(lines: int, grade: str) -> None:
    """SAE J429: the grade is the number of lines and two."""
    assert explain_lines(lines).grade == grade


def test_unusual_count_of_lines_is_doubted() -> None:
    """SAE J429 has no bolt with four lines in common use: from memory."""
    assert "by the rule alone" in explain_lines(4).words


@pytest.mark.parametrize(("mark", "mpa"), [("8.8", (800, 640)), ("10.9", (1000, 900)), ("12.9", (1200, 1080))])
def test_numbers_on_metric_heads_give_the_strength(mark: str, mpa: tuple[int, int]) -> None:
    """ISO 898-1: the first number times 100 is the nominal tensile strength in MPa, both times 10 the nominal yield."""
    explained = explain_class(mark)

    assert (explained.tensile_mpa, explained.yield_mpa) == mpa


@pytest.mark.parametrize(
    ("text", "grades"),
    [
        ("10.9", ["10.9"]),
        ("M10 x 35,8.8", ["8.8"]),
        ("6 lines", ["8"]),
        ("three radial lines", ["5"]),
        ("plain head", ["2 or ungraded"]),
        ("5.8 mm", []),
        ("M10 x 8.8", []),
        ("fuel lines", []),
        ("18.8", []),
    ],
)
def test_head_marks_are_found_in_a_text(text: str, grades: list[str]) -> None:
    """Marks of SAE J429 and ISO 898-1 in words as people write them: from memory."""
    assert [mark.grade for mark in find_head_marks(text)] == grades


def test_bags_of_the_scenario_are_described() -> None:
    """Every bag with a thread written on it is understood, and its spanner is among the usual ones or an odd one."""
    bags = [row for row in read_rows("bags") if row["thread"]]

    for row in bags:
        words = describe_fasteners(f"{row['thread']}, {row['head_mark']}")
        assert [thread.size for thread in words.threads] == [row["thread"].split(" x ")[0]]
        assert [mark.grade for mark in words.marks] == [row["head_mark"]] * bool(row["head_mark"])
        assert words.lines[-1] == TORQUE


def test_nothing_understood_says_nothing() -> None:
    assert describe_fasteners("hose clamps, two sizes").lines == ()


@given(st.sampled_from([*COARSE_MM]), st.sampled_from([None, 1.0, 1.25]), st.sampled_from([None, 20, 35]))
def test_metric_thread_shown_reads_back(size: str, pitch_mm: float | None, length_mm: int | None) -> None:
    text = " x ".join([size, *(f"{number:g}" for number in (pitch_mm, length_mm) if number)])

    (thread,) = find_threads(text)

    assert find_threads(thread.shown) == [thread]


@given(st.text() | st.text("M10x 3/8-24.,lines"))
def test_any_text_is_read_without_an_error(text: str) -> None:
    assert describe_fasteners(text).typed == text


def test_tables_have_the_same_sizes() -> None:
    assert ISO_272.keys() | ISO_272_REMEMBERED.keys() == COARSE_MM.keys()
    assert {*ASME_B18} == {thread.size for size in ASME_B18 for thread in find_threads(size)}
    assert all(explain_class(mark).tensile_mpa for mark in PROPERTY_CLASSES)
