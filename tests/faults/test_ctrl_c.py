"""Ctrl-C while a card is added: one line says so, what was added stays, and adding again goes on."""

from __future__ import annotations

import json
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from tests.media import samples

PHOTOS = 40
PATIENCE_S = 120.0
ATTEMPTS = 4
"""On a busy machine all may be in before the signal comes; a Ctrl-C that does nothing fails every time."""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_adding_goes_on_after_ctrl_c(tmp_path: Path):
    card = tmp_path / "card"
    card.mkdir()
    photo = samples.jpeg(samples.scene(1000, 750))
    for number in range(PHOTOS):
        (card / f"P1_{number:04d}.jpg").write_bytes(photo + bytes([number]))  # no reader looks behind the picture
    for attempt in range(ATTEMPTS):
        asfound = [sys.executable, "-m", "asfound", "--archive", str(tmp_path / f"archive{attempt}")]
        subprocess.run([*asfound, "job", "new", "Sallow"], check=True, capture_output=True)
        status, said = add_and_interrupt(asfound, card, tmp_path / f"archive{attempt}")
        if status != 0:
            break
    listed = json.loads(subprocess.run([*asfound, "pictures", "--json"], capture_output=True, text=True).stdout)
    again = subprocess.run([*asfound, "add", "--later", str(card), "--json"], capture_output=True, text=True)

    assert status == 1
    assert said == "Stopped. What was added is kept; add the same again to go on.\n"
    assert 0 < len(listed) < PHOTOS
    assert again.returncode == 0
    assert len(json.loads(again.stdout)["known"]) == len(listed)
    assert len(json.loads(again.stdout)["added"]) == PHOTOS - len(listed)


def add_and_interrupt(asfound: list[str], card: Path, archive: Path) -> tuple[int, str]:
    """Exit status and what was said when Ctrl-C comes after some photos are in.

    The database is held while the signal is sent, so that no more photos go in meanwhile.
    """
    adding = subprocess.Popen(
        [*asfound, "add", "--later", str(card)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    begun = time.monotonic()
    with closing(sqlite3.connect(archive / "asfound.sqlite", isolation_level=None, timeout=PATIENCE_S)) as database:
        database.execute("BEGIN IMMEDIATE")
        while database.execute("SELECT COUNT(*) FROM picture").fetchone()[0] < 3:
            database.execute("ROLLBACK")
            assert time.monotonic() - begun < PATIENCE_S
            time.sleep(0.01)
            database.execute("BEGIN IMMEDIATE")
        adding.send_signal(signal.SIGINT)
        database.execute("ROLLBACK")
    _, said = adding.communicate(timeout=PATIENCE_S)
    return adding.returncode, said
