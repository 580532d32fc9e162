"""Open a file in the system's own viewer, without letting it write over the screen."""

from __future__ import annotations

import shlex
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

LEAST_OF_NAME = 8


def path_for_shell(path: Path, room: int, home: Path | None = None) -> str:
    """A path as it can be typed or pasted into a shell, in at most `room` characters if that can be.

    An original's name is 64 digits long, so that its path takes two lines on a usual terminal and cannot be marked and
    copied there. As many of its first digits as are needed to mean this file alone, and a star, do as well.
    """
    folder = path.parent
    home = home or Path.home()
    if folder == home:
        start = "~/"
    elif folder.is_relative_to(home):
        start = f"~/{shlex.quote(str(folder.relative_to(home)))}/"
    else:
        start = shlex.quote(str(folder)).removesuffix("/") + "/"
    whole = start + shlex.quote(path.name)
    if len(whole) <= room:
        return whole
    others = [one.name for one in folder.iterdir() if one != path] if folder.is_dir() else []
    lengths = range(LEAST_OF_NAME, len(path.name))
    same = next((n for n in lengths if not _any_begin(others, path.name[:n])), len(path.name))
    return f"{start}{shlex.quote(path.name[:same])}*" if same < len(path.name) else whole


def _any_begin(names: list[str], start: str) -> bool:
    return any(name.startswith(start) for name in names)


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
