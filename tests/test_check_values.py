"""Every check value of the trade, and the test that holds the program to it.

Rows are those of the table of check values; each names its source beside the check itself.

| rows | what | test |
| --- | --- | --- |
| 1-4 | colours of two, sorted, shown main first, the mix outside the standard | core/codes/test_colours |
| 5-6 | cores joined with +, GNYE one mark | core/codes/test_colours |
| 7 | GR is asked back | core/codes/test_colours |
| 8-9 | terminals explained, unknown ones kept | core/codes/test_terminals |
| 10-18 | Exif, clip headers and keys, RFC 3339 | core/capture/test_times |
| 19-20 | the hour that came twice and the hour that was skipped | core/capture/test_times and here |
| 21-22 | eight orientations | core/capture/test_orientation |
| 23-25 | areas on photos in both written forms | core/pins/test_boxes |
| 26 | RootSIFT | core/match/test_descriptors |
| 27-28 | Hamming distance, even distances | core/capture/test_fingerprint |
| 29-30 | markers | core/read/test_markers |
| 31-33 | paper, letters, flag labels | core/sheets/test_measures |
| 34 | pull in a sling | core/codes/test_sling |
| 35-38 | heads, threads, grades and classes | core/codes/test_fasteners |
| 39 | numbers upside down | core/pins/test_numbering |
| 40 | signal word of damage to things | core/codes/test_cautions |
| 41 | the demo files, through the commands | cli/test_gaps and core/log/test_gaps_sallow |
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from asfound.core.codes.colour_readings import parse_colour
from asfound.core.codes.terminals import explain_terminal
from asfound.core.pins.numbering import upside_down

TESTS = Path(__file__).parent

SORTED = "core/codes/test_colours.py::test_code_is_sorted_while_what_is_shown_keeps_the_main_colour_first"
HEADER = "core/capture/test_times.py::test_clip_header_counts_from_1904"
CLOCKS = "core/capture/test_times.py::test_hours_of_the_clock_change_are_flagged_not_guessed"

CHECKED_BY = {
    1: SORTED,
    2: SORTED,
    3: SORTED,
    4: "core/codes/test_colours.py::test_mix_outside_the_standard_is_accepted_and_noted",
    5: "core/codes/test_colours.py::test_cores_are_joined_with_plus",
    6: "core/codes/test_colours.py::test_green_yellow_is_one_mark",
    7: "core/codes/test_colours.py::test_what_can_mean_two_things_is_asked",
    8: "core/codes/test_terminals.py::test_known_marks_are_explained_and_kept_as_written",
    9: "core/codes/test_terminals.py::test_unknown_mark_is_kept_as_text",
    10: "core/capture/test_times.py::test_exif_time_with_offset_and_fraction",
    11: "core/capture/test_times.py::test_blank_and_zero_times_are_unknown",
    12: HEADER,
    13: "core/capture/test_times.py::test_clip_header_zero_is_unknown_not_1904",
    14: "core/capture/test_times.py::test_clip_header_counted_from_1970_is_read_so_and_doubted",
    15: HEADER,
    16: HEADER,
    17: "core/capture/test_times.py::test_clip_key_without_colon_is_the_same_moment",
    18: "core/capture/test_times.py::test_leap_second_and_unknown_offset",
    19: CLOCKS,
    20: CLOCKS,
    21: "core/capture/test_orientation.py::test_one_point_in_all_eight_orientations",
    22: "core/capture/test_orientation.py::test_corner_pixel_of_a_sideways_picture",
    23: "core/pins/test_boxes.py::test_pixels_to_both_written_forms",
    24: "core/pins/test_boxes.py::test_mwg_area_becomes_iptc_region",
    25: "core/pins/test_boxes.py::test_area_turns_with_its_picture",
    26: "core/match/test_descriptors.py::test_root_sift_of_a_worked_part",
    27: "core/capture/test_fingerprint.py::test_hamming_by_definition",
    28: "core/capture/test_fingerprint.py::test_distance_of_real_pictures_is_even",
    29: "core/read/test_markers.py::test_family_holds_587_codes_that_differ_in_11_bits_at_least_in_any_turn",
    30: "core/read/test_markers.py::test_every_tag_end_has_its_own_marker",
    31: "core/sheets/test_measures.py::test_papers_in_points",
    32: "core/sheets/test_measures.py::test_letters_that_are_read_at_arms_length",
    33: "core/sheets/test_measures.py::test_flag_label_round_a_cable",
    34: "core/codes/test_sling.py::test_flatter_legs_pull_harder",
    35: "core/codes/test_fasteners.py::test_head_of_m10_takes_sixteen_or_the_older_seventeen",
    36: "core/codes/test_fasteners.py::test_three_eighths_unf_takes_nine_sixteenths",
    37: "core/codes/test_fasteners.py::test_lines_on_inch_heads_give_the_grade",
    38: "core/codes/test_fasteners.py::test_numbers_on_metric_heads_give_the_strength",
    39: "core/pins/test_numbering.py::test_numbers_read_upside_down",
    40: "core/codes/test_cautions.py::test_damage_to_things_only_is_a_notice",
    41: "cli/test_gaps.py::test_report_is_the_expected_table_and_nothing_else",
}


def test_every_row_has_its_test():
    assert sorted(CHECKED_BY) == list(range(1, 42))


@pytest.mark.parametrize(("row", "named"), CHECKED_BY.items())
def test_named_test_is_there_and_asserts(row: int, named: str):
    """A test that was renamed or emptied would leave its row unchecked without a word."""
    file, function = named.split("::")
    body = (TESTS / file).read_text(encoding="utf-8").partition(f"def {function}(")[2]
    body = re.split(r"\n(?:def |@)", body)[0]

    assert re.search(r"\bassert\b|pytest\.raises", body), f"row {row}: {named}"


def test_hour_that_came_twice_is_two_moments():
    """Row 19, against the IANA zone data that Python reads."""
    twice = [datetime(2025, 10, 26, 2, 30, fold=fold, tzinfo=ZoneInfo("Europe/Amsterdam")) for fold in (0, 1)]

    assert [moment.astimezone(UTC).strftime("%H:%M") for moment in twice] == ["00:30", "01:30"]


def test_hour_that_was_skipped_does_not_exist():
    """Row 20: turned to UTC and back it is another hour."""
    zone = ZoneInfo("Europe/Amsterdam")
    skipped = datetime(2026, 3, 29, 2, 30, tzinfo=zone)

    assert skipped.astimezone(UTC).astimezone(zone).hour != 2


def test_values_that_a_person_types_are_answered_as_the_table_says():
    """Rows 7, 9 and 39 once more, as they are typed."""
    assert [choice.main for choice in parse_colour("GR").choices] == ["GY", "GN"]
    assert not explain_terminal("G").is_known
    assert "Not in DIN 72552" in explain_terminal("G").notes[0]
    assert [upside_down(number) for number in ("91", "88", "8", "17")] == ["16", "88", "8", None]
