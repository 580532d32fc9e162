"""Open a file in the system's own viewer, without letting it write over the screen."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path


def viewer_command(path: Path, environ: Mapping[str, str], platform: str = sys.platform) -> list[str] | None:
    """What opens a file here; None over a remote line or without a display."""
    if platform == "darwin":
        return None if environ.get("SSH_CONNECTION") else ["open", str(path)]
    if platform == "win32":
        return ["explorer", str(path)]
    if not (environ.get("DISPLAY") or environ.get("WAYLAND_DISPLAY")):
        return None
    opener = shutil.which("xdg-open")
    return [opener, str(path)] if opener else None


def open_in_viewer(path: Path, environ: Mapping[str, str]) -> bool:
    """Open a file and go on at once; False when there is no viewer to open it in."""
    command = viewer_command(path, environ)
    if command is None:
        return False
    try:
        subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        return False
    return True
