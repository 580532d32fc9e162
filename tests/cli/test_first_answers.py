"""The first answer to words as people type them is the thing that they mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.find import Answer, search
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
