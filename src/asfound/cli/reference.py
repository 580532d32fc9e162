"""Write `docs/commands.md` from the commands themselves: `python -m asfound.cli.reference > docs/commands.md`."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import click

from asfound.cli.main import main


def render_reference() -> str:
    """The page of all commands with their help, in alphabetical order."""
    pages = [f"## {words}\n\n```\n{text}\n```\n" for words, text in _helps(main, "asfound", None)]
    return "# Commands\n\nMade from the commands' own help.\n\n" + "\n".join(pages)


def _helps(command: click.Command, words: str, parent: click.Context | None) -> Iterator[tuple[str, str]]:
    # With the command's own settings: otherwise the page depends on whether a command ran before.
    settings = {**command.context_settings, "terminal_width": 100}
    context = click.Context(command, info_name=words.split()[-1], parent=parent, **settings)
    yield words, command.get_help(context).strip()
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            child = command.get_command(context, name)
            if child is not None:
                yield from _helps(child, f"{words} {name}", context)


if __name__ == "__main__":
    sys.stdout.write(render_reference())
