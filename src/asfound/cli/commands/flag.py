"""`asfound flag`: how long to cut a tape flag round a cable, and how tall to write on it."""

from __future__ import annotations

import click

from asfound.cli.parts import console, example, json_option, print_json
from asfound.core.sheets.measures import flag_length_mm, letter_height_mm


@click.command(epilog=example("asfound flag 14"))
@click.argument("cable", type=float, metavar="MM")
@click.option(
    "--flag", "flag_mm", type=float, default=25.0, show_default=True, metavar="MM", help="Length of each flag."
)
@click.option(
    "--from", "distance_mm", type=float, default=700.0, show_default=True, metavar="MM", help="Where it is read from."
)
@json_option
def COMMAND(cable: float, flag_mm: float, distance_mm: float, as_json: bool) -> None:
    """Work out the tape that goes once round a cable or hose MM thick and leaves two flags."""
    length = flag_length_mm(cable, flag_mm)
    least, preferred = letter_height_mm(distance_mm, "least"), letter_height_mm(distance_mm)
    if as_json:
        heights = {"least": round(least, 2), "preferred": round(preferred, 2)}
        print_json({"cable_mm": cable, "flag_mm": flag_mm, "length_mm": round(length, 1), "figures_mm": heights})
        return
    out = console()
    out.print(f"Cut {length:.0f} mm: once round {cable:g} mm, and two flags of {flag_mm:g} mm to fold together.")
    out.print(
        f"Read from {distance_mm:g} mm, figures are at least {least:.1f} mm tall, better {preferred:.1f} mm. "
        "Draw a bar under the number."
    )
