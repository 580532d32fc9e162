"""Where the program starts: the command line, with the screens for when no command is given."""

from __future__ import annotations

from pathlib import Path

from asfound.cli.main import run


def open_screens(folder: Path | None, job_id: int | None) -> None:
    """Run the terminal screens over an archive until the person leaves them."""
    from asfound.actions.archive import open_archive
    from asfound.tui.archive_service import ArchiveService
    from asfound.tui.launch import launch

    with open_archive(folder, job_id=job_id) as archive:
        archive.job  # noqa: B018  a job that is missing is said here in one line, before any screen is drawn
        launch(lambda: ArchiveService(archive))


def start() -> None:
    """Entry point of the `asfound` command."""
    run(open_screens=open_screens)


if __name__ == "__main__":
    start()
