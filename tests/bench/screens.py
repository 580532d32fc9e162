"""How soon the first screen stands and how soon a number brings its picture, in a terminal of our own.

Run: python tests/bench/screens.py [PICTURES] [ROUNDS]

An archive of 5,000 pictures in 400 spots with 300 tags is written straight into the store; the pictures of the numbers
that are asked for have an original on the disk. The program runs on a pseudo-terminal of 80 x 24. Times are from the
start of the process to the words that stand on the finished screen, and from Enter after a number to the first cells
of its picture. Beside them, in alternating runs, the same for the bare toolkit with one line of text: what it costs
before any of our code runs.
"""

from __future__ import annotations

import fcntl
import io
import os
import pty
import re
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import cv2
import numpy as np

from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.pin import Box, pin_tag
from asfound.actions.tag import TagWords, add_tag
from asfound.archive.put import put_original
from asfound.core.match import IN_USE
from asfound.media.thumbnails import encode_jpeg
from asfound.model.capture import Taken, TimeSource
from asfound.store import jobs, pictures, spots

FIRST_WORDS = re.compile(b"Next step")
PICTURE = re.compile("|".join("▀▄▌▐▖▗▘▚▝▞").encode())
"""The cells that a picture is drawn in; nothing else on the screens uses them."""
SPOTS, TAGS = 400, 300
NUMBERS = (17, 112, 45, 9, 230, 61, 188)
BARE = (
    "from textual.app import App\nfrom textual.widgets import Static\n"
    "class Bare(App):\n    def compose(self): yield Static('Next step')\n"
    "Bare().run()\n"
)


def make_archive(folder: Path, count: int) -> None:
    """An archive as it stands after sorting, with the pins of 300 tags."""
    rng = np.random.default_rng(7)
    with open_archive(folder, create=True) as archive:
        job = new_job(archive, "Sallow, diesel out", zone="Europe/Amsterdam")
        store = archive.store
        with store.transaction():
            dump = jobs.start_dump(store, job.job_id, "a card", archive.now())
            camera = jobs.save_camera(store, job.job_id, "Pocket P1")
            ids = [_add_picture(archive, rng, dump, camera, number, count) for number in range(count)]
            jobs.finish_dump(store, dump, archive.now())
            spot_ids = [spots.new_spot(store, job.job_id) for _ in range(SPOTS)]
            spot_of = {picture: spot_ids[place * SPOTS // count] for place, picture in enumerate(ids)}
            spots.save_membership(store, job.job_id, spot_of, {})
            for picture in ids:
                spots.save_examined(store, picture, IN_USE, b"")
            spots.mark_spots_fresh(store)
        for number in range(1, TAGS + 1):
            tag = add_tag(archive, str(number), TagWords(kind="hose", name=f"hose {number}"))
            picture = pictures.get_picture(store, ids[(number - 1) * (count // TAGS)])
            pin_tag(archive, tag, "A", picture, Box(0.4, 0.6))


def _add_picture(archive: Archive, rng: np.random.Generator, dump: int, camera: int, number: int, count: int) -> int:
    if number in {(asked - 1) * (count // TAGS) for asked in NUMBERS}:
        coarse = rng.integers(0, 255, (30, 40, 3), dtype=np.uint8)
        data = encode_jpeg(cv2.resize(coarse, (4032, 3024), interpolation=cv2.INTER_CUBIC))
        put = put_original(archive.layout, io.BytesIO(data), ".jpg")
        digest, size = put.digest_sha256, put.bytes
    else:
        digest, size = sha256(str(number).encode()).hexdigest(), 1
    pictures.save_original(
        archive.store, digest=digest, suffix=".jpg", size_bytes=size, kind="photo", stored_at=archive.now()
    )
    at = datetime(2025, 10, 18, 9, tzinfo=UTC) + timedelta(seconds=40 * number)
    new = pictures.NewPicture(
        job_id=1,
        dump_id=dump,
        kind="photo",
        file=f"P1_{number:04d}.jpg",
        digest=digest,
        camera_id=camera,
        taken=Taken(at.replace(tzinfo=None), 120, TimeSource.EXIF_ORIGINAL),
        width_px=4032,
        height_px=3024,
        phash=int(rng.integers(0, 2**62)),
        sharpness=100.0,
    )
    return pictures.save_picture(archive.store, new)


class Terminal:
    """A program on a pseudo-terminal of 80 x 24."""

    def __init__(self, command: list[str], environment: dict[str, str]) -> None:
        self.started = time.perf_counter()
        self._pid, self._fd = pty.fork()
        if self._pid == 0:
            os.execvpe(command[0], command, environment)
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def wait_for(self, words: re.Pattern[bytes], patience_s: float = 20.0) -> float:
        """When `words` came, in seconds of the clock `started` is on."""
        seen = b""
        while not words.search(seen):
            if not select.select([self._fd], [], [], patience_s)[0]:
                raise TimeoutError(f"{words.pattern!r} never came; the end of what did: {seen[-300:]!r}")
            seen += self._read()
        return time.perf_counter()

    def settle(self, quiet_s: float = 0.4) -> float:
        """When the last byte before a pause came."""
        last = time.perf_counter()
        while select.select([self._fd], [], [], quiet_s)[0]:
            self._read()
            last = time.perf_counter()
        return last

    def _read(self) -> bytes:
        data = os.read(self._fd, 65536)
        if b"\x1b[6n" in data:  # the program asks whether the terminal has drawn what it was sent
            os.write(self._fd, b"\x1b[1;1R")
        return data

    def type(self, keys: bytes) -> float:
        os.write(self._fd, keys)
        return time.perf_counter()

    def wait_end(self) -> None:
        """Until the program has ended by itself."""
        while select.select([self._fd], [], [], 20.0)[0]:
            try:
                if not self._read():
                    break
            except OSError:  # how a pseudo-terminal says that nobody is there any more
                break
        os.waitpid(self._pid, 0)
        os.close(self._fd)

    def close(self) -> None:
        os.kill(self._pid, signal.SIGKILL)
        os.waitpid(self._pid, 0)
        os.close(self._fd)


def first_paint_s(command: list[str], environment: dict[str, str], leave: bytes) -> tuple[float, float]:
    """Seconds to the first screen, and to the last byte of what the toolkit draws, which is when keys are answered.

    The program is left by the key for it, as a person does.
    """
    terminal = Terminal(command, environment)
    first = terminal.wait_for(FIRST_WORDS) - terminal.started
    settled = terminal.settle(3.0) - terminal.started
    terminal.type(leave)
    terminal.wait_end()
    return first, settled


def number_to_picture_s(command: list[str], environment: dict[str, str]) -> tuple[list[float], list[float]]:
    """For numbers typed one after the other: from Enter to the picture, and to the same with every pixel loaded."""
    terminal = Terminal(command, environment)
    first, settled = [], []
    terminal.wait_for(FIRST_WORDS)
    terminal.settle(3.0)
    for number in NUMBERS:
        terminal.type(str(number).encode())
        terminal.settle()
        typed = terminal.type(b"\r")
        first.append(terminal.wait_for(PICTURE) - typed)
        settled.append(max(first[-1], terminal.settle() - typed))
    terminal.close()
    return first, settled


def told(name: str, seconds: list[float]) -> str:
    ms = [1000 * s for s in seconds]
    return f"{name:50} min {min(ms):6.0f}  median {statistics.median(ms):6.0f}  max {max(ms):6.0f} ms  ({len(ms)} runs)"


def told_first(name: str, runs: list[tuple[float, float]]) -> None:
    print(told(f"first screen, {name}", [first for first, _ in runs]))
    print(told("    ... and settled", [settled for _, settled in runs]))


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 7
    with tempfile.TemporaryDirectory() as folder:
        archive = Path(folder) / "archive"
        make_archive(archive, count)
        environment = {
            **os.environ,
            "ASFOUND_ARCHIVE": str(archive),
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
        }
        ours, bare = [sys.executable, "-m", "asfound"], [sys.executable, "-c", BARE]
        told_first(f"never opened before, {count} pictures", [first_paint_s(ours, environment, b"q")])
        first, toolkit = [], []
        for _ in range(rounds):
            first.append(first_paint_s(ours, environment, b"q"))
            toolkit.append(first_paint_s(bare, environment, b"\x11"))
        told_first(f"as usual, {count} pictures", first)
        told_first("the bare toolkit", toolkit)
        for name in ("preview made now", "preview kept"):
            shown, sharp = number_to_picture_s(ours, environment)
            print(told(f"number to picture, {name}", shown))
            print(told("    ... and every pixel loaded", sharp))


if __name__ == "__main__":
    main()
