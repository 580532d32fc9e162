"""What is away, what to buy, and sets, by command."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.book import read_content
from asfound.errors import Misused, NotFound
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("tag", "12", "--kind", "hose", "--name", "gear oil cooler hose", "--condition", "replace")
    opened.run("off", "12", "--at", "2025-10-18")
    return opened


def test_what_is_away_stands_in_resume_fit_and_the_holds_until_it_is_back(bench: Bench):
    bench.run("sent", "cylinder head", "--to", "engine shop", "--promised", "2025-12-20", "--at", "2025-11-08")
    words = "cylinder head, sent to engine shop on 2025-11-08, promised for 2025-12-20, which is past"

    assert bench.json("resume")["away"] == [words]
    assert f"Not back: {words}" in bench.run("fit").stdout
    for hold in ("lift-in", "first-start"):
        assert any(words in line["why"] for line in bench.json("hold", hold)["open"]), hold
    assert bench.json("sent")[0]["late"]
    assert bench.json("fit")["away"] == bench.json("sent")

    bench.run("back", "Cylinder head", "--with", "skimmed 0.2 mm, new guides", "--by", "engine shop")

    assert bench.run("sent").stdout == "Nothing is recorded as away.\n"
    assert bench.json("log")[-1]["note"] == "skimmed 0.2 mm, new guides"
    assert bench.json("resume")["away"] == []
    bench.run("undo")
    assert len(bench.json("sent")) == 1


def test_fit_and_resume_tell_the_cautions_of_the_phase_for_scripts_too(bench: Bench):
    told = bench.json("resume")["cautions"]
    assert any("Springs and tensioners" in caution for caution in told)
    assert bench.json("fit")["cautions"] == told
    bench.run("value", "12", "tightening", "8 Nm", "--page", "6-12")
    (value,) = bench.json("fit")["not_final"]
    assert (value["tag"], value["wanted"], value["page"]) == ("12", "8 Nm", "6-12")

    bench.run("out", "--at", "2025-11-01")

    assert any("Oily rags" in caution for caution in bench.json("resume")["cautions"])
    assert not any("Springs" in caution for caution in bench.json("fit")["cautions"])


def test_what_was_never_away_is_told_and_what_cannot_be_a_day_refused(bench: Bench):
    bench.run("sent", "12", "--to", "hose maker")

    assert (
        "injection pump is not recorded as sent out; sent out are: 12 (gear oil"
        in bench.run("back", "injection pump").stderr
    )
    with pytest.raises(Misused, match="not a date"):
        bench.run("sent", "12", "--promised", "soon")
    with pytest.raises(NotFound):
        bench.run("sent", "99")
    assert bench.run("back", "12").stderr == ""


def test_new_part_takes_a_thing_off_the_list_to_buy(bench: Bench):
    assert [one["tag"] for one in bench.json("buy")] == ["12"]
    bench.run("sent", "12", "--to", "hose maker")
    bench.run("back", "12", "--with", "new hose, same length", "--new-part")

    assert bench.run("buy").stdout == "Nothing is written down to be bought.\n"
    assert [line["event"] for line in bench.json("log")][-2:] == ["came back", "new part"]
    with pytest.raises(Misused, match="no number"):
        bench.run("back", "pump", "--new-part")


def test_list_to_buy_is_one_and_tells_how_far_each_is(bench: Bench):
    bench.run("snag", "add", "banjo washers cracked", "--buy", "copper washers 14 mm")
    bench.run("buy", "gasket set", "--price", "64 EUR")
    bench.run("buy", "12", "--part-number", "A-204", "--shop", "maker", "--ordered", "2026-01-10")

    assert bench.run("buy").stdout.splitlines() == [
        "ordered   12 (gear oil cooler hose) (condition replace), part number A-204, from maker, ordered 2026-01-10",
        "to order  copper washers 14 mm (snag 1)",
        "to order  gasket set, 64 EUR",
    ]
    assert len(bench.json("resume")["to_buy"]) == 3
    assert bench.run("snags", "--to-buy").stdout == bench.run("buy").stdout
    assert bench.json("snags", "--to-buy") == bench.json("buy")

    bench.run("buy", "snag 1", "--arrived")
    bench.run("buy", "12", "--arrived", "2026-01-20")

    assert [one["what"] for one in bench.json("buy")] == ["gasket set"]
    assert {one["state"] for one in bench.json("buy", "--all")} == {"arrived", "to order"}
    assert bench.run("snags", "--to-buy").stdout == "to order  gasket set, 64 EUR\n"
    bench.run("buy", "gasket set", "--drop")
    assert bench.json("buy") == []
    bench.run("undo")
    assert len(bench.json("buy")) == 1
    with pytest.raises(NotFound):
        bench.run("buy", "oil filter", "--drop")
    with pytest.raises(NotFound):
        bench.run("buy", "99", "--ordered")


def test_old_part_that_went_back_stands_in_the_hold_before_first_start(bench: Bench):
    bench.run("buy", "12", "--ordered", "2026-01-10")
    bench.run("refitted", "12", "--how", "tight")

    (line,) = [one for one in bench.json("hold", "first-start")["open"] if one["why"].startswith("12")]

    assert line["why"].startswith("12 (gear oil cooler hose) is on and was to be replaced, and nothing says that it")
    assert not line["sure"]
    bench.run("event", "12", "new part")
    assert bench.json("hold", "first-start")["open"] == []
    assert bench.json("buy") == []


def test_broken_part_puts_itself_on_the_list(bench: Bench):
    bench.run("tag", "13", "--name", "bracket")
    bench.run("event", "13", "broken", "ear snapped off", "--at", "2025-10-19")

    assert [(one["tag"], one["why"]) for one in bench.json("buy")] == [
        ("12", "condition replace"), ("13", "broken 2025-10-19"),
    ]  # fmt: skip


def test_set_is_shown_on_the_card_and_in_fit(bench: Bench):
    bench.run("tag", "50", "--name", "lifters")
    bench.run("off", "50")
    bench.run("set", "50", "1-8", "--faced", "oil hole to the front")
    bench.run("set", "50", "3", "--note", "scored")
    words = "8, each back in its own position: 1 to 8; 1, 2, 4 to 8 faced oil hole to the front; 3 faced oil hole"

    for command in (("set", "50"), ("tag", "50"), ("fit",)):
        assert words in bench.run(*command).stdout, command
    assert len(bench.json("tag", "50")["set"]) == 8
    bench.run("set", "50", "8", "--drop")
    assert len(bench.json("set", "50")) == 7
    bench.run("undo")
    assert len(bench.json("set", "50")) == 8
    with pytest.raises(NotFound):
        bench.run("set", "50", "9", "--drop")


def test_book_tells_who_has_what_and_what_to_buy(bench: Bench):
    bench.run("sent", "cylinder head", "--to", "engine shop", "--promised", "2026-12-20", "--at", "2025-11-08")
    with open_archive(bench.folder) as archive:
        content, _pictures = read_content(archive)

    assert content.sent_out == (
        ("cylinder head", "engine shop", "2025-11-08", "NOT BACK, promised for 2026-12-20", ""),
    )
    assert content.to_buy == ("12 (gear oil cooler hose) (condition replace)",)
