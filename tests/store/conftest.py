from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.store import pictures
from asfound.store.database import Store
from tests.store.filled import filled_store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """One job, three pictures in one spot, one tag; see `filled`."""
    with filled_store(tmp_path) as opened:
        yield opened


@pytest.fixture(autouse=True)
def nothing_kept() -> None:
    """No test is answered from rows that an earlier one read."""
    pictures._MADE.clear()
