"""A tag in one line: a size is lifted only where it is certainly that of the thing."""

from __future__ import annotations

import runpy
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("name", ["tags.txt", "tags_later.txt"])
def test_size_bag_and_number_are_those_that_are_meant(name: str):
    bench = runpy.run_path(str(ROOT / "bench" / "typed_tags.py"))
    lines = (ROOT / "data" / "typed_lines" / name).read_text().splitlines()
    for line, meant in (one.split(" => ") for one in lines if not one.startswith("#")):
        assert bench["read_fields"](line) == bench["meant_fields"](meant), line
