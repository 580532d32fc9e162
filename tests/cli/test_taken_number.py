"""A number that is taken is not written over without a question that shows both versions."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.tag_form import save_form
from asfound.errors import AskFirst
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("tag", "--line", "17 hose upper radiator A thermostat housing bag B4")
    return opened


def test_line_with_a_taken_number_is_refused_with_both_versions(bench: Bench):
    before = bench.json("tag", "17")

    with pytest.raises(AskFirst, match=r"--change.*--another") as asked:
        bench.run("tag", "--line", "17 wire starter A panel")

    for words in ('name: "upper radiator" -> "starter"', 'kind: "hose" -> "wire"', 'A place: "thermostat housing"'):
        assert words in asked.value.question
    assert bench.json("tag", "17") == before
    assert len(bench.run("undo", "--list").stdout.splitlines()) == 1


def test_field_that_says_something_else_is_refused_too(bench: Bench):
    with pytest.raises(AskFirst, match='"upper radiator" -> "lower radiator"'):
        bench.run("tag", "17", "--name", "lower radiator")

    assert bench.json("tag", "17")["name"] == "upper radiator"


def test_it_is_changed_when_it_is_meant(bench: Bench):
    bench.run("tag", "17", "--name", "lower radiator", "--change")

    assert bench.json("tag", "17")["name"] == "lower radiator"


def test_another_thing_with_the_number_leaves_the_first_as_it_is(bench: Bench):
    bench.run("tag", "--line", "17 wire starter", "--another")

    assert bench.json("tag", "17.1")["name"] == "upper radiator"
    assert bench.json("tag", "17.2")["name"] == "starter"


@pytest.mark.parametrize(
    "words",
    [("--note", "brittle"), ("--name", "upper radiator hose"), ("--place-b", "radiator top"), ("--bag", "B5"),
     ("--kind", "hose"), ("--place-a", "")],
)  # fmt: skip
def test_what_only_adds_is_no_question(bench: Bench, words: tuple[str, ...]):
    assert bench.run("tag", "17", *words).return_value == 0


def test_form_asks_for_a_new_thing_with_a_taken_number_and_not_for_the_thing_at_hand(bench: Bench):
    with open_archive(bench.folder) as archive:
        with pytest.raises(AskFirst, match='"upper radiator" -> "starter"'):
            save_form(archive, {"number": "17", "name": "starter"})
        saved = save_form(archive, {"number": "17", "name": "starter"}, is_sure=True)
        assert not saved.is_new
        again = save_form(archive, {"number": "17", "name": "starter motor cable"}, tag=saved.tag)
        assert again.tag.name == "starter motor cable"
