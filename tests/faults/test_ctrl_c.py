"""Ctrl-C while a card is added: one line says so, what was added stays, and adding again goes on."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.media import samples

PHOTOS = 40
INTERRUPTED = """
import signal
from asfound.__main__ import start
from asfound.actions.add import _Dump

commit = _Dump._commit

def commit_and_interrupt(dump):
    _Dump._commit = commit
    commit(dump)
    signal.raise_signal(signal.SIGINT)

signal.signal(signal.SIGINT, signal.default_int_handler)  # what is started in the background inherits a deaf ear
_Dump._commit = commit_and_interrupt
start()
"""
"""The program, with a Ctrl-C at a moment that no busy machine can shift: when the first photos are written down."""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_adding_goes_on_after_ctrl_c(tmp_path: Path):
    card, words = tmp_path / "card", ["--archive", str(tmp_path / "archive")]
    card.mkdir()
    photo = samples.jpeg(samples.scene(400, 300))
    for number in range(PHOTOS):
        (card / f"P1_{number:04d}.jpg").write_bytes(photo + bytes([number]))  # no reader looks behind the picture
    run("-m", "asfound", *words, "job", "new", "Sallow")

    stopped = run("-c", INTERRUPTED, *words, "add", "--later", str(card))
    listed = json.loads(run("-m", "asfound", *words, "pictures", "--json").stdout)
    again = run("-m", "asfound", *words, "add", "--later", str(card), "--json")

    assert stopped.returncode == 1
    assert stopped.stderr.splitlines()[-1] == "Stopped. What was added is kept; add the same again to go on."
    assert 0 < len(listed) < PHOTOS
    assert again.returncode == 0
    assert len(json.loads(again.stdout)["known"]) == len(listed)
    assert len(json.loads(again.stdout)["added"]) == PHOTOS - len(listed)


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *words], capture_output=True, text=True)
