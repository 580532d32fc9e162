"""One box over everything that was written down."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.actions.archive import open_archive
from asfound.actions.find import search
from asfound.actions.tag import list_tags
from asfound.core.words import SAME_THING
from tests.sallow_archive import Bench, bench_with_job, bench_with_sallow


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    bench = bench_with_sallow(tmp_path_factory.mktemp("sallow") / "archive")
    bench.run("drained", "engine oil", "7.5 l", "--into", "C2", "--looks", "black")
    bench.run("handover", "seacock is shut", "--day", "2025-11-08")
    return bench


def answers(bench: Bench, typed: str) -> list[str]:
    with open_archive(bench.folder) as archive:
        found = search(archive, typed)
        things = [f"{one.tag.number}.{one.tag.order}" if one.tag.order > 1 else one.tag.number for one in found.ends]
        named, others = ([f"{text.kind} {text.label}" for text in some] for some in (found.named, found.others))
        return list(dict.fromkeys([*named, *things, *others]))


def test_values_purchases_and_sets_are_found_and_no_longer_once_they_are_taken_back(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "41", "--kind", "fastener group", "--name", "bearing caps")
    bench.run("value", "41", "tightening", "65 Nm", "--page", "6-12")
    bench.run("value", "cylinder head", "stages", "40 Nm, then 90 degrees")
    bench.run("buy", "41", "--part-number", "A-204", "--shop", "Harbour Parts")
    bench.run("buy", "gasket set", "--part-number", "G-77")
    bench.run("set", "41", "1-5", "--faced", "forward")

    for typed in ("65 Nm", "page 6-12", "A-204", "harbour parts", "caps forward"):
        assert answers(bench, typed)[:1] == ["41"], typed
    assert answers(bench, "head stages") == ["value cylinder head"]
    assert answers(bench, "G-77") == ["purchase gasket set"]
    assert "Value of cylinder head: stages, 40 Nm, then 90 degrees" in bench.run("find", "head", "stages").output
    bench.run("value", "41", "tightening", "--drop")
    assert answers(bench, "page 6-12") == []
    bench.run("undo")
    assert answers(bench, "page 6-12") == ["41"]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("17", ["17"]),
        ("tag 17 end b", ["17"]),
        ("12", ["12", "12.2"]),
        ("12.2", ["12.2"]),
        ("cabin heater", ["22", "23"]),
        ("lift pump", ["19"]),
        ("BK/WH", ["7"]),
        ("violet", ["15"]),
        ("VT", ["15"]),
        ("green-and-yellow", ["8"]),
        ("B+", ["5"]),
        ("D+", ["6"]),
        ("terminal 86", ["14"]),
        ("bag B7", ["bag B7", "20"]),
        ("b7", ["bag B7", "20"]),
        ("feeler 41", []),
        ("swollen", ["12.2", "snag N7"]),
        ("label washed off", ["bag B8"]),
        ("engine oil black", ["line "]),
        ("seacock shut", ["24", "day 2025-11-08"]),
        ("flooding strainer", ["24"]),
    ],
)
def test_everything_written_is_found_under_its_words(whole: Bench, typed: str, wanted: list[str]):
    found = answers(whole, typed)

    if wanted:
        assert [name for name in wanted if not any(one.startswith(name) for one in found)] == []
        assert found[0].startswith(wanted[0])


@pytest.mark.parametrize(("british", "other"), [(group[0], other) for group in SAME_THING for other in group[1:]])
def test_trade_pairs_are_found_both_ways(tmp_path: Path, british: str, other: str):
    """Words of the two trades for one thing; common practice, no source."""
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "1", "--name", f"the {british} here")
    bench.run("tag", "2", "--name", f"the {other} here")

    assert set(answers(bench, british)) == set(answers(bench, other)) == {"1", "2"}


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [("expention bottel", "21"), ("thermostadt", "10"), ("silensor aft", "27"), ("alternater", "5"), ("solenod", "4")],
)
def test_misspelt_word_finds_what_was_meant_and_says_so(whole: Bench, typed: str, wanted: str):
    assert wanted in answers(whole, typed)
    with open_archive(whole.folder) as archive:
        assert search(archive, typed).meant


@pytest.mark.parametrize(
    ("typed", "near"),
    [("009", "Near it: 9."), ("61", "Near it: 19, 41"), ("99b", "Near it: 39, 29"), ("48", "Near it: 46, 45")],
)
def test_number_that_is_not_there_is_answered_with_nothing_and_near_ones_as_a_hint(whole: Bench, typed: str, near: str):
    done = whole.run("find", typed, "--json")

    assert (done.stdout.strip(), done.return_value) == ("[]", 1)
    assert near in done.stderr


def test_nothing_left_is_said_and_some_words_answer(whole: Bench):
    done = whole.run("find", "--json", "starter", "belt", "wheelhouse", "olive")

    assert "Nothing matches all of these words" in done.stderr
    with open_archive(whole.folder) as archive:
        assert not search(archive, "starter signal").is_wider


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    words=st.lists(
        st.sampled_from(
            "hose raw water wire pump red BK panel heater bulkhead mount port M8 17 9 bag B6 spade tight olive".split()
        ),
        min_size=1,
        max_size=3,
        unique=True,
    ),
    more=st.sampled_from("hose wire port 9 aft nipple inlet copper".split()),
)
def test_one_word_more_never_widens(whole: Bench, words: list[str], more: str):
    with open_archive(whole.folder) as archive:
        before = search(archive, " ".join(words), most=1000)
        after = search(archive, " ".join([*words, more]), most=1000)

        if not before.is_wider and not after.is_wider:
            assert {one.tag.tag_id for one in after.ends} <= {one.tag.tag_id for one in before.ends}


@pytest.mark.parametrize("typed", ["Ä", "ä", "tag Ä", "Äb", "ä end b"])
def test_number_in_other_letters_beyond_ascii_comes_first(tmp_path: Path, typed: str):
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "1", "--name", "a clamp A")
    bench.run("tag", "ä", "--kind", "wire")
    bench.run("tag", "Straße 3", "--kind", "wire")

    assert answers(bench, typed) == ["ä"]
    assert answers(bench, "STRASSE 3") == ["Straße 3"]


def test_change_and_undo_are_found_at_once(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "1", "--name", "bilge pump")
    assert answers(bench, "bilge") == ["1"]
    bench.run("tag", "1", "--name", "wash pump", "--change")
    assert answers(bench, "bilge") == []
    bench.run("undo")
    assert answers(bench, "bilge") == ["1"]
    bench.run("tag", "1", "--remove")
    assert answers(bench, "bilge") == []


def test_document_of_a_bag_or_a_snag_comes_after_the_things(whole: Bench):
    rows = whole.json("find", "swollen")

    assert rows[0]["tag"] == "12"
    assert rows[-1] == {
        "tag": None, "end": None, "as_found": None, "snag": "N7",
        "name": "gear oil cooler hose, hose soft and swollen at clamp, replace",
    }  # fmt: skip


def test_a_bag_typed_by_its_label_goes_before_the_things_that_belong_to_it(whole: Bench):
    rows = whole.json("find", "B7")

    assert rows[0]["bag"] == "B7"
    assert [row["tag"] for row in rows] == [None, "20", "20"]
    assert whole.run("find", "B7", "--plain").stdout.startswith("Bag B7: ")


@pytest.mark.parametrize("typed", ['"', "'; DROP TABLE tag", "NEAR(", "a*b", "-", "OR", "\x00", "ß" * 500])
def test_odd_words_are_words(whole: Bench, typed: str):
    with open_archive(whole.folder) as archive:
        before = list_tags(archive)
        assert before
        assert len(search(archive, typed).ends) < 2 * len(before)  # they are searched for, and never take all there is
        assert list_tags(archive) == before
