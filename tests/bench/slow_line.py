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
import termios
import time
from pathlib import Path

COLUMNS, ROWS = 120, 40
STEPS, STEPPING_S = 60, 2.0
CHUNK_S = 0.01
QUIET_S = 3.0
QUESTION, ANSWER = b"\x1b[6n", b"\x1b[1;1R"


def run_app(*, paced: bool) -> None:
    """The screens over one picture of noise and lines, in this process."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
    from asfound.tui.terminal import prepare_environment

    prepare_environment(os.environ)
    import numpy as np

    from asfound.tui.app import ArchiveApp
    from tests.tui.fake_service import FakeService

    class Detailed(FakeService):
        def full_rgb(self, picture_id: int) -> object:
            rng = np.random.default_rng(picture_id)
            coarse = rng.integers(0, 255, (300, 400, 3)).astype(np.uint8)
            return np.kron(coarse, np.ones((5, 5, 1), np.uint8))

    class Shown(ArchiveApp):
        def on_ready(self) -> None:
            self.show_picture(1)

    Shown(Detailed(size=(2000, 1500)), paced=paced).run()


def settle_s(bytes_a_second: float, *, paced: bool) -> tuple[float, int]:
    """Seconds from the last step to the last byte, and how many bytes came after it."""
    pid, fd = pty.fork()
    if pid == 0:
        os.environ["TERM"] = "xterm-256color"
        os.execv(sys.executable, [sys.executable, __file__, "--app", "paced" if paced else "unpaced"])
    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
    line = SlowLine(fd, bytes_a_second)
    line.read_until_quiet()
    started = time.perf_counter()
    for step in range(STEPS):
        os.write(fd, b"+" if step % 3 else b"L")
        while time.perf_counter() < started + (step + 1) * STEPPING_S / STEPS:
            line.read_a_little()
    stopped, before = time.perf_counter(), line.total
    last = line.read_until_quiet()
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    os.close(fd)
    return max(0.0, last - stopped), line.total - before


class SlowLine:
    """Reads what a terminal would show, never faster than the line; answers each question when it is reached."""

    def __init__(self, fd: int, bytes_a_second: float) -> None:
        self._fd = fd
        self._share = max(1, int(bytes_a_second * CHUNK_S))
        self.total = 0
        self._tail = b""

    def read_a_little(self) -> bool:
        """What one hundredth of a second lets through; False when nothing came."""
        due = time.perf_counter() + CHUNK_S
        data = b""
        if select.select([self._fd], [], [], CHUNK_S)[0]:
            data = os.read(self._fd, self._share)
        self.total += len(data)
        seen = self._tail + data
        for _ in range(seen.count(QUESTION)):
            os.write(self._fd, ANSWER)
        # A question may be cut in two by the line's share.
        self._tail = seen[-len(QUESTION) + 1 :] if not seen.endswith(QUESTION) else b""
        time.sleep(max(0.0, due - time.perf_counter()))
        return bool(data)

    def read_until_quiet(self) -> float:
        """When the last byte came before a pause."""
        last = time.perf_counter()
        while time.perf_counter() - last < QUIET_S:
            if self.read_a_little():
                last = time.perf_counter()
        return last


def main() -> None:
    speeds = [float(word) for word in sys.argv[1:]] or [250_000.0, 1_000_000.0]
    for speed in speeds:
        for paced in (True, False):
            seconds, left = settle_s(speed, paced=paced)
            name = "paced" if paced else "not paced"
            print(f"{speed / 1000:6.0f} KB/s  {name:10} settled after {seconds:5.2f} s, {left / 1000:6.0f} KB to come")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--app"]:
        run_app(paced=sys.argv[2] == "paced")
    else:
        main()
