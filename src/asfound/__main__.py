"""Where the program starts: the command line, with the screens for when no command is given."""

from __future__ import annotations

import os
import sys
from functools import partial
from pathlib import Path

from asfound.actions.archive import default_folder, open_archive, own_screens
from asfound.tui import first_frame
from asfound.tui.first_frame import FirstFrame, FirstWords


def open_screens(folder: Path | None, job_id: int | None, *, frame: FirstFrame, words: FirstWords | None) -> None:
    """Run the terminal screens over an archive until the person leaves them.

    Parameters
    ----------
    folder : Path or None
        Of the archive; None for the usual one.
    job_id : int or None
        The job that is meant; None for the one used last.
    frame : FirstFrame
        What stands on the terminal already.
    words : FirstWords or None
        What it says.
    """
    folder = (folder or default_folder()).expanduser().absolute()
    try:
        from asfound.tui.launch import launch

        with open_archive(folder, job_id=job_id, writer=own_screens) as archive:
            archive.job  # noqa: B018  a job that is missing is said here in one line, before any screen is drawn
            words, is_at_work = launch(archive, frame, words)
    finally:
        frame.clear()
    if words is not None:
        first_frame.keep(folder, job_id, words)
    if is_at_work:
        # Why not `sys.exit`: the interpreter then waits for every thread of a pool, and one that compares a picture can
        # neither be broken off nor be waited for by a person who wants to leave. Nothing is lost: the archive is closed
        # by now, and the database takes a transaction whole or not at all.
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(0)


def start() -> None:
    """Entry point of the `asfound` command."""
    # Pictures are worked on side by side; threads inside each product as well would only wait for one another, which
    # doubled the processor time of a comparison. It is read when NumPy is first loaded.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # A terminal that calls itself dumb would show the screens' colour codes as letters; it gets the short report.
    can_draw = os.environ.get("TERM") != "dumb"
    # Without any word the screens are meant, so the first one is drawn before even the command line is loaded.
    is_meant = can_draw and len(sys.argv) == 1
    words = first_frame.load_kept(default_folder().expanduser().absolute(), None) if is_meant else None
    with first_frame.shown(words, os.environ) as frame:
        from asfound.cli.main import run

        run(open_screens=partial(open_screens, frame=frame, words=words) if can_draw else None)


if __name__ == "__main__":
    start()
