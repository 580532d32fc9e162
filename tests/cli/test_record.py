"""Writing down by command: tags, what happened to them, bags and snags, as a person and as a script meets it."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from asfound.errors import AsfoundError, AskFirst, Misused, NotFound
from tests.sallow_archive import Bench, bench_with_job, bench_with_sallow
from tests.scenario import FOLDER


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("tag", "17", "--kind", "hose", "--name", "upper radiator")
    return opened


# Tags


def test_number_alone_shows_the_record_and_changes_nothing(bench: Bench):
    done = bench.run("tag", "17")

    assert "upper radiator" in done.stdout
    assert "changed" not in done.stdout
    assert bench.json("tag", "17")["became"] == "same"
    assert len(bench.run("undo", "--list").stdout.splitlines()) == 1


def test_line_is_shown_back_field_by_field(bench: Bench):
    line = "18 wire A starter RD/BK terminal 50 B panel GR"
    done = bench.run("tag", "--line", line)

    for words in ("starter", "RD/BK (red with black stripe)", "50 (starter control (solenoid))", "panel"):
        assert words in done.stdout
    assert "GY (grey) or GN (green)" in done.stderr
    assert done.return_value == 1
    assert bench.json("tag", "18")["ends"][1]["colour"]["shown"] == "GR"


def test_all_of_a_colour_is_told(bench: Bench):
    bench.run("tag", "17", "--colour-a", "black with red stripe", "--colour-b", "BN/GN")

    a, b = (end["colour"] for end in bench.json("tag", "17")["ends"])

    assert (a["shown"], a["iec"], a["main"], a["stripe"]) == ("BK/RD", "BKRD", "BK", "RD")
    assert b["iec"] == "BNGN"


@pytest.mark.parametrize(
    "words",
    [("--capped", "a", "--open", "a"), ("--flow", "sideways"), ("--clock-a", "13"), ("--kind", "gizmo"),
     ("--fit-after", "99")],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_nothing_is_kept(bench: Bench, words: tuple[str, ...]):
    before = bench.json("tag", "17")
    with pytest.raises((AsfoundError, click.UsageError)) as told:
        bench.run("tag", "17", *words)
    assert "\n" not in str(told.value)
    assert bench.json("tag", "17") == before


@pytest.mark.parametrize(("number", "words"), [("17c", "slip"), ("17b", "17 end b")])
def test_number_close_to_another_is_told(bench: Bench, number: str, words: str):
    done = bench.run("tag", number, "--another")

    assert words in done.stderr


def test_everything_said_at_once_is_one_step(bench: Bench):
    bench.run("tag", "18")
    before = bench.json("tag", "17")
    bench.run("tag", "17", "--place-a", "pump", "--bag", "B4", "--fit-after", "18", "--hazard", "fuel")
    after = bench.json("tag", "17")
    assert (after["bags"], after["fit_after"]) == (["B4"], ["18"])
    assert any("fuel" in line for line in after["know"])

    bench.run("undo")

    assert bench.json("tag", "17") == before


@pytest.mark.parametrize(
    "words",
    [("--name", "lower"), ("--kind", "wire"), ("--note", "rusty"), ("--bag", "B4"), ("--renumber", "70"), ("--remove",),
     ("--place-a", "pump"), ("--capped", "a"), ("--also", "7x")],
)  # fmt: skip
def test_an_end_is_never_taken_for_the_whole_thing(bench: Bench, words: tuple[str, ...]):
    before = bench.json("tag", "17")

    with pytest.raises(Misused, match=r"17b is end B of 17; for a thing numbered 17b use --another") as told:
        bench.run("tag", "17b", *words)

    assert told.value.exit_status == 2
    assert bench.json("tag", "17") == before
    assert bench.run("undo", "--list").stdout.splitlines() == ["tag 17 added"]


def test_a_line_that_begins_with_an_end_renames_nothing(bench: Bench):
    before = bench.json("tag", "17")

    with pytest.raises(Misused, match="17b is end B of 17"):
        bench.run("tag", "--line", "17b hose lower A pump")

    assert bench.json("tag", "17") == before


def test_fields_of_an_end_may_be_said_of_that_end(bench: Bench):
    done = bench.run("tag", "17b", "--place-b", "radiator top", "--capped", "b")

    assert "17b is end B of 17" in done.stderr
    end = bench.json("tag", "17")["ends"][1]
    assert (end["place"], end["capped"]) == ("radiator top", True)


@pytest.mark.parametrize(
    ("words", "step"),
    [
        (("17", "--note", "rusty"), "tag 17 changed"),
        (("18", "--kind", "wire"), "tag 18 added"),
        (("--line", "17 hose upper radiator hose"), "tag 17 changed"),
        (("--line", "18 hose upper"), "tag 18 added"),
        (("--line", "17 hose lower", "--another"), "tag 17 added"),
    ],
)
def test_undo_says_what_was_done(bench: Bench, words: tuple[str, ...], step: str):
    bench.run("tag", *words)

    assert bench.run("undo", "--list").stdout.splitlines()[0] == step


def test_belt_is_written_down_with_path_arrow_and_direction(bench: Bench):
    bench.run("tag", "43", "--kind", "belt")
    bench.run("belt", "43", "--off", "first", "--path", "crank, pump", "--arrow", "to the front", "--turns",
              "clockwise from the front")  # fmt: skip

    assert bench.json("belt", "43")["belt"] == {
        "comes_off": "first", "path": "crank, pump", "arrow": "to the front", "turns": "clockwise from the front",
        "slack": "",
    }  # fmt: skip


def test_dry_run_by_command_shows_and_keeps_nothing(bench: Bench):
    done = bench.run("tags", "import", str(FOLDER / "demo-scenario.csv"), "--dry-run")

    assert "46 rows: 45 added, 1 changed." in done.stdout
    assert "name: upper radiator -> water-in-fuel sensor plug, 2 way" in done.stdout
    assert len(bench.json("tags")) == 1


# What happened


@pytest.mark.parametrize(
    "words",
    [("off", "17"), ("refitted", "17"), ("event", "17", "cut"), ("drained", "coolant"), ("snag", "add", "lug snapped"),
     ("hold", "lift-out", "--looked")],
)  # fmt: skip
@pytest.mark.parametrize(
    ("at", "told"),
    [
        ("2025-10-26 02:30", r"2025-10-26T02:30:00\+02:00 or 2025-10-26T02:30:00\+01:00"),
        ("2026-03-29 02:30", "never came in Europe/Amsterdam"),
        ("2097-01-01", "still to come"),
        ("2098-01-01T10:00+01:00", "still to come"),
        ("1904-01-01", "1904"),
    ],
)
def test_time_that_nobody_can_mean_is_asked_back(bench: Bench, words: tuple[str, ...], at: str, told: str):
    with pytest.raises(Misused, match=told) as said:
        bench.run(*words, "--at", at)

    assert (said.value.exit_status, "\n" in str(said.value)) == (2, False)
    assert bench.json("log") == []
    assert bench.run("undo", "--list").stdout.splitlines() == ["tag 17 added"]


def test_hour_that_was_twice_is_taken_with_its_offset(bench: Bench):
    bench.run("off", "17", "--at", "2025-10-26T02:30:00+01:00")

    assert bench.json("log")[0]["at"] == "2025-10-26T02:30:00+01:00"


@pytest.mark.parametrize(
    ("words", "kind", "note"),
    [
        (("cut",), "cut", ""),
        (("broken", "lug snapped"), "broken", "lug snapped"),
        (("measured", "9 threads showing"), "measured", "9 threads showing"),
        (("sent out", "to the shop"), "sent out", "to the shop"),
        (("came back",), "came back", ""),
        (("new part", "hose, 32 mm"), "new part", "hose, 32 mm"),
        (("capped", "red plug"), "capped", "red plug"),
    ],
)
def test_what_else_happened_is_in_the_history(bench: Bench, words: tuple[str, ...], kind: str, note: str):
    bench.run("off", "17", "--at", "2025-10-18")
    bench.run("event", "17", *words)

    lines = bench.json("log", "17")

    assert [(line["event"], line["note"]) for line in lines] == [("off", ""), (kind, note)]
    assert bench.json("tags")[0]["state"] == "off", "only off and refitted say where a thing stands"
    bench.run("undo")
    assert len(bench.json("log", "17")) == 1


def test_capped_end_is_kept_with_the_end(bench: Bench):
    bench.run("event", "17b", "capped", "red plug")

    assert [(end["capped"], end["capped_with"]) for end in bench.json("tag", "17")["ends"]] == [
        (None, ""),
        (True, "red plug"),
    ]


def test_bagged_names_the_bag(bench: Bench):
    bench.run("event", "17", "bagged", "--bag", "B4")

    assert bench.json("bags")[0]["tags"] == ["17"]
    with pytest.raises(Misused, match="which bag"):
        bench.run("event", "17", "bagged")


def test_refitted_says_how_and_by_whom(bench: Bench):
    bench.run("off", "17")
    for how in ("by hand", "tight", "checked"):
        bench.run("refitted", "17", "--how", how, "--by", "yard engineer")

    last = bench.json("log", "17")[-1]

    assert (last["how"], last["by"]) == ("checked", "yard engineer")
    assert bench.json("tags")[0]["state"] == "refitted, checked"


def test_off_twice_and_refitted_before_off_are_said(bench: Bench):
    assert "never written down as off" in bench.run("refitted", "17").stderr
    bench.run("undo")
    assert bench.run("off", "17").stderr == ""
    assert "was off already" in bench.run("off", "17").stderr


def test_off_at_an_earlier_time_tells_the_bag_of_that_line(bench: Bench):
    bench.run("off", "17", "--bag", "B4")

    (document,) = bench.json("off", "17", "--bag", "9", "--at", "2025-10-18")
    done = bench.run("off", "17", "--bag", "back in place", "--at", "2025-10-17")

    assert document["bag"] == "9"
    assert "fasteners: back in place" in done.stdout
    assert [line["bag"] for line in bench.json("log", "17")] == ["back in place", "9", "B4"]


def test_line_that_is_not_so_counts_no_more_and_stays_to_be_read(bench: Bench):
    bench.run("off", "17", "--bag", "B4")
    (line,) = bench.json("log")

    bench.run("strike", str(line["line"]), "it was 18")

    first, second = bench.json("log", "17")
    assert (first["struck"], second["strikes"], second["note"]) == (True, line["line"], "it was 18")
    assert bench.json("tags")[0]["state"] == ""
    with pytest.raises(Misused, match="already"):
        bench.run("strike", str(line["line"]))
    bench.run("undo")
    assert bench.json("tags")[0]["state"] == "off"


def test_strike_of_no_line_is_told(bench: Bench):
    with pytest.raises(NotFound, match="no line 99"):
        bench.run("strike", "99")


def test_drained_fluids_are_listed_with_their_container(bench: Bench):
    bench.run("drained", "engine oil", "7.5 l", "--into", "C2", "--looks", "black, sample kept")
    bench.run("drained", "diesel", "1.2 l", "--into", "C4", "--from", "17", "--looks", "water seen")

    oil, diesel = bench.json("drained")

    assert (oil["what"], oil["amount"], oil["container"], oil["tag"]) == ("engine oil", "7.5 l", "C2", None)
    assert (diesel["tag"], diesel["looks"]) == ("17", "water seen")


@pytest.mark.parametrize("at", ["0001-01-01", "9999-12-31", "2025-13-01", "some day"])
def test_absurd_days_are_refused(bench: Bench, at: str):
    with pytest.raises(AsfoundError, match="2025-10-18"):
        bench.run("off", "17", "--at", at)
    assert bench.json("log") == []


def test_day_alone_is_shown_as_a_day(bench: Bench):
    bench.run("off", "17", "--at", "2025-10-18")

    assert "2025-10-18        " in bench.run("log").stdout
    assert bench.json("log")[0]["day_only"]


# Bags and snags


def test_bag_holds_several_groups_each_with_its_count(bench: Bench):
    bench.run("bag", "B4", "--for", "17", "--place", "bin 3", "--group", "bolts", "--thread", "M10", "--out", "6")
    bench.run("bag", "B4", "--group", "nuts", "--thread", "M10", "--out", "6", "--back", "5")

    bag = bench.json("bag", "b4")

    assert [(group["what"], group["count_out"]) for group in bag["groups"]] == [("bolts", 6), ("nuts", 6)]
    assert (bag["place"], bag["tags"], bag["count_out"], bag["count_back"]) == ("bin 3", ["17"], 12, None)
    bench.run("bag", "B4", "--group", "bolts", "--back", "6")
    assert bench.json("bag", "B4")["count_back"] == 11
    assert [one["bag"] for one in bench.json("bags", "--to-count")] == ["B4"]


def test_count_back_of_several_groups_asks_which(bench: Bench):
    bench.run("bag", "B4", "--group", "bolts", "--out", "6")
    bench.run("bag", "B4", "--group", "washers", "--out", "6")

    with pytest.raises(Misused, match="--group"):
        bench.run("bag", "B4", "--back", "6")


@pytest.mark.parametrize("words", ["back in place", "own hole", "Back in its own hole"])
def test_own_hole_is_a_place_and_no_bag(bench: Bench, words: str):
    bench.run("off", "17", "--bag", words)

    assert bench.json("log")[0]["bag"] == "back in place"
    assert bench.json("bags") == []
    assert bench.json("tag", "17")["bags"] == ["back in place"]


def test_snag_is_tied_bought_and_closed(bench: Bench):
    bench.run("bag", "B4")
    bench.run("snag", "add", "clamp rusted through", "--tag", "17", "--bag", "B4", "--buy", "clamp 32 mm")
    (snag,) = bench.json("snags", "--to-buy")
    assert (snag["snag"], snag["tag"], snag["what"]) == ("1", "17", "clamp 32 mm")

    bench.run("snag", "bought", "n1")
    assert bench.json("snags", "--to-buy") == []
    bench.run("snag", "close", "1", "new", "clamp", "on")

    assert bench.json("snags") == []
    assert bench.json("snags", "--all")[0]["closed_how"] == "new clamp on"
    bench.run("undo")
    assert len(bench.json("snags")) == 1


def test_snag_is_changed_and_reopened(bench: Bench):
    bench.run("snag", "add", "clamp", "rusted", "through")
    with pytest.raises(Misused, match="snag change 1 --buy"):
        bench.run("snag", "bought", "1")

    bench.run("snag", "change", "1", "--tag", "17", "--buy", "clamp 32 mm")
    bench.run("snag", "close", "1")
    snag = bench.json("snag", "reopen", "1")

    assert (snag["open"], snag["what"], snag["tag"], snag["buy"]) == (True, "clamp rusted through", "17", "clamp 32 mm")
    latest = bench.run("undo", "--list").stdout.splitlines()[:3]
    for line, words in zip(latest, ("snag 1 open again", "snag 1 closed", "snag 1 changed"), strict=True):
        assert words in line


def test_what_the_first_form_wrote_as_a_snag_names_the_next_move(bench: Bench):
    with pytest.raises(click.UsageError, match='asfound snag add "lug snapped"'):
        bench.run("snag", "lug snapped")


def test_snag_without_words_is_told(bench: Bench):
    with pytest.raises(Misused, match="Say what is the matter"):
        bench.run("snag", "add", "--tag", "17")
    assert bench.json("snags", "--all") == []


def test_bags_and_snags_of_the_whole_boat_come_in(tmp_path: Path):
    bench = bench_with_sallow(tmp_path / "archive")

    bags, snags = {bag["bag"]: bag for bag in bench.json("bags")}, bench.json("snags", "--all")

    assert len(bags) == 12
    assert (bags["B9"]["count_out"], bags["B9"]["count_back"], bags["B9"]["tags"]) == (8, 7, ["31", "32"])
    assert len(snags) == 9
    assert [snag["snag"] for snag in snags if snag["open"]] == ["N1", "N4", "N6", "N8", "N9"]
    hose = next(snag for snag in snags if snag["snag"] == "N7")
    assert (hose["tag"], hose["order"]) == ("12", 2), "the words tell which of the two things numbered 12 is meant"
    for what in ("bags", "snags"):
        rows = bench.json(what, "import", str(FOLDER / f"demo-{what}.csv"))["rows"]
        assert {row["became"] for row in rows} == {"same"}


@pytest.mark.parametrize(
    ("what", "lines", "words"),
    [
        ("bags", ["bag,count_out", "B1,many"], "not a count of pieces"),
        ("bags", ["bag,count_out", ",3"], "names no bag"),
        ("bags", ["bag,for_tags", "B1,99"], "99"),
        ("snags", ["snag,what,state", "N1,bent,perhaps"], "neither open nor closed"),
        ("snags", ["snag,what,tag", "N1,bent,99"], "99"),
        ("snags", ["snag,what", "N1,"], "Say what is the matter"),
    ],
)
def test_row_that_cannot_be_taken_is_told(bench: Bench, tmp_path: Path, what: str, lines: list[str], words: str):
    path = tmp_path / "rows.csv"
    path.write_text("\n".join(lines))

    done = bench.run(what, "import", str(path))

    assert words in done.stderr
    assert done.return_value == 1


def test_name_that_would_disturb_a_terminal_is_shown_written_out(bench: Bench):
    bench.run("tag", "17", "--name", "a\nb\x1b[31m", "--change")

    for words in (("tag", "17"), ("tags",), ("find", "17")):
        assert "\x1b" not in bench.run(*words).output
    assert bench.json("tag", "17")["name"] == "a\nb\x1b[31m"


def test_sure_that_is_no_number_is_refused(bench: Bench):
    with pytest.raises(click.UsageError, match="how sure"):
        bench.run("confirm", "17", "--sure", "nan")


def test_things_of_one_number_are_told_apart_in_the_list(bench: Bench):
    bench.run("tag", "17", "--another", "--name", "second")

    assert "17.2" in bench.run("tags").stdout


def test_day_of_what_else_happened_is_a_day(bench: Bench):
    bench.run("event", "17", "cut", "--at", "2025-10-18")
    bench.run("drained", "oil", "--at", "2025-10-18")

    assert [line["day_only"] for line in bench.json("log")] == [True, True]


def test_sheet_with_own_heads_is_shown_asked_about_and_taken_as_shown(bench: Bench, tmp_path: Path):
    path = tmp_path / "own.csv"
    path.write_bytes("No;What;Torque\n61;hose;45 Nm\n62;tuyau percé;\n".encode("cp1252"))

    with pytest.raises(AskFirst, match="--as-shown"):
        bench.run("tags", "import", str(path))
    shown = bench.run("tags", "import", str(path), "--dry-run")
    assert 'Torque  kept in the note as "Torque: 45 Nm"' in shown.stdout
    assert "Windows-1252" in shown.stderr
    with pytest.raises(Misused, match="maps nothing"):
        bench.run("tags", "import", str(path), "--column", "Torque")
    document = bench.json("tags", "import", str(path), "--as-shown", "--column", "Torque=size")
    assert [(one["head"], one["column"], one["how"]) for one in document["heads"]] == [
        ("No", "tag", "meant"), ("What", "name", "meant"), ("Torque", "size", "said"),
    ]  # fmt: skip
    assert (bench.json("tag", "61")["size"], bench.json("tag", "62")["name"]) == ("45 Nm", "tuyau percé")
    with pytest.raises(AskFirst, match="--yes"):
        bench.run("undo")
    bench.run("undo", "--yes")
    with pytest.raises(NotFound):
        bench.run("off", "61")
