"""What many tests begin with is made once in a run; each test gets a copy of its own to write into."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

Maker = Callable[[Path], object]
"""Makes a folder that is not there yet, such as an archive, and leaves nothing of it open."""


def copy_of(make: Maker, folder: Path) -> Path:
    """A fresh copy of what `make` makes, as `folder` or into it."""
    return shutil.copytree(_made(make), folder, dirs_exist_ok=True)


@cache
def _made(make: Maker) -> Path:
    place = Path(tempfile.mkdtemp(prefix="asfound-tests-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    (place / "made").mkdir()
    make(place / "made")
    return place / "made"
