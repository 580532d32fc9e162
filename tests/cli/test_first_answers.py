"""The first answer to words as people type them is the thing that they mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.find import Answer, search
from asfound.model.tags import PinProposal
from asfound.store import pins, spots
from asfound.store.pictures import list_pictures
from tests.sallow_archive import Bench, bench_with_sallow

SEARCHES = Path(__file__).parents[1] / "data" / "searches.txt"
LEAST_RIGHT = 0.93


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return bench_with_sallow(tmp_path_factory.mktemp("sallow") / "archive")


def first_of(answer: Answer) -> set[str]:
    """All names of the first answer: a tag's number, with its order too; "bag B8", "snag 1" for N1."""
    if answer.ends:
        tag = answer.ends[0].tag
        return {tag.number, f"{tag.number}.{tag.order}"}
    first = answer.others[0] if answer.others else None
    return {"-"} if first is None else {f"{first.kind} {first.label}", f"{first.kind} {first.label.lstrip('N')}"}


def test_first_answer_is_the_thing_meant(whole: Bench):
    rows = [line.split(" => ") for line in SEARCHES.read_text().splitlines() if not line.startswith("#")]
    with open_archive(whole.folder) as archive:
        wrong = [typed for typed, wanted in rows if first_of(search(archive, typed)).isdisjoint(wanted.split("|"))]

    assert 1 - len(wrong) / len(rows) >= LEAST_RIGHT, wrong


def labels(answer: Answer) -> list[str]:
    return list(dict.fromkeys(one.tag.number for one in answer.ends))


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("terminal 50", ["4"]),
        ("terminal 51", []),
        ("cylinder 1", ["13"]),
        ("mount 4", ["40", "37", "38", "39"]),
        ("4th mount", ["40", "37", "38", "39"]),
        ("bag 7", ["20"]),
    ],
)
def test_number_that_counts_something_is_no_tag(whole: Bench, typed: str, wanted: list[str]):
    with open_archive(whole.folder) as archive:
        assert labels(search(archive, typed))[: len(wanted) or 1] == wanted


def test_place_in_a_row_is_told_as_a_guess(whole: Bench):
    with open_archive(whole.folder) as archive:
        answer = search(archive, "mount 3")
        assert answer.is_wider
        assert "number 3 of those called mount, by order of number" in answer.ends[0].reasons
        assert "3" not in labels(search(archive, "injector 3"))


@pytest.mark.parametrize("typed", ["P1_0012.jpg", "p1_0012"])
def test_picture_is_found_by_its_file_with_what_it_shows(whole: Bench, typed: str):
    assert whole.json("find", typed) == [
        {"tag": None, "end": None, "name": "shows 7B", "as_found": None, "picture": "P1_0012.jpg"}
    ]


def test_spot_is_found_by_its_name(tmp_path: Path):
    bench = bench_with_sallow(tmp_path / "archive")
    with open_archive(bench.folder) as archive, archive.store.transaction():
        spot_id = spots.new_spot(archive.store, archive.job.job_id)
        spots.name_spot(archive.store, spot_id, "Bulkhead, left of the ladder")

        assert [(one.kind, one.label) for one in search(archive, "port ladder").others] == [("spot", str(spot_id))]
        assert not any(one.kind == "spot" for one in search(archive, "ladder rung").others)


def test_guess_is_marked_with_how_sure_it_is(tmp_path: Path):
    bench = bench_with_sallow(tmp_path / "archive")
    gaps = bench.json("gaps")
    assert [(gap["gap"], gap["end"]) for gap in gaps if gap["tag"] == "17"] == [("never photographed", None)]
    with open_archive(bench.folder) as archive, archive.store.transaction():
        tag = search(archive, "17").ends[0].tag
        picture = list_pictures(archive.store, archive.job.job_id)[0]
        guess = PinProposal(tag.tag_id, "A", picture.picture_id, 0.4, 0.6, None, None, "read", 0.71234, "", None)
        pins.replace_proposals(archive.store, tag.tag_id, "A", "read", [guess])

    seen = bench.json("find", "17a")[0]["as_found"]
    assert (seen["confirmed"], seen["confidence"]) == (False, 0.7123)
    assert "a guess, 71% sure" in bench.run("find", "17a").stdout
    assert bench.json("find", "1a")[0]["as_found"]["confirmed"] is True
    now = bench.json("gaps")
    of_17 = [(gap["gap"], gap["end"]) for gap in now if gap["tag"] == "17"]
    assert of_17 == [("only a guess", "A"), ("one end only", "B")], "a guess is told as one, and closes nothing"
    assert [gap for gap in now if gap["tag"] != "17"] == [gap for gap in gaps if gap["tag"] != "17"]
