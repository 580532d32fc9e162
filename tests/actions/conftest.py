"""A job and nothing in it, for tests that write down themselves what they are about."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from tests.small_archive import empty_archive


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """It is the afternoon of 2025-10-20 there."""
    with empty_archive(tmp_path / "archive") as opened:
        yield opened
