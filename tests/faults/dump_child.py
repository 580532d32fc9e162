"""A dump in a process of its own, to be killed: ARCHIVE SOURCE."""

import sys
from pathlib import Path

from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.store import jobs

if __name__ == "__main__":
    with open_archive(Path(sys.argv[1]), create=True) as archive:
        if not jobs.list_jobs(archive.store):
            jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
        print("ready", flush=True)
        report = add_dump(archive, [Path(sys.argv[2])], workers=0)
        print(len(report.added), len(report.known), flush=True)
