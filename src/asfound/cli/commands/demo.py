"""`asfound demo`: walk through the whole job on pictures that come with the project."""

from __future__ import annotations

import shlex
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import click

from asfound.cli.main import Chosen, invoke
from asfound.cli.parts import console, errors, example
from asfound.errors import Misused, NotFound

SCRIPT = "demo.txt"


@click.command(epilog=example("asfound demo sample_media"))
@click.argument(
    "media",
    metavar="[FOLDER]",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    default=Path("sample_media"),
)
@click.option("--no-screens", is_flag=True, help="Stop before the screens open.")
@click.pass_context
def COMMAND(ctx: click.Context, media: Path, no_screens: bool) -> int:
    """Make a new archive and run the commands of FOLDER's demo.txt on its media, then open the screens.

    The archive is a new folder each time, unless one is named with --archive.
    """
    script = media / SCRIPT
    if not script.is_file():
        raise Misused(f"{script} is not there; name the folder that comes with the project: asfound demo sample_media")
    chosen = ctx.find_root().obj
    archive = chosen.folder or Path(tempfile.mkdtemp(prefix="asfound-demo-")) / "archive"
    for line in read_script(script):
        if line.startswith("#"):
            console().print()
            console().print(line.lstrip("# "), style="bold")
            continue
        words = [word.replace("{media}", str(media)) for word in shlex.split(line)]
        console().print(f"$ asfound {shlex.join(words)}", style="dim", soft_wrap=True)
        _run(chosen, archive, words)
    console().print()
    console().print(f"The archive of this demo is {archive}", soft_wrap=True)
    if not no_screens:
        _run(chosen, archive, ["screens"])
    return 0


def read_script(script: Path) -> Iterator[str]:
    """Command lines, without the program's name, and lines of words that begin with #; blank lines are left out."""
    for line in script.read_text(encoding="utf-8").splitlines():
        if line.strip():
            yield line.strip()


def _run(chosen: Chosen, archive: Path, words: list[str]) -> None:
    """Run one command as it would run by itself. What it finds missing does not end the walk."""
    sys.stdout.flush()
    try:
        invoke(["--archive", str(archive), *words], chosen)
    except NotFound as missing:
        errors().print(str(missing))
