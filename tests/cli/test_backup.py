"""`asfound backup` at the command line: what it says, and what it leaves alone."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", "--archive", str(folder), *words], capture_output=True, text=True
    )


def test_zip_tells_what_it_replaced_and_that_of_another_archive_stays(tmp_path: Path):
    for name in ("a1", "a5"):
        assert run(tmp_path / name, "job", "new", name).returncode == 0
    target = tmp_path / "bk2.zip"

    first = run(tmp_path / "a1", "backup", str(target))
    second = run(tmp_path / "a1", "backup", str(target))
    before = target.read_bytes()
    other = run(tmp_path / "a5", "backup", str(target))

    assert "replaced" not in first.stdout
    assert "was replaced; a folder keeps several." in second.stdout
    assert (other.returncode, other.stdout, other.stderr.count("\n")) == (2, "", 1)
    assert "holds the backup of another archive; name another folder or file." in other.stderr
    assert target.read_bytes() == before
    assert json.loads(run(tmp_path / "a1", "backup", str(target), "--json").stdout)["replaced"] is not None
