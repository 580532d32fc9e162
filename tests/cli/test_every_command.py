"""Every command has help with an example, and the page of commands agrees with them."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from asfound.cli.main import main
from asfound.cli.phases import PHASES, in_order
from asfound.cli.reference import render_reference

DOCS = Path(__file__).parents[2] / "docs"


def all_commands(
    group: click.Group = main, words: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        yield (*words, name), command
        if isinstance(command, click.Group):
            yield from all_commands(command, (*words, name))


@pytest.mark.parametrize(
    ("words", "command"), list(all_commands()), ids=lambda value: " ".join(value) if isinstance(value, tuple) else ""
)
def test_command_says_what_it_does_with_an_example(words: tuple[str, ...], command: click.Command):
    assert command.help, "one line on what it does"
    assert command.epilog is not None
    assert f"asfound {' '.join(words[:1])}" in command.epilog


def test_page_of_commands_is_what_the_commands_say():
    """Repair with: python -m asfound.cli.reference > docs/commands.md"""
    assert (DOCS / "commands.md").read_text() == render_reference()


@pytest.mark.parametrize("words", [["--help"], ["find", "--help"], ["pin", "--help"]])
def test_help_loads_no_heavy_library(words: list[str]):
    """A tired person who misspelt a word should not wait for OpenCV."""
    script = (
        "import sys; from asfound.cli.main import main\n"
        f"try: main.main({words!r}, standalone_mode=False)\n"
        "except SystemExit: pass\n"
        "print(sorted({'cv2', 'av', 'textual', 'imagehash'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_the_help_names_every_command_once_under_a_part_of_the_job():
    known = main.list_commands(click.Context(main))
    named = [name for part in PHASES.values() for name in part]
    assert sorted({*named}) == sorted(named), "each stands in one part"
    assert {*named} <= {*known}
    listed = [name for _, names in in_order(known) for name in names]
    assert sorted(listed) == known
    assert in_order(["undo", "weld"]) == [("At any time", ["undo", "weld"])]
