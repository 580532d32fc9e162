"""Sorting pictures into spots."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from asfound.core.match.likeness import LikenessSummary
from asfound.core.match.spots import (
    PictureEvidence,
    group_spots,
    spot_probability,
    with_joined,
    with_placed,
    without_pairs,
)

SAME = LikenessSummary(60, 1.0, 0.05, 1.0)
ASIDE = LikenessSummary(60, 1.0, 0.6, 1.0)
WEAK = LikenessSummary(11, 0.2, 0.2, 1.0)


def pictures(count: int) -> list[PictureEvidence]:
    return [PictureEvidence(k, taken_s=1000.0 * k) for k in range(count)]


def test_pictures_that_aim_at_one_place_form_a_spot() -> None:
    likeness = {(0, 1): SAME, (1, 2): SAME, (0, 2): SAME}

    grouping = group_spots(pictures(4), likeness)

    assert grouping.spot_of == {0: -1, 1: -1, 2: -1}


def test_neighbours_that_overlap_but_aim_elsewhere_stay_apart() -> None:
    likeness = {(0, 1): SAME, (2, 3): SAME, (1, 2): ASIDE}

    spot_of = group_spots(pictures(4), likeness).spot_of

    assert spot_of[0] == spot_of[1] != spot_of[2] == spot_of[3]


def test_a_weak_chain_does_not_join_two_spots() -> None:
    likeness = {(0, 1): SAME, (2, 3): SAME, (1, 2): WEAK}

    spot_of = group_spots(pictures(4), likeness).spot_of

    assert spot_of[1] != spot_of[2]


def test_the_surest_pairs_join_first() -> None:
    """A view that is much like one spot is not caught by another that it is a little like."""
    slightly = LikenessSummary(24, 1.0, 0.1, 1.3)
    likeness = {
        (0, 1): SAME,
        (2, 3): SAME,
        (3, 4): LikenessSummary(400, 1.0, 0.03, 1.0),
        (2, 4): SAME,
        (1, 4): slightly,
    }

    spot_of = group_spots(pictures(5), likeness).spot_of

    assert spot_of[4] == spot_of[2] == spot_of[3] != spot_of[0]


def test_probability_of_one_spot_falls_with_gap_and_scale() -> None:
    sure = spot_probability(LikenessSummary(60, 1.0, 0.02, 1.0))
    aside = spot_probability(LikenessSummary(60, 1.0, 0.25, 1.0))
    afar = spot_probability(LikenessSummary(60, 1.0, 0.02, 2.5))

    assert sure > 0.95
    assert aside < 0.5
    assert afar < sure
    assert spot_probability(LikenessSummary(7, 1.0, 0.0, 1.0)) == 0


def test_a_persons_word_is_kept_against_the_pictures() -> None:
    likeness = {(0, 1): SAME, (1, 2): SAME, (0, 2): SAME}

    spot_of = group_spots(pictures(4), likeness, fixed={0: 7, 1: 8, 2: None, 3: 7}).spot_of

    assert spot_of == {0: 7, 1: 8, 3: 7}


def test_a_picture_put_into_a_spot_comes_to_it_and_brings_nobody_along() -> None:
    alike = {(0, 1): SAME, (1, 2): SAME, (0, 2): SAME, (3, 4): SAME, (0, 3): ASIDE}
    previous = {0: 1, 1: 1, 2: 1, 3: 6, 4: 6}

    spot_of = group_spots(pictures(5), alike, fixed={3: 1}, previous=previous | {3: 1}).spot_of

    assert spot_of == {0: 1, 1: 1, 2: 1, 3: 1}


def test_a_picture_put_beside_a_single_one_comes_to_it() -> None:
    spot_of = group_spots(pictures(3), {(1, 2): SAME}, fixed={1: 5}, previous={0: 5, 1: 5, 2: 6}).spot_of

    assert spot_of == {0: 5, 1: 5}


def test_a_wrong_picture_taken_out_of_a_spot_takes_nobody_with_it() -> None:
    alike = {(i, j): SAME for i in range(4) for j in range(i + 1, 4)} | {(4, 5): SAME}
    previous = {0: 1, 1: 1, 2: 1, 3: 1, 4: 2, 5: 2}

    spot_of = group_spots(pictures(6), alike, fixed={3: 2}, previous=previous | {3: 2}).spot_of

    assert spot_of == {0: 1, 1: 1, 2: 1, 3: 2, 4: 2, 5: 2}


def test_an_accepted_spot_goes_on_taking_in_what_looks_like_it() -> None:
    alike = {(0, 1): SAME, (1, 2): SAME, (0, 2): SAME}

    assert group_spots(pictures(3), alike, fixed={0: 7, 1: 7}, previous={0: 7, 1: 7}).spot_of[2] == 7


def test_two_wrong_pictures_taken_out_of_a_spot_take_nobody_with_them() -> None:
    alike = {(i, j): SAME for i in range(5) for j in range(i + 1, 5)} | {(5, 6): SAME, (3, 5): ASIDE}
    previous = {0: 1, 1: 1, 2: 1, 5: 2, 6: 2}

    spot_of = group_spots(pictures(7), alike, fixed={3: 2, 4: 2}, previous=previous | {3: 2, 4: 2}).spot_of

    assert spot_of == {0: 1, 1: 1, 2: 1, 3: 2, 4: 2, 5: 2, 6: 2}


def test_two_pictures_put_among_their_like_do_not_bring_along_those_they_left() -> None:
    """They agree with each other and with the spot they came to on more than with the one picture left behind."""
    alike = {(i, j): SAME for i in (0, 1, 5, 6) for j in (0, 1, 5, 6) if i < j} | {(0, 2): SAME, (1, 2): SAME}
    left = {(2, 3): SAME, (2, 4): SAME, (3, 4): SAME, (1, 3): ASIDE}
    previous = {0: 1, 1: 1, 2: 1, 3: 1, 4: 1, 5: 2, 6: 2}

    spot_of = group_spots(pictures(7), alike | left, fixed={0: 2, 1: 2}, previous=previous).spot_of

    assert spot_of == {0: 2, 1: 2, 2: 1, 3: 1, 4: 1, 5: 2, 6: 2}


def test_spots_that_a_person_named_stay_two_when_pictures_between_them_are_added() -> None:
    alike = {(0, 1): SAME, (2, 3): SAME, (4, 5): SAME} | {(i, j): SAME for i in range(4) for j in (4, 5)}
    previous = {0: 1, 1: 1, 2: 2, 3: 2}

    unnamed = group_spots(pictures(6), alike, previous=previous).spot_of
    named = group_spots(pictures(6), alike, previous=previous, named={1, 2}).spot_of

    assert set(unnamed.values()) == {1}
    assert {i: named[i] for i in range(4)} == previous


def test_a_named_spot_does_not_become_part_of_one_that_was_spoken_of() -> None:
    alike = {(i, j): SAME for i in range(5) for j in range(i + 1, 5)}
    previous = {0: 1, 1: 1, 2: 2, 3: 2}

    spot_of = group_spots(pictures(5), alike, fixed={0: 1}, previous=previous, named={2}).spot_of

    assert {i: spot_of[i] for i in (0, 2, 3)} == {0: 1, 2: 2, 3: 2}


def test_ids_stay_when_pictures_are_added() -> None:
    likeness = {(0, 1): SAME, (2, 3): SAME}
    previous = {0: 40, 1: 40, 2: 41, 3: 41}

    spot_of = group_spots(pictures(6), likeness | {(4, 5): SAME, (1, 4): ASIDE}, previous=previous).spot_of

    assert {k: spot_of[k] for k in range(4)} == previous
    assert spot_of[4] == spot_of[5] < 0


def test_a_spot_that_falls_apart_keeps_its_id_on_the_larger_part() -> None:
    likeness = {(0, 1): SAME, (0, 2): SAME, (1, 2): SAME, (3, 4): SAME}

    spot_of = group_spots(pictures(5), likeness, previous=dict.fromkeys(range(5), 9)).spot_of

    assert spot_of[0] == spot_of[1] == spot_of[2] == 9
    assert spot_of[3] == spot_of[4] != 9


def test_a_view_from_afar_is_an_overview_of_what_it_shows() -> None:
    near = LikenessSummary(50, 1.0, 0.2, 2.6)
    likeness = {(1, 2): SAME, (3, 4): SAME, (0, 1): near, (0, 3): LikenessSummary(30, 1.0, 0.35, 2.2)}

    grouping = group_spots(pictures(5), likeness)

    assert 0 not in grouping.spot_of
    assert grouping.overviews[0] == (grouping.spot_of[1], grouping.spot_of[3])


def test_nothing_to_sort_gives_nothing() -> None:
    assert group_spots([], {}).spot_of == {}


@given(
    st.dictionaries(st.tuples(st.integers(0, 7), st.integers(0, 7)), st.sampled_from([SAME, ASIDE, WEAK])),
    st.dictionaries(st.integers(0, 7), st.one_of(st.none(), st.integers(100, 102))),
)
def test_words_hold_whatever_the_evidence(
    likeness: dict[tuple[int, int], LikenessSummary], fixed: dict[int, int | None]
) -> None:
    likeness = {pair: summary for pair, summary in likeness.items() if pair[0] < pair[1]}

    spot_of = group_spots(pictures(8), likeness, fixed=fixed).spot_of

    for picture, word in fixed.items():
        assert spot_of.get(picture) == word


def test_two_pictures_that_have_only_each_other_are_looked_at_again():
    spot_of = {1: 10, 2: 10, 3: 10, 4: 11, 5: 11, 6: 12, 7: 12}
    assert without_pairs(spot_of) == {1: 10, 2: 10, 3: 10}
    assert without_pairs(spot_of, {12}) == {1: 10, 2: 10, 3: 10, 6: 12, 7: 12}


def test_what_is_left_of_a_pair_is_in_no_spot():
    spot_of = {1: 10, 2: 10, 3: 10, 4: 11, 5: 11, 6: 12, 7: 12}
    assert with_placed(spot_of, {4: 10, 8: 10}) == {1: 10, 2: 10, 3: 10, 4: 10, 6: 12, 7: 12, 8: 10}
    assert with_placed(spot_of, {4: 10, 5: 12}) == {1: 10, 2: 10, 3: 10, 4: 10, 5: 12, 6: 12, 7: 12}
    assert with_placed(spot_of, {}) == spot_of


def test_joined_spots_keep_the_id_that_was_spoken_of_then_the_older_then_the_larger() -> None:
    spot_of = {1: 10, 2: 10, 3: 12, 4: -1, 5: -1, 6: -1}

    assert with_joined(spot_of, 10, 12) == {1: 10, 2: 10, 3: 10, 4: -1, 5: -1, 6: -1}
    assert with_joined(spot_of, 10, 12, {12}) == {1: 12, 2: 12, 3: 12, 4: -1, 5: -1, 6: -1}
    assert with_joined(spot_of, 12, -1) == {1: 10, 2: 10, 3: 12, 4: 12, 5: 12, 6: 12}
