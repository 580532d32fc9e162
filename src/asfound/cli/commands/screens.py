"""`asfound screens`: the terminal screens; also what opens without any command."""

from __future__ import annotations

import sys

import click

from asfound.cli.parts import example


@click.command(epilog=example("asfound screens"))
def COMMAND() -> None:
    """Open the screens: sort, pin, find, refit. Without a terminal, print a short report instead."""
    chosen = click.get_current_context().find_root().obj
    if chosen.open_screens is not None and sys.stdin.isatty() and sys.stderr.isatty():
        chosen.open_screens(chosen.folder, chosen.job_id)
    else:
        from asfound.cli.report import print_report

        print_report()
