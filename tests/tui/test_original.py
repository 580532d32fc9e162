"""The original's path after `o`: whole in one line, and meaning this file alone in a shell."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from asfound.actions.viewing import path_for_shell, viewer_command
from asfound.tui import going
from tests.small_archive import small_archive
from tests.tui.read_back import original_path
from tests.tui.screens_of import press, running, said, settle

NAME = "b7c3d98a" + "5" * 56


def test_no_viewer_is_started_where_nobody_would_see_it() -> None:
    assert viewer_command(Path("a.jpg"), {"SSH_CONNECTION": "x"}, "linux") is None
    assert viewer_command(Path("a.jpg"), {}, "darwin") == ["open", "a.jpg"]


def test_a_long_path_is_cut_where_it_means_this_file_alone(tmp_path: Path) -> None:
    folder = tmp_path / "the boat" / "originals" / "b7"
    folder.mkdir(parents=True)
    for name in (f"{NAME}.jpg", f"{NAME[:12]}{'6' * 52}.jpg", f"{'c' * 64}.jpg"):
        (folder / name).write_text(name)
    shown = path_for_shell(folder / f"{NAME}.jpg", 78, tmp_path)
    assert shown == f"~/'the boat/originals/b7'/{NAME[:13]}*"
    typed = subprocess.run(f"cat {shown}", shell=True, env={"HOME": str(tmp_path)}, capture_output=True, text=True)
    assert typed.stdout == f"{NAME}.jpg"


def test_a_path_that_fits_is_shown_whole(tmp_path: Path) -> None:
    assert path_for_shell(Path("/archive/ab/P1.jpg"), 40, tmp_path) == "/archive/ab/P1.jpg"
    assert path_for_shell(Path("/archive/ab/P1 (2).jpg"), 40, tmp_path) == "/archive/ab/'P1 (2).jpg'"


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_it_stands_in_a_line_of_its_own_and_the_whole_path_is_copied(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr("asfound.tui.screens.picture.open_in_viewer", lambda path, environ: False)
    archive = small_archive(tmp_path / "sallow")
    path = original_path(archive, 1)
    async with running(archive, size) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "o")
        shown = said(app).splitlines()[-1]
        assert re.fullmatch(rf"~/sallow/originals/{path.parent.name}/{path.name[:8]}[0-9a-f]*\*", shown)
        assert all(len(line) <= size[0] - 2 for line in said(app).splitlines())
        assert app.clipboard == str(path)
    archive.close()
