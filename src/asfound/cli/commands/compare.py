"""`asfound compare`: what differs between a picture as found and one of now."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.sort import finish_pending
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress

LEAST_SHOWN = 0.2
"""Weaker boxes are noise to a person; 0.5 means "look here". `--json` has all of them."""


@click.command(epilog=example("asfound compare P1_0012.jpg P1_0096.jpg"))
@click.argument("before")
@click.argument("after")
@json_option
def COMMAND(before: str, after: str, as_json: bool) -> None:
    """Rank what seems to differ in AFTER from BEFORE: places to look at, not a verdict."""
    from asfound.actions.compare import compare

    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
        found = compare(archive, resolve.get_picture(archive, before), resolve.get_picture(archive, after)).comparison
    if as_json:
        print_json(
            {
                "registered": found.registered,
                "inliers": found.inliers,
                "differences": [
                    {"x": d.x_frac, "y": d.y_frac, "w": d.w_frac, "h": d.h_frac, "score": round(d.score, 4)}
                    for d in found.differences
                ],
            }
        )
        return
    if not found.registered:
        console().print("The two pictures could not be laid over each other; compare them by eye.")
    shown = [d for d in found.differences if d.score >= LEAST_SHOWN]
    for d in shown:
        box = f"from {d.x_frac:.3f} {d.y_frac:.3f}, {d.w_frac:.3f} by {d.h_frac:.3f}"
        console().print(f"look here: {box}  {d.score:.2f}", markup=False)
    if found.registered and not shown:
        console().print("Nothing stands out. That is not to say that all is as it was: look at it yourself.")
