"""The gap report on the demo files, brought in by the commands a person types (check value 41)."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.log import GapKind
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
        found.setdefault(gap["gap"], []).append((gap["tag"] or gap["file"], gap["end"], gap["bag"]))
    return found


OF_PHOTOS = {
    GapKind.NEAR_DUPLICATE: ["P1_0032.jpg"],
    GapKind.LOOSE_FIND: ["K1_0017.jpg"],
    GapKind.NO_PINS: ["P2_0036.jpg"],
    GapKind.CLOCK_UNCHECKED: ["K1_0001.jpg", "K1_0006.jpg"],
}
"""Rows of the table that the photos tell of by themselves; the core's own expected table has no photos in it."""


TO_REPLACE = ["12", "22", "23", "40", "43", "45"]
"""Things whose condition is "replace", which the core's own table knows nothing of; nothing is on order."""


def test_report_is_the_expected_table_and_nothing_else(whole: Bench):
    of_photos = {kind: [(file, None, None) for file in files] for kind, files in OF_PHOTOS.items()}
    not_bought = {GapKind.NOT_BOUGHT: [(number, None, None) for number in TO_REPLACE]}
    of_walk = {GapKind.WALK_ROUND: [(None, None, None)]}  # the files beside the pictures name none for it
    expected = EXPECTED | of_photos | not_bought | of_walk
    assert named(whole) == {str(kind): things for kind, things in expected.items()}


def test_what_the_log_tells_of_is_a_gap_until_it_is_put_right(bench: Bench):
    for line in (
        "drained coolant", "sent 29 --to shop --promised 2025-12-20", "event 4 cut",
    ):  # fmt: skip
        bench.run(*line.split())
    bench.run("sent", "cylinder head", "--to", "engine shop")
    open_kinds = {kind: things for kind, things in named(bench).items() if kind in OPEN}
    assert open_kinds == {
        "drained, not fully noted": [(None, None, None)],
        "drained and not filled": [(None, None, None)],
        "sent out and not back": [("29", None, None), (None, None, None)],
        "not repaired": [("4", None, None)],
    }
    things = [gap["thing"] for gap in bench.json("gaps") if gap["gap"] == "sent out and not back"]
    assert things == [None, "cylinder head"]

    bench.run("back", "cylinder head")
    bench.run("back", "29")
    bench.run("event", "4", "new part")
    bench.run("buy", "22", "--ordered")
    bench.run("filled", "coolant", "9 l")
    left = named(bench)
    assert [kind for kind in left if kind in OPEN] == ["drained, not fully noted"]
    assert [number for number, _end, _bag in left["not bought"]] == ["12", "23", "40", "43", "45"]
    closed = bench.json("gaps", "answer", "coolant", "poured away")
    assert [gap["thing"] for gap in closed] == ["coolant"]
    assert ("coolant", "poured away") in [(one["about"], one["answer"]) for one in bench.json("gaps", "--answered")]


OPEN = ("drained, not fully noted", "drained and not filled", "sent out and not back", "not repaired")


def test_photos_taken_twice_and_of_no_tag_say_what_to_do(whole: Bench):
    why = {gap["file"]: gap["why"] for gap in whole.json("gaps") if gap["file"]}

    assert why["P1_0032.jpg"].startswith("P1_0032.jpg and P1_0033.jpg show nearly the same: put the others behind")
    assert "may show the lost tape of end B of 31" in why["K1_0017.jpg"]
    assert why["P2_0036.jpg"].startswith("P2_0036.jpg has no pins, unlike the photos around it: pin what it shows")


def test_clock_is_compared_once_and_again_since_the_clocks_changed(bench: Bench):
    """Of three cameras only the pocket camera writes no offset from UTC anywhere: 4 minutes fast, then 64."""
    first, second = [gap["why"] for gap in bench.json("gaps") if gap["gap"] == "clock not compared"]
    assert "The clock of K1" in first
    assert "The clocks changed on 2025-10-26" in second
    assert "--since 2025-10-26T03:00" in second

    told = bench.run("clock", "K1", "--picture", "K1_0005.jpg", "--true", "2025-10-11T09:44:50").output
    assert "K1: -4m" in told
    assert named(bench)["clock not compared"] == [("K1_0006.jpg", None, None)]
    bench.run("clock", "K1", "--picture", "K1_0016.jpg", "--true", "2025-11-01T08:27:59", "--since", "2025-10-26T03:00")

    assert "clock not compared" not in named(bench)
    assert [one["seconds"] for one in bench.json("clock")[0]["corrections"]] == [-240.0, -3840.0]
    assert "Before, 4 pictures stood ahead of one taken earlier" in " ".join(bench.run("clock").output.split())


def test_burst_near_nothing_is_no_gap_when_it_is_answered(bench: Bench):
    for file in ("P1_0032.jpg", "k1_0006.jpg", "P2_0036.jpg"):
        closed = bench.json("gaps", "answer", file, "it is so")
        assert [gap["file"].casefold() for gap in closed] == [file.casefold()]

    assert {one["about"] for one in bench.json("gaps", "--answered")} == {"P1_0032.jpg", "K1_0006.jpg", "P2_0036.jpg"}
    assert "near-duplicate" not in named(bench)
    for _step in range(3):
        bench.run("undo")
    assert named(bench)["near-duplicate"] == [("P1_0032.jpg", None, None)]


def test_many_gaps_of_one_kind_are_one_line_with_their_numbers(bench: Bench):
    folded = bench.run("gaps").output

    assert "look-alike (7): 9 + 10, 11 + 12, 16 + 17, 18 + 19, 22 + 23, 37 + 38, 39 + 40. Compare" in " ".join(
        folded.split()
    )
    assert "look alike (" not in folded
    one_by_one = bench.run("gaps", "--all").output
    assert one_by_one.count("look alike (") == 7
    assert len(bench.json("gaps")) == len(bench.json("gaps", "--all"))


def test_what_only_the_machine_can_tell_comes_first(whole: Bench):
    gaps = whole.json("gaps")
    ranks = [(not gap["mendable"], not gap["at_machine"]) for gap in gaps]

    assert ranks == sorted(ranks)
    assert gaps[0]["at_machine"]
    output = whole.run("gaps").output
    assert output.index("Check on the machine") < output.index("at the desk") < output.index("Too late")


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
    with pytest.raises(NotFound, match="5 has no open gap"):
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
    bench.run("snag", "add", "grey 2 way plug hanging by the starter, no tape", "--picture", "P2_0036.jpg")
    bench.run("snag", "add", "loose tape found in the bilge, reads 31", "--picture", "K1_0017.jpg")

    finds = [gap["why"] for gap in bench.json("gaps") if gap["gap"] == "belongs to no tag"]

    assert sorted(why.split()[0] for why in finds) == ["K1_0017.jpg", "P2_0036.jpg"]
    assert all("(snag 1" in why for why in finds)
    bench.run("snag", "change", "N11", "--tag", "31")
    assert [gap["why"].split()[0] for gap in bench.json("gaps") if gap["gap"] == "belongs to no tag"] == ["P2_0036.jpg"]


def test_what_is_not_tight_is_told_where_the_way_back_is(whole: Bench):
    """The row "not tight on 2026-04-26" of the expected table: no gap of the record, but open work."""
    told = {one["tag"]: one["state"] for one in whole.json("fit")["not_tight"]}

    assert told == {"18": "by hand", "26": "by hand", "1": "not fitted", "29": "not fitted", "41": "not fitted"}
