"""How soon the picture stands still on a slow line, once the wheel has stopped.

Run: python tests/bench/slow_line.py [BYTES_A_SECOND ...]

The screens run on a pseudo-terminal of 120 x 40 whose other end is read at a fixed speed. 60 steps of zooming and
panning come in 2 seconds over a picture full of detail; told are the seconds from the last step to the last byte, and
the bytes that were still to come. Beside it the same without waiting for the terminal's answers.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

COLUMNS, ROWS = 120, 40
STEPS, STEPPING_S = 60, 2.0
CHUNK_S = 0.01
QUIET_S = 3.0
FIRST_FRAME_BYTES = 30_000
GIVEN_UP_S = 60.0
QUESTION, ANSWER = b"\x1b[6n", b"\x1b[1;1R"


def run_app(*, paced: bool) -> None:
    """The screens over one picture of noise and lines, in this process."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
    from asfound.tui.terminal import prepare_environment

    prepare_environment(os.environ)
    import numpy as np
    from PIL import Image

    from asfound.tui.going import ShowPicture
    from tests.small_archive import archive_of
    from tests.tui.screens_of import app_over

    coarse = np.random.default_rng(1).integers(0, 255, (300, 400, 3)).astype(np.uint8)
    picture = Image.fromarray(np.kron(coarse, np.ones((5, 5, 1), np.uint8)))
    with tempfile.TemporaryDirectory() as folder, archive_of(Path(folder), [picture]) as archive:
        app = app_over(archive, paced=paced)
        app.post_message(ShowPicture(1))
        app.run()


@dataclass(frozen=True, slots=True)
class Run:
    """What became of the steps.

    Attributes
    ----------
    settled_s : float
        Seconds from the last step to the last byte.
    bytes_after : int
        Bytes that came after the last step.
    frames : int
        Frames after which the terminal was asked, from the first step on.
    """

    settled_s: float
    bytes_after: int
    frames: int


@contextmanager
def app_on_a_terminal(*, paced: bool) -> Iterator[int]:
    """The screens in a process of their own; the descriptor of the terminal's other end."""
    pid, fd = pty.fork()
    if pid == 0:
        os.environ["TERM"] = "xterm-256color"
        os.execv(sys.executable, [sys.executable, __file__, "--app", "paced" if paced else "unpaced"])
    try:
        fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        yield fd
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(fd)


def run_over(bytes_a_second: float, *, paced: bool) -> Run:
    """Take the steps over a line of that speed."""
    with app_on_a_terminal(paced=paced) as fd:
        line = SlowLine(fd, bytes_a_second)
        line.read_until_quiet(least=FIRST_FRAME_BYTES)
        asked = line.questions
        started = time.perf_counter()
        for step in range(STEPS):
            os.write(fd, key_of_step(step))
            while time.perf_counter() < started + (step + 1) * STEPPING_S / STEPS:
                line.read_a_little()
        stopped, before = time.perf_counter(), line.total
        last = line.read_until_quiet()
        return Run(max(0.0, last - stopped), line.total - before, line.questions - asked)


def key_of_step(step: int) -> bytes:
    """Every third step moves, the others zoom, in and out again so that there is always another frame to draw."""
    return b"L" if step % 3 == 0 else b"+" if step % 12 < 6 else b"-"


class SlowLine:
    """Reads what a terminal would show, never faster than the line; answers each question when it is reached."""

    def __init__(self, fd: int, bytes_a_second: float) -> None:
        self._fd = fd
        self._share = max(1, int(bytes_a_second * CHUNK_S))
        self.total = self.questions = 0
        self._tail = b""

    def read_a_little(self) -> bool:
        """What one hundredth of a second lets through; False when nothing came."""
        due = time.perf_counter() + CHUNK_S
        data = b""
        if select.select([self._fd], [], [], CHUNK_S)[0]:
            data = os.read(self._fd, self._share)
        self.total += len(data)
        seen = self._tail + data
        self.questions += seen.count(QUESTION)
        os.write(self._fd, ANSWER * seen.count(QUESTION))
        # A question may be cut in two by the line's share.
        self._tail = seen[-len(QUESTION) + 1 :] if not seen.endswith(QUESTION) else b""
        time.sleep(max(0.0, due - time.perf_counter()))
        return bool(data)

    def read_until_quiet(self, least: int = 0) -> float:
        """When the last byte came before a pause; so many bytes are waited for in any case."""
        started = last = time.perf_counter()
        while time.perf_counter() - last < QUIET_S or (self.total < least and last - started < GIVEN_UP_S):
            if self.read_a_little():
                last = time.perf_counter()
        return last


def main() -> None:
    speeds = [float(word) for word in sys.argv[1:]] or [250_000.0, 1_000_000.0]
    for speed in speeds:
        for paced in (True, False):
            run = run_over(speed, paced=paced)
            name = f"{run.frames} frames" if paced else "not paced"
            print(
                f"{speed / 1000:6.0f} KB/s  {name:10} settled after {run.settled_s:5.2f} s, "
                f"{run.bytes_after / 1000:6.0f} KB to come"
            )


if __name__ == "__main__":
    if sys.argv[1:2] == ["--app"]:
        run_app(paced=sys.argv[2] == "paced")
    else:
        main()
