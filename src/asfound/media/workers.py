"""Inspect files in processes of their own: a decoder that crashes, hangs or swells loses one file, not the dump.

Each worker has its own pipe, so a death is the fault of exactly the file it was given. Up to two workers: decoding is
what a dump spends its time on, and a bench laptop has other things to do.
"""

from __future__ import annotations

import multiprocessing
import signal
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import redirect_stderr, suppress
from dataclasses import dataclass
from multiprocessing.connection import wait
from multiprocessing.context import SpawnProcess
from types import TracebackType
from typing import Self

from asfound.errors import AsfoundError, Refused, TooLarge, Unreadable
from asfound.media.inspect import Inspected, Inspection, inspect
from asfound.media.limits import DEFAULT_LIMITS, MIB, Limits
from asfound.system import limit_cpu, limit_memory, ran_out_of_time, silence_libraries, start_tracker, was_killed

if sys.platform == "win32":
    from multiprocessing.connection import PipeConnection as Connection
else:
    from multiprocessing.connection import Connection

MOST_WORKERS = 2
MEMORY_BYTES = 2048 * MIB
"""Address space that decoding one file may take on top of what an idle worker has."""
SECONDS_PER_FILE = 120.0
CPU_SECONDS_PER_FILE = 90
START_SECONDS = 30.0
"""What a worker may need on a busy machine before it can take its first file."""
AHEAD = 4
"""Results that may wait for the slow file before them."""

Result = Inspected | Refused
InspectOne = Callable[[Inspection, Limits], Inspected]


@dataclass(slots=True)
class _Worker:
    process: SpawnProcess
    pipe: Connection
    position: int | None = None
    due: float = 0.0


class Inspectors:
    """Inspects files in order, ahead of whoever asks for them.

    Parameters
    ----------
    workers : int
        Processes, at most `MOST_WORKERS`; 0 inspects in this process (small tests; no protection from crashes).
    seconds : float
        Wall-clock time that one file may take.
    inspect_one : callable
        What a worker does; must be importable by name. Replaced in tests.
    """

    def __init__(
        self,
        workers: int = MOST_WORKERS,
        *,
        limits: Limits = DEFAULT_LIMITS,
        seconds: float = SECONDS_PER_FILE,
        inspect_one: InspectOne = inspect,
    ) -> None:
        self._count = min(workers, MOST_WORKERS)
        self._limits = limits
        self._seconds = seconds
        self._inspect = inspect_one
        self._workers: list[_Worker] = []

    def map(self, wanted: Iterable[Inspection]) -> Iterator[Result]:
        """Results in the order of the files; a refusal is given, not raised.

        Files are asked for as workers become free, at most `AHEAD` more than results were taken.
        """
        if self._count == 0:
            for each in wanted:
                yield _guarded(self._inspect, each, self._limits)
            return
        coming = enumerate(wanted)
        results: dict[int, Result] = {}
        given, exhausted = 0, False
        while True:
            while not exhausted and len(results) < AHEAD and self._has_room():
                following = next(coming, None)
                if following is None:
                    exhausted = True
                else:
                    self._hand_out(*following)
            if given in results:
                yield results.pop(given)
                given += 1
            elif any(worker.position is not None for worker in self._workers):
                results.update(self._collect())
            else:
                return

    def close(self) -> None:
        """End the workers. Calling it twice does no harm."""
        for worker in self._workers:
            worker.pipe.close()
            worker.process.kill()
        for worker in self._workers:
            worker.process.join()
            worker.process.close()
        self._workers.clear()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _has_room(self) -> bool:
        return len(self._workers) < self._count or any(worker.position is None for worker in self._workers)

    def _hand_out(self, position: int, wanted: Inspection) -> None:
        """Give a file to an idle worker, or to a new one."""
        for worker in [each for each in self._workers if each.position is None]:
            try:
                worker.pipe.send(wanted)
            except OSError:  # It died while idle; the file is not to blame.
                self._drop(worker)
                continue
            worker.position, worker.due = position, time.monotonic() + self._seconds
            return
        worker = self._start()
        worker.position, worker.due = position, time.monotonic() + self._seconds + START_SECONDS
        with suppress(OSError):  # If it died at once, collecting will find out.
            worker.pipe.send(wanted)

    def _collect(self) -> dict[int, Result]:
        """Wait until some worker has a result, has died, or is overdue."""
        busy = [worker for worker in self._workers if worker.position is not None]
        left = max(0.0, min(worker.due for worker in busy) - time.monotonic())
        ready = set(wait([worker.pipe for worker in busy], left))
        results: dict[int, Result] = {}
        for worker in busy:
            position = worker.position
            assert position is not None
            if worker.pipe in ready:
                try:
                    results[position] = worker.pipe.recv()
                    worker.position = None
                except (EOFError, OSError):
                    results[position] = _epitaph(self._drop(worker))
            elif time.monotonic() >= worker.due:
                self._drop(worker)
                results[position] = Unreadable(f"decoding it took more than {self._seconds:.0f} s and was stopped")
        return results

    def _start(self) -> _Worker:
        # The tracker that is started with the first process wants a numbered error stream; that of the screens is none.
        with redirect_stderr(sys.__stderr__):
            start_tracker()
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=_work, args=(theirs, self._limits, self._inspect), daemon=True)
        process.start()
        theirs.close()
        worker = _Worker(process, ours)
        self._workers.append(worker)
        return worker

    def _drop(self, worker: _Worker) -> int | None:
        """End a worker and forget it; its exit code, negative for a signal."""
        self._workers.remove(worker)
        worker.process.join(0.5)
        worker.process.kill()
        worker.process.join()
        code = worker.process.exitcode
        worker.process.close()
        worker.pipe.close()
        return code


def workers_for(files: int) -> int:
    """How many workers are worth their start, which costs as much as ten photos."""
    return 1 if files < 24 else MOST_WORKERS


def _epitaph(code: int | None) -> Refused:
    if ran_out_of_time(code):
        return Unreadable(f"decoding it took more than {CPU_SECONDS_PER_FILE} s of processor time and was stopped")
    if was_killed(code):
        return TooLarge("decoding it was stopped by the system, most likely for want of memory")
    return Unreadable("the decoder crashed on it")


def _work(pipe: Connection, limits: Limits, inspect_one: InspectOne) -> None:
    """What a worker does until its pipe is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's business.
    silence_libraries()
    import cv2

    cv2.setNumThreads(1)
    limit_memory(MEMORY_BYTES)
    with suppress(EOFError, OSError):
        while True:
            wanted = pipe.recv()
            limit_cpu(CPU_SECONDS_PER_FILE)
            pipe.send(_guarded(inspect_one, wanted, limits))


def _guarded(inspect_one: InspectOne, wanted: Inspection, limits: Limits) -> Result:
    """One file at a border where nothing may pass: an error that nobody foresaw is told of and counted."""
    try:
        return inspect_one(wanted, limits)
    except Refused as refusal:
        return refusal
    except MemoryError:
        return TooLarge("decoding it needs more memory than one file may take")
    except AsfoundError as error:
        return Unreadable(str(error))
    except Exception as error:
        return Unreadable(f"the decoder failed on it ({type(error).__name__}: {error})"[:300])
