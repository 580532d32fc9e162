"""`asfound screens`: the terminal screens; also what opens without any command."""

from __future__ import annotations

import sys

import click

from asfound.cli.parts import example


@click.command(epilog=example("asfound screens"))
def COMMAND() -> None:
    """Open the screens: sort, pin, find, refit. Without a terminal, print a short report instead."""
    if sys.stdin.isatty() and sys.stderr.isatty():
        from asfound.cli.screen_launch import open_screens

        open_screens()
    else:
        from asfound.cli.report import print_report

        print_report()
