"""Ctrl-C while a card is added: one line says so, what was added stays, and adding again goes on."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.media import samples

PHOTOS = 40
PATIENCE_S = 60.0


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_adding_goes_on_after_ctrl_c(tmp_path: Path):
    card, archive = tmp_path / "card", tmp_path / "archive"
    card.mkdir()
    for seed in range(PHOTOS):
        (card / f"P1_{seed:04d}.jpg").write_bytes(samples.jpeg(samples.scene(1000, 750, seed)))
    asfound = [sys.executable, "-m", "asfound", "--archive", str(archive)]
    subprocess.run([*asfound, "job", "new", "Sallow"], check=True, capture_output=True)

    adding = subprocess.Popen(
        [*asfound, "add", "--later", str(card)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    begun = time.monotonic()
    while len(list(archive.glob("originals/*/*.jpg"))) < 5 and time.monotonic() - begun < PATIENCE_S:
        time.sleep(0.01)
    adding.send_signal(signal.SIGINT)
    _, said = adding.communicate(timeout=PATIENCE_S)
    listed = json.loads(subprocess.run([*asfound, "pictures", "--json"], capture_output=True, text=True).stdout)
    again = subprocess.run([*asfound, "add", "--later", str(card), "--json"], capture_output=True, text=True)

    assert adding.returncode == 1
    assert said == "Stopped. What was added is kept; add the same again to go on.\n"
    assert 0 < len(listed) < PHOTOS
    assert again.returncode == 0
    assert len(json.loads(again.stdout)["known"]) == len(listed)
    assert len(json.loads(again.stdout)["added"]) == PHOTOS - len(listed)
