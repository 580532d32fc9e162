"""The book for the screens, over the actions."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from asfound.actions import settings
from asfound.tui.archive_base import KeptArchive
from asfound.tui.words import count


class _Stopped(Exception):
    """A person stopped the printing."""


class ArchiveBook(KeptArchive):
    """Prints the record of one archive."""

    def book_path(self) -> Path:
        archive = self.archive
        kept = settings.remembered(archive, self._book_key())
        if kept and Path(kept).parent.is_dir():
            return Path(kept)
        name = re.sub(r"[\W_]+", "-", archive.job.name.casefold()).strip("-")
        return archive.folder.resolve().parent / f"{name or 'book'}.pdf"

    def print_book(
        self, path: Path, *, replace: bool, progress: Callable[[str], None], stopped: Callable[[], bool]
    ) -> str:
        from asfound.actions.book import check_target, write_book
        from asfound.actions.sort import finish_pending

        def tell(what: str, done: int, total: int) -> None:
            if stopped():
                raise _Stopped
            progress(f"{what} {done} of {total}" if total else what)

        archive = self.archive
        check_target(path, replace=replace)
        try:
            finish_pending(archive, tell)
            made = write_book(archive, path.resolve(), replace=replace, progress=tell)
        except _Stopped:
            return ""
        settings.remember(archive, self._book_key(), str(made.path))
        lacking = f" {count(len(made.missing), 'picture')} could not be read and are not in it." if made.missing else ""
        return f"{count(made.pages, 'page')} of A4, {made.size_bytes / 1e6:.1f} MB.{lacking}"

    def _book_key(self) -> str:
        return f"book of job {self.archive.job.job_id}"
