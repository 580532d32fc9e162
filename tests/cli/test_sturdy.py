"""What a slip of the finger, an odd name or a closed pipe does: one plain line, and nothing else."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from asfound.cli.terminal import clean

MEDIA = Path(__file__).parents[2] / "sample_media"
PHOTOS = [MEDIA / "P1_0001.jpg", MEDIA / "K1_0001.jpg"]


def run(*words: str | bytes, stdin: int = subprocess.DEVNULL, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", *words],
        capture_output=True,
        text=True,
        errors="surrogateescape",
        stdin=stdin,
        **options,
    )


def run_in_shell(line: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", line], capture_output=True, text=True)


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    folder = tmp_path_factory.mktemp("sturdy") / "archive"
    named = ("--archive", str(folder))
    assert run(*named, "job", "new", "Sallow", "--zone", "Europe/Amsterdam").returncode == 0
    assert run(*named, "add", "--later", *map(str, PHOTOS)).returncode == 0
    return named


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["fnd", "17"], "did you mean find?"),
        (["find"], "asfound find --help"),
        (["find", "--jsn", "17"], "--json"),
        (["pin", "17a", "P1_0001.jpg", "left", "0.5"], "not a valid float"),
        (["pin", "17a", "P1_0001.jpg", "0.5"], "asfound pin --help"),
        (["pin", "17a", "P1_0001.jpg", "-5", "10"], "outside P1_0001.jpg"),
        (["pin", "17a", "P1_0001.jpg", "-.5", "0.1", "--json"], "outside P1_0001.jpg"),
        (["clock", "K1", "-4m"], "-4m"),
        (["spot", "nam", "1", "x"], "asfound spot --help"),
        (["off", "6", "--at", "0001-01-01"], "year 1"),
        (["off", "6", "--at", "9999-12-31"], "year 9999"),
        (["job", "set", "--name", " "], "needs a name"),
        (["pins", b"\xff"], "UTF-8"),
        (["tag", b"\xff"], "UTF-8"),
    ],
)
def test_misuse_is_one_line_with_the_next_move(archive: tuple[str, str], words: list[str | bytes], said: str):
    done = run(*archive, *words)

    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert said in done.stderr


def test_clock_takes_a_negative_length_of_time(archive: tuple[str, str]):
    done = run(*archive, "clock", "K1", "--offset", "-4m", "--json")

    assert [each["corrections"] for each in json.loads(done.stdout) if each["camera"].endswith("K1")] == [
        [{"since": None, "seconds": -240.0}]
    ]
    assert run(*archive, "undo").returncode == 0


def test_what_a_job_is_called_can_be_taken_back(archive: tuple[str, str]):
    assert "Sallow, gear out" in run(*archive, "job", "set", "--name", "Sallow, gear out").stdout

    assert run(*archive, "undo").returncode == 0

    assert [job["name"] for job in json.loads(run(*archive, "job", "list", "--json").stdout)] == ["Sallow"]


@pytest.mark.parametrize(
    "line",
    ["{} pictures | head -1", "{} pictures | true", "{} pictures >&-", "{} pictures --json | true", "{} --help | true"],
)
def test_reader_that_goes_away_ends_it_quietly(archive: tuple[str, str], line: str):
    done = run_in_shell("set -o pipefail; " + line.format(f"{sys.executable} -m asfound {archive[0]} {archive[1]}"))

    assert done.returncode == 0
    assert done.stderr == ""


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="the system has no device that is always full")
def test_output_on_a_full_disk_is_one_line(archive: tuple[str, str]):
    done = run_in_shell(f"{sys.executable} -m asfound {archive[0]} {archive[1]} pictures --json > /dev/full")

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "No space left" in done.stderr


def test_errors_that_nobody_reads_stop_nothing(archive: tuple[str, str]):
    line = f"{sys.executable} -m asfound {archive[0]} {archive[1]} pictures 2>&-"

    assert "P1_0001.jpg" in run_in_shell(line).stdout


def test_names_are_shown_harmless_and_kept_exactly(archive: tuple[str, str]):
    """ECMA-48 control sequences could rewrite what stands on the screen; U+202E turns the direction of writing."""
    name = "hose\x1b[31m red\n[bold]b[/] \u202etxt.exe \U0001f468\u200d\U0001f527"

    run(*archive, "tag", "31", "--name", name)
    shown = run(*archive, "tags").stdout
    kept = json.loads(run(*archive, "tags", "--json").stdout)

    assert "\x1b" not in shown
    assert "\u202e" not in shown
    assert "hose\\x1b[31m red\\n[bold]b[/] \\u202etxt.exe \U0001f468\u200d\U0001f527" in shown
    assert next(tag["name"] for tag in kept if tag["tag"] == "31") == name
    run(*archive, "undo")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain é 電", "plain é 電"),
        ("a\tb\r\x00\x7f\x9b", "a\\tb\\r\\x00\\x7f\\x9b"),
        ("\udcff.jpg", "\\xff.jpg"),
        ("non\u00a0breaking", "non\u00a0breaking"),
    ],
)
def test_clean_writes_out_what_would_not_print(text: str, shown: str):
    assert clean(text) == shown


def test_file_that_is_no_text_is_found_by_its_path(archive: tuple[str, str], tmp_path: Path):
    path = os.fsencode(tmp_path) + b"/\xff\n.jpg"
    with open(path, "wb") as file:
        file.write(b"no picture")

    done = run(*archive, "where", path)

    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "\\xff\\n.jpg" in done.stderr


@pytest.mark.parametrize("words", [("where",), ("read",), ("compare", "K1_0001.jpg")])
@pytest.mark.parametrize(
    ("content", "said"),
    [
        ((MEDIA / "P2_0001.mp4").read_bytes(), "it is a clip, not a picture"),
        (b"no picture", "its content is neither a picture nor"),
    ],
)
def test_file_that_is_no_photo_is_named_with_the_next_move(
    archive: tuple[str, str], tmp_path: Path, words: tuple[str, ...], content: bytes, said: str
):
    """Whatever its name says."""
    photo = tmp_path / "today.jpg"
    photo.write_bytes(content)

    done = run(*archive, *words, str(photo))

    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith(f"asfound: {photo}: {said}")
    assert done.stderr.endswith("; name a photo.\n")


def test_clip_in_place_of_a_picture_is_told_with_the_way_to_a_frame(tmp_path: Path):
    chosen = "--archive", str(tmp_path / "archive")
    run(*chosen, "job", "new", "Sallow")
    run(*chosen, "add", "--later", str(MEDIA / "P2_0001.mp4"))

    done = run(*chosen, "pin", "17a", "p2_0001.MP4", "0.5", "0.5")

    assert done.returncode == 1
    assert "P2_0001.mp4 is a clip" in done.stderr
    assert "asfound frame P2_0001.mp4 SECONDS" in done.stderr


def test_words_can_be_shown_where_the_system_knows_only_ascii(archive: tuple[str, str]):
    run(*archive, "tag", "32", "--name", "Kühlwasser")

    done = run(*archive, "tags", env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})

    assert done.returncode == 0
    assert "K\\xfchlwasser" in done.stdout
    run(*archive, "undo")


def test_number_by_itself_asks_for_that_tag(archive: tuple[str, str]):
    run(*archive, "tag", "33", "--name", "drain hose")

    assert "drain hose" in run(*archive, "33").stdout
    run(*archive, "undo")


def test_person_names_a_photo_without_capitals_and_suffix(archive: tuple[str, str]):
    done = run(*archive, "pin", "34a", "p1_0001", "0.5", "0.5", "--json")

    assert done.returncode == 0
    assert run(*archive, "undo").returncode == 0


def test_photo_that_was_never_added_is_told_of_with_the_way_in(archive: tuple[str, str]):
    done = run(*archive, "pin", "34a", str(MEDIA / "P1_0002.jpg"), "0.5", "0.5")

    assert done.returncode == 1
    assert f"asfound add {MEDIA / 'P1_0002.jpg'}" in done.stderr


def test_nothing_found_says_what_to_do_and_is_one_of_the_missing(archive: tuple[str, str]):
    for words in (["find", "999"], ["find", "999", "--json"], ["pins", "999"]):
        done = run(*archive, *words)
        assert done.returncode == 1
        assert "999" in done.stderr
        assert done.stderr.count("\n") == 1


def test_end_without_a_picture_is_told_with_the_next_move(archive: tuple[str, str]):
    run(*archive, "tag", "35", "--kind", "bracket")

    done = run(*archive, "find", "35")

    assert done.returncode == 1
    assert "asfound pin 35 PICTURE X Y" in done.stderr
    assert run(*archive, "find", "35", "--json").returncode == 1
    run(*archive, "undo")


def test_slow_work_is_told_of_where_no_bar_can_be_drawn(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    from asfound.cli import parts

    clock = iter([0.0, 1.0, 11.0, 12.0, 22.0])
    monkeypatch.setattr(parts.time, "monotonic", lambda: next(clock))

    with parts.shown_progress() as progress:
        for done in range(4):
            progress(f"adding \x1b[2J{done}.jpg", done, 4)

    assert capsys.readouterr().err.splitlines() == ["adding \\x1b[2J1.jpg: 1 of 4", "adding \\x1b[2J3.jpg: 3 of 4"]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
@pytest.mark.parametrize("words", [(), ("screens",)])
def test_dumb_terminal_gets_the_short_report_without_codes(archive: tuple[str, str], words: tuple[str, ...]):
    import pty

    environment = {**os.environ, "ASFOUND_ARCHIVE": archive[1], "TERM": "dumb"}
    master, slave = pty.openpty()
    command = [sys.executable, "-m", "asfound", *words]
    with subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=environment) as running:
        try:
            running.wait(timeout=60)
        finally:
            running.kill()
    os.close(slave)
    seen = b""
    with suppress(OSError):  # the end of a terminal that nobody holds any more
        while data := os.read(master, 65536):
            seen += data
    os.close(master)

    assert running.returncode == 0
    assert b"photos, 0 clips" in seen
    assert b"\x1b" not in seen
