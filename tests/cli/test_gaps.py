"""The gap report on the demo files, brought in by the commands a person types (check value 41)."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import Ambiguous, Misused, NotFound
from tests.core.log.test_gaps_sallow import EXPECTED
from tests.sallow_archive import Bench, bench_with_sallow


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return bench_with_sallow(tmp_path_factory.mktemp("sallow") / "archive")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return bench_with_sallow(tmp_path / "archive")


def named(bench: Bench) -> dict[str, list[tuple[str | None, str | None, str | None]]]:
    found: dict[str, list[tuple[str | None, str | None, str | None]]] = {}
    for gap in bench.json("gaps"):
        found.setdefault(gap["gap"], []).append((gap["tag"], gap["end"], gap["bag"]))
    return found


def test_report_is_the_expected_table_and_nothing_else(whole: Bench):
    assert named(whole) == {str(kind): things for kind, things in EXPECTED.items()}


def test_what_only_the_machine_can_tell_comes_first(whole: Bench):
    gaps = whole.json("gaps")
    ranks = [(not gap["mendable"], not gap["at_machine"]) for gap in gaps]

    assert ranks == sorted(ranks)
    assert gaps[0]["at_machine"]
    output = whole.run("gaps").output
    assert output.index("Look at the machine") < output.index("at the table") < output.index("Too late")


@pytest.mark.parametrize(
    ("about", "words", "kind"),
    [
        ("34", "never used", "number missing"),
        ("31b", "new tape", "tape lost"),
        ("23b", "no second end", "end without place"),
        ("8b", "hidden behind the tank", "one end only"),
        ("B9", "one clip bought", "bag count short"),
    ],
)
def test_answered_gap_is_gone_until_undo(bench: Bench, about: str, words: str, kind: str):
    before = bench.json("gaps")

    closed = bench.json("gaps", "answer", about, words)

    assert kind in [gap["gap"] for gap in closed]
    assert [gap for gap in before if gap not in closed] == bench.json("gaps")
    bench.run("undo")
    assert bench.json("gaps") == before


def test_answers_are_kept_in_words(bench: Bench):
    bench.run("gaps", "answer", "34", "lost", "in", "the", "bilge")
    bench.run("gaps", "answer", "8b", "hidden")

    assert bench.json("gaps", "--answered") == [
        {"gap": "number missing", "about": "34", "answer": "lost in the bilge"},
        {"gap": "one end only", "about": "8b", "answer": "hidden"},
    ]


def test_several_gaps_of_one_thing_are_told_apart(bench: Bench):
    with pytest.raises(Ambiguous, match="--gap"):
        bench.run("gaps", "answer", "44", "flat belt")

    closed = bench.json("gaps", "answer", "44", "flat belt", "--gap", "nothing noted")

    assert [(gap["gap"], gap["tag"]) for gap in closed] == [("nothing noted", "44")]


def test_answer_to_nothing_is_told(bench: Bench):
    with pytest.raises(NotFound, match="Nothing is lacking of 5"):
        bench.run("gaps", "answer", "5", "hidden")
    with pytest.raises(Misused):
        bench.run("gaps", "answer", "34", " ")


def test_further_number_closes_the_repeated_one(bench: Bench):
    bench.run("tag", "12.2", "--also", "12x")

    assert "number used twice" not in named(bench)
    assert bench.json("tag", "12x")["name"].startswith("gear oil cooler hose")


def test_rule_taken_away_closes_its_loop(bench: Bench):
    bench.run("tag", "26", "--no-rule", "27")

    assert "fit-after loop" not in named(bench)


def test_loose_find_in_a_picture_is_a_gap_until_it_is_tied(bench: Bench):
    """The plug without tape (P2_0036) and the tape without its end (K1_0017), as a person writes them down."""
    bench.run("snag", "grey 2 way plug hanging by the starter, no tape", "--picture", "P2_0036.jpg")
    bench.run("snag", "loose tape found in the bilge, reads 31", "--picture", "K1_0017.jpg")

    finds = [gap["why"] for gap in bench.json("gaps") if gap["gap"] == "belongs to no tag"]

    assert sorted(why.split()[0] for why in finds) == ["K1_0017.jpg", "P2_0036.jpg"]
    bench.run("snag", "--edit", "N11", "--tag", "31")
    assert [gap["why"].split()[0] for gap in bench.json("gaps") if gap["gap"] == "belongs to no tag"] == ["P2_0036.jpg"]


def test_what_is_not_tight_is_told_where_the_way_back_is(whole: Bench):
    """The row "not tight on 2026-04-26" of the expected table: no gap of the record, but open work."""
    told = {one["tag"]: one["state"] for one in whole.json("fit")["not_tight"]}

    assert told == {"18": "by hand", "26": "by hand", "1": "not fitted", "29": "not fitted", "41": "not fitted"}
