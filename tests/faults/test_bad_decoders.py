"""A decoder that crashes, hangs or swells loses the one file it was given, and nothing else."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from asfound.errors import NotMedia, Refused, TooLarge, Unreadable
from asfound.media import workers
from asfound.media.inspect import Inspected, Inspection
from asfound.media.workers import Inspectors
from tests.faults.bad_inspectors import inspect_badly

NAMES = ["a", "crash", "b", "hang", "c", "swell", "refuse", "surprise", "d", "exit", "e", "crash", "crash", "f"]
UNNUMBERED = """
from contextlib import redirect_stderr
from textual.app import _PrintCapture
from asfound.media.inspect import Inspection
from asfound.media.workers import Inspectors
from tests.faults.bad_inspectors import inspect_badly

if __name__ == "__main__":
    with redirect_stderr(_PrintCapture(None, stderr=True)), Inspectors(2, inspect_one=inspect_badly) as inspectors:
        print([each.trouble[0] for each in inspectors.map(Inspection("", name) for name in "ab")])
"""


def test_every_bad_file_loses_only_itself():
    begin = time.monotonic()
    with Inspectors(2, seconds=3, inspect_one=inspect_badly) as inspectors:
        results = list(inspectors.map(Inspection("", name) for name in NAMES))

    assert [isinstance(result, Inspected) for result in results] == [len(name) == 1 for name in NAMES]
    assert [r.trouble[0] for r in results if isinstance(r, Inspected)] == [n for n in NAMES if len(n) == 1]
    by_name = dict(zip(NAMES, results, strict=True))
    assert isinstance(by_name["refuse"], NotMedia)
    assert isinstance(by_name["swell"], TooLarge)
    assert "ZeroDivisionError" in str(by_name["surprise"])
    assert "crashed" in str(by_name["crash"])
    assert "3 s" in str(by_name["hang"])
    assert time.monotonic() - begin < 40


def test_processor_time_is_bounded(monkeypatch: pytest.MonkeyPatch):
    """The limit itself is set in the worker; here it is shown that running into it is told as such."""
    assert isinstance(workers._epitaph(-24), Unreadable)
    assert "processor time" in str(workers._epitaph(-24))
    assert "memory" in str(workers._epitaph(-9))


def test_results_come_in_order_and_files_are_asked_for_as_needed():
    asked: list[int] = []

    def files():
        for number in range(30):
            asked.append(number)
            yield Inspection("", f"file {number}")

    with Inspectors(2, inspect_one=inspect_badly) as inspectors:
        for number, result in enumerate(inspectors.map(files())):
            assert isinstance(result, Inspected)
            assert result.trouble.startswith(f"file {number} ")
            assert len(asked) - number <= workers.AHEAD + 3


def test_without_workers_it_happens_in_this_process():
    with Inspectors(0, inspect_one=inspect_badly) as inspectors:
        here, refused, surprise = inspectors.map(
            [Inspection("", "x", zone=str(os.getpid())), Inspection("", "refuse"), Inspection("", "surprise")]
        )

    assert isinstance(here, Inspected)
    assert here.trouble == "x True"
    assert isinstance(refused, Refused)
    assert isinstance(surprise, Refused)


def test_workers_that_die_between_files_are_replaced():
    with Inspectors(1, inspect_one=inspect_badly) as inspectors:
        results = inspectors.map(Inspection("", name) for name in ("a", "b", "c"))
        next(results)
        for worker in inspectors._workers:
            if worker.position is None:
                os.kill(worker.process.pid or 0, 9)
        assert sum(isinstance(result, Inspected) for result in results) >= 1


def test_closing_leaves_no_process():
    inspectors = Inspectors(2, inspect_one=inspect_badly)
    list(inspectors.map([Inspection("", "a"), Inspection("", "b")]))
    pids = [worker.process.pid or 0 for worker in inspectors._workers]

    inspectors.close()
    inspectors.close()

    for pid in pids:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)


def test_workers_start_where_the_error_stream_has_no_number():
    """The screens put such a stream in place; it is tried in a process of its own, for the tracker starts once."""
    told = subprocess.run(
        [sys.executable, "-c", UNNUMBERED], capture_output=True, text=True, timeout=60, cwd=Path(__file__).parents[2]
    )
    assert (told.stdout, told.returncode) == ("['a', 'b']\n", 0), told.stderr
