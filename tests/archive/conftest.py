from __future__ import annotations

from pathlib import Path

import pytest

from asfound.archive.layout import Layout, make_layout


@pytest.fixture
def layout(tmp_path: Path) -> Layout:
    """An empty archive."""
    return make_layout(tmp_path / "archive")
