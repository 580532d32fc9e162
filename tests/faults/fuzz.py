"""Spoilt files of every kind, each as a dump, a table or a kept note meets it: added, or refused with a reason.

The long form:  python -m tests.faults.fuzz --files 20000 --seed 1
"""

from __future__ import annotations

import argparse
import os
import random
import resource
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.tags_import import import_tags
from asfound.archive.layout import Layout
from asfound.errors import AsfoundError, Refused
from asfound.media.inspect import Inspected, Inspection, inspect
from asfound.media.limits import Limits
from asfound.media.met import FoundFile, NotTaken
from asfound.media.source import walk
from asfound.media.workers import Inspectors
from asfound.tui import first_frame
from tests.faults.fuzz_seeds import seeds, spoil
from tests.small_archive import empty_archive

MOST_S = 5.0
MOST_BYTES = 600 << 20
BATCH = 100
STORED, TOLD = ".stored", ".told"
UNFORESEEN = "the decoder failed on it"
CRASHED = "the decoder crashed on it"


@dataclass
class Outcome:
    """What became of all files.

    Attributes
    ----------
    ended : counter
        Files by how they ended, in words.
    wrong : list of (str, str)
        Names of files that took too long, too much, or raised what nobody foresaw, with the reason.
    crashed : list of (str, str)
        Files that a decoder crashed or failed on in its own process: refused as they should be, and worth keeping.
    slowest_s, most_bytes : float, int
        Of one file, in processor time and in memory of the worker.
    """

    ended: Counter[str] = field(default_factory=Counter)
    wrong: list[tuple[str, str]] = field(default_factory=list)
    crashed: list[tuple[str, str]] = field(default_factory=list)
    slowest_s: float = 0.0
    most_bytes: int = 0

    @property
    def files(self) -> int:
        return self.ended.total() + len(self.wrong)


def inspect_measured(wanted: Inspection, limits: Limits) -> Inspected:
    """As a worker does it, with its processor time and the most memory it had written beside the file."""
    Path("/proc/self/clear_refs").write_text("5")  # the peak begins anew
    begin = time.process_time()
    try:
        return inspect(wanted, limits)
    finally:
        Path(wanted.path + TOLD).write_text(f"{time.process_time() - begin} {peak_bytes()}")


def peak_bytes() -> int:
    """The most memory this process had since its peak was last begun anew."""
    with open("/proc/self/status", encoding="ascii") as said:
        kilobytes = next((line.split()[1] for line in said if line.startswith("VmHWM")), None)
    return int(kilobytes) * 1024 if kilobytes else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def fuzz(files: int, seed: int, place: Path, keep: Path | None = None) -> Outcome:
    """Spoil so many files and see what becomes of each; those worth keeping are copied to `keep`."""
    known, rng, outcome = seeds(), random.Random(seed), Outcome()
    names = sorted(known)
    with empty_archive(place / "archive") as archive, Inspectors(1, seconds=20, inspect_one=inspect_measured) as inside:
        for begin in range(0, files, BATCH):
            with tempfile.TemporaryDirectory(dir=place) as folder:
                for number in range(begin, min(begin + BATCH, files)):
                    name = names[number % len(names)]
                    path = Path(folder, f"{number:06d}-{name}")
                    path.write_bytes(spoil(rng, known[name], list(known.values())))
                before = len(outcome.wrong) + len(outcome.crashed)
                _see_all(Path(folder), archive, inside, outcome)
                if keep is not None and len(outcome.wrong) + len(outcome.crashed) > before:
                    for name, _ in (*outcome.wrong, *outcome.crashed):
                        if Path(folder, name).exists():
                            keep.mkdir(exist_ok=True)
                            (keep / name).write_bytes(Path(folder, name).read_bytes())
    return outcome


def _see_all(folder: Path, archive: Archive, inside: Inspectors, outcome: Outcome) -> None:
    found: list[FoundFile] = []
    for path in sorted(folder.iterdir()):
        begin = time.process_time()
        try:
            if path.suffix == ".csv":
                import_tags(archive, path, is_dry_run=True)
                outcome.ended["table read"] += 1
            elif path.suffix == ".json":
                _see_note(path, archive)
                outcome.ended["note read or made anew"] += 1
            else:
                found += _met(path, outcome)
        except AsfoundError:
            outcome.ended["refused"] += 1
        except Exception as error:  # the very thing that is looked for
            outcome.wrong.append((path.name, f"{type(error).__name__}: {error}"))
        if time.process_time() - begin > MOST_S:
            outcome.wrong.append((path.name, f"{time.process_time() - begin:.1f} s"))
    for number, (one, result) in enumerate(zip(found, inside.map(_asked(found, folder)), strict=True)):
        _judge(one, result, folder / f"{number:06d}{STORED}{TOLD}", outcome)


def _met(path: Path, outcome: Outcome) -> Iterator[FoundFile]:
    """What walking over a file gives to be decoded."""
    for met in walk([path]):
        if isinstance(met, FoundFile):
            yield met
        else:
            outcome.ended["refused" if isinstance(met, NotTaken) else "passed over"] += 1


def _asked(found: list[FoundFile], folder: Path) -> Iterator[Inspection]:
    """Each as a file of its own, as the archive has it; a member of a zip that cannot be unpacked stays empty."""
    for number, one in enumerate(found):
        path = folder / f"{number:06d}{STORED}"
        try:
            with one.open() as source:
                path.write_bytes(source.read())
        except Refused:
            path.write_bytes(b"")
        yield Inspection(str(path), one.name, "Europe/Amsterdam", one.modified)


def _judge(one: FoundFile, result: Inspected | Refused, told: Path, outcome: Outcome) -> None:
    name = Path(one.where.partition("!")[0]).name
    trouble = str(result) if isinstance(result, Refused) else result.trouble
    taken = isinstance(result, Inspected) and result.details is not None
    seconds, peak = map(float, told.read_text().split()) if told.exists() else (0.0, 0.0)
    outcome.slowest_s, outcome.most_bytes = max(outcome.slowest_s, seconds), max(outcome.most_bytes, int(peak))
    if seconds > MOST_S or peak > MOST_BYTES:
        outcome.wrong.append((name, f"{seconds:.1f} s, {int(peak) >> 20} MiB: {trouble}"))
        return
    if trouble.startswith((UNFORESEEN, CRASHED)) or "more than 20 s" in trouble:
        outcome.crashed.append((name, trouble))
    outcome.ended["added, with its trouble told" if taken and trouble else "added" if taken else "refused"] += 1


def _see_note(path: Path, archive: Archive) -> None:
    """The words that the first screen keeps for the next start."""
    target = Layout(archive.folder).cached("screens", first_frame._name(None))
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(path.read_bytes())
    words = first_frame.load_kept(archive.folder, None)
    assert words is not None
    first_frame.draw(words, 80, 24, {})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, default=None)
    asked = parser.parse_args()
    begin = time.monotonic()
    with tempfile.TemporaryDirectory() as place:
        outcome = fuzz(asked.files, asked.seed, Path(place), asked.keep)
    for words, count in outcome.ended.most_common():
        print(f"{count:7d}  {words}")
    print(f"slowest {outcome.slowest_s:.2f} s of processor, most memory {outcome.most_bytes >> 20} MiB")
    print(f"{outcome.files} endings, {time.monotonic() - begin:.0f} s")
    for name, why in outcome.crashed:
        print(f"refused, and worth keeping: {name}: {why}")
    for name, why in outcome.wrong:
        print(f"WRONG: {name}: {why}")
    raise SystemExit(bool(outcome.wrong))


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    main()
