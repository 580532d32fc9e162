"""`asfound completion`: the lines that teach a shell to complete our words."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from asfound.cli.main import COMPLETION, PROGRAM
from asfound.cli.parts import example


@click.command(epilog=example('eval "$(asfound completion bash)"'))
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def COMMAND(shell: str) -> None:
    """Print completion lines for a shell, to load from its start-up file."""
    maker = get_completion_class(shell)
    assert maker is not None, "click knows all three"
    root = click.get_current_context().find_root().command
    click.echo(maker(root, {}, PROGRAM, COMPLETION).source())
