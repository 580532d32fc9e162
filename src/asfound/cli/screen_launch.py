"""Open the terminal screens over the archive that the main command's options name."""

from __future__ import annotations

import click

from asfound.actions.archive import open_archive


def open_screens() -> None:
    """Run the screens until the person leaves them."""
    from asfound.tui.archive_service import ArchiveService
    from asfound.tui.launch import launch

    folder, job_id = click.get_current_context().find_root().obj
    with open_archive(folder, job_id=job_id) as archive:
        archive.job  # noqa: B018  a missing job is said here, in one line, not on the screens
        launch(ArchiveService(archive))
