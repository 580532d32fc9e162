"""How long one box over everything takes: 20,000 tags, each with a note. Run by hand; figures go to docs/measured.md.

python -m tests.bench.search [--tags 20000]
"""

from __future__ import annotations

import argparse
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from asfound.actions.archive import Archive, open_archive
from asfound.actions.find import search
from asfound.actions.job import new_job
from asfound.actions.search_texts import refresh
from asfound.core.codes.colours import COLOURS
from asfound.model.tags import KINDS
from asfound.store import tags

PARTS = "starter alternator pump bulkhead tank manifold filter thermostat gear cooler panel relay elbow mount".split()
WORDS = "upper lower port starboard aft forward inner outer small large old new short long double bent".split()
NOTES = "boot torn clamp rusted spade loose paint scraped arrow forward behind rail under floor chafed clip".split()
QUERIES = ("17", "1234b", "hose", "pump hose", "starter wire red", "port aft cooler hose rusted clamp", "RD/BK",
           "alternater", "thermostadt housing", "ground strap", "terminal 50", "zzzz qqqq")  # fmt: skip


def fill(archive: Archive, count: int) -> None:
    """Tags with names, places, colours, terminals and notes, the same on every run."""
    chance = random.Random(7)
    with archive.store.transaction():
        for number in range(1, count + 1):
            name = " ".join(chance.sample(WORDS, 2) + chance.sample(PARTS, 1))
            kind = chance.choice(KINDS)
            tag_id = tags.add_tag(
                archive.store, archive.job.job_id, str(number), archive.now(), kind=kind, name=name, ends=2
            )
            tags.change_tag(archive.store, tag_id, note=" ".join(chance.sample(NOTES, 5)))
            for end in ("A", "B"):
                main, stripe = chance.sample(sorted(COLOURS), 2)
                place = " ".join(chance.sample(PARTS, 1) + chance.sample(WORDS, 2))
                tags.change_end(archive.store, tag_id, end, place=place, colour_main=main, colour_stripe=stripe,
                                terminal=chance.choice(("", "30", "50", "87a")))  # fmt: skip


def main() -> None:
    """Print the time of the first making, of one change, and of each question."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--tags", type=int, default=20_000)
    count = parser.parse_args().tags
    with tempfile.TemporaryDirectory() as folder, open_archive(Path(folder) / "archive", create=True) as archive:
        new_job(archive, "bench", zone="UTC")
        fill(archive, count)
        print(f"{count} tags with notes")
        print(f"  first making of all words {_took(lambda: refresh(archive.store)):9.1f} ms")
        tags.change_tag(archive.store, 1, note="changed")
        print(f"  after one change          {_took(lambda: refresh(archive.store)):9.1f} ms")
        times = []
        for typed in QUERIES:
            own = sorted(_took(lambda typed=typed: search(archive, typed)) for _ in range(9))
            times += own
            print(f"  {typed:<36} {statistics.median(own):6.1f} ms, worst {own[-1]:6.1f} ms")
        print(f"  all: median {statistics.median(times):.1f} ms, worst {max(times):.1f} ms")


def _took(work: Callable[[], object]) -> float:
    """Milliseconds of processor time: on a machine that others use too, the clock on the wall measures them."""
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1000


if __name__ == "__main__":
    main()
