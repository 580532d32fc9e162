"""Nothing leaves this computer, and what is handed on tells neither where photos were taken nor by which very camera.

The whole suite runs without a network: see `tests/conftest.py`. Commands run as programs of their own are watched here.
"""

from __future__ import annotations

import io
import os
import re
import socket
import stat
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.actions.job import new_job
from tests.conftest import NetworkUsed
from tests.media import samples
from tests.sallow_archive import Bench

LATITUDE, LONGITUDE = (52.0, 22.0, 33.21), (4.0, 53.0, 42.87)
SERIAL, OWNER = "SN0147885932", "Owner Of This Camera"
TELLS = re.compile(
    rf"{SERIAL}|{OWNER}|33[.,]21|42[.,]87|52\.3758|4\.8952|52 deg|GPSL|gps_l|latitude|longitude|serial", re.IGNORECASE
)
WATCHED = """
import sys, runpy
from tests.conftest import refuse_network
sys.argv = sys.argv[1:]
runpy.run_module("asfound", run_name="__main__")
"""


def telling_photo(seed: int) -> bytes:
    """A photo whose Exif says where it was taken, by which very camera, and whose that is."""
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0x9003: f"2025:10:18 09:{seed:02d}:00", 0xA431: SERIAL, 0xA430: OWNER})
    exif.get_ifd(0x8825).update({1: "N", 2: LATITUDE, 3: "E", 4: LONGITUDE})
    exif[0x0110], exif[0x013B] = "F1", OWNER
    return samples.jpeg(samples.scene(320, 240, seed), exif=exif.tobytes())


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    tmp_path = tmp_path_factory.mktemp("telling")
    card = tmp_path / "card"
    card.mkdir()
    for number in range(1, 4):
        (card / f"P1_{number:04d}.jpg").write_bytes(telling_photo(number))
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow", zone="Europe/Amsterdam")
        add_dump(archive, [card], workers=0)
    bench = Bench(tmp_path / "archive")
    bench.run("tag", "--line", "17 hose bypass A heat exchanger B thermostat")
    bench.run("pin", "17a", "P1_0001.jpg", ".4", ".6")
    bench.run("off", "17", "--bag", "B4")
    bench.run("snag", "add", "clamp rusted through")
    return bench


LISTS = [
    ("17",), ("find", "hose"), ("pictures",), ("spots",), ("pairs",), ("pins", "17"), ("tags",), ("tag", "17"),
    ("log",), ("bags",), ("snags",), ("gaps",), ("resume",), ("fit", "--all"), ("camera",), ("clock",),
    ("where", "P1_0001.jpg"), ("check",),
    ("undo", "--all"), ("job", "list"),
]  # fmt: skip


def test_the_photos_do_tell(tmp_path: Path):
    """What is looked for below is there to be found."""
    exif = Image.open(io.BytesIO(telling_photo(1))).getexif()
    assert exif.get_ifd(0x8825)[2] == pytest.approx(LATITUDE)
    assert exif.get_ifd(0x8769)[0xA431] == SERIAL


@pytest.mark.parametrize("more", [(), ("--json",)], ids=["for people", "json"])
def test_no_command_tells_a_place_or_a_serial(bench: Bench, more: tuple[str, ...]):
    for words in LISTS:
        done = bench.run(*words, *more)
        assert not TELLS.search(done.output), words
        assert done.return_value in (0, 1, None), words


def test_book_tells_no_place_no_serial_and_no_name(bench: Bench, tmp_path: Path):
    book = tmp_path / "sallow.pdf"
    bench.run("book", str(book))

    data = book.read_bytes()
    pdf = pypdfium2.PdfDocument(data)

    words = "\n".join(page.get_textpage().get_text_bounded() for page in pdf)
    assert "bypass" in words
    assert not TELLS.search(words)
    assert not TELLS.search(str(pdf.get_metadata_dict()))
    assert "anonymous" not in str(pdf.get_metadata_dict())
    pictures = [start for start in range(len(data)) if data.startswith(b"\xff\xd8\xff", start)]
    assert pictures
    for start in pictures:
        inside = Image.open(io.BytesIO(data[start:]))
        assert not inside.getexif()
        assert "comment" not in inside.info
    assert b"Exif\0\0" not in data
    assert b"ns.adobe.com" not in data


def test_previews_tell_nothing_either(bench: Bench):
    previews = [path for path in (bench.folder / "cache").rglob("*.jpg")]

    assert previews
    for path in previews:
        assert not Image.open(path).getexif(), path
        assert OWNER.encode() not in path.read_bytes()


def test_record_keeps_no_place_and_no_serial(bench: Bench):
    with open_archive(bench.folder) as archive:
        told = "\n".join(
            str(tuple(row))
            for (table,) in archive.store.rows("SELECT name FROM sqlite_master WHERE type = 'table'")
            for row in archive.store.rows(f'SELECT * FROM "{table}"')
        )
    assert not re.search(rf"{SERIAL}|{OWNER}|33[.,]21|42[.,]87", told)


def test_archive_is_for_its_person_alone(bench: Bench):
    assert stat.S_IMODE(bench.folder.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    "reach",
    [
        lambda: socket.create_connection(("127.0.0.1", 9), timeout=1),
        lambda: socket.getaddrinfo("localhost", 80),
        lambda: socket.socket(socket.AF_INET, socket.SOCK_DGRAM).sendto(b"", ("127.0.0.1", 9)),
    ],
)
def test_network_is_refused_to_every_test(reach):
    with pytest.raises(NetworkUsed):
        reach()


def test_processes_of_this_machine_may_still_talk():
    first, second = socket.socketpair()
    with first, second:
        first.send(b"x")
        assert second.recv(1) == b"x"


@pytest.mark.parametrize("words", [("17",), ("add", "--later", "CARD"), ("book", "OUT.pdf")], ids=" ".join)
def test_program_of_its_own_reaches_for_no_network(bench: Bench, tmp_path: Path, words: tuple[str, ...]):
    card = tmp_path / "card2"
    card.mkdir()
    (card / "P1_0009.jpg").write_bytes(telling_photo(9))
    given = [str(card) if word == "CARD" else str(tmp_path / word) if word == "OUT.pdf" else word for word in words]
    here = str(Path(__file__).parents[1])
    environ = {**os.environ, "PYTHONPATH": os.pathsep.join([here, os.environ.get("PYTHONPATH", "")])}

    done = subprocess.run(
        [sys.executable, "-c", WATCHED, "asfound", "--archive", str(bench.folder), *given],
        env=environ, capture_output=True, text=True,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    assert "NetworkUsed" not in done.stderr
