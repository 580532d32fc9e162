"""`asfound compare`: what differs between a picture as found and one of now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from asfound.actions import resolve
from asfound.actions.sort import finish_pending
from asfound.actions.views import source_of
from asfound.cli.drawing import can_draw, draw_whole
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress
from asfound.cli.places import place_in_words

if TYPE_CHECKING:
    from asfound.core.match.compare import Comparison, Difference

LEAST_SHOWN = 0.2
"""Weaker boxes are noise to a person. `--json` has all of them."""
CLEAR = 0.5
"""From here on a box stands out from the picture's other places."""
MOST_SHOWN = 9


@click.command(epilog=example("asfound compare P1_0014.jpg P1_0027.jpg"))
@click.argument("before")
@click.argument("after")
@click.option("--plain", is_flag=True, help="Do not draw the picture in the terminal.")
@json_option
def COMMAND(before: str, after: str, plain: bool, as_json: bool) -> None:
    """Rank what seems to differ in AFTER from BEFORE: places to look at, not a verdict."""
    from asfound.actions.compare import compare

    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
        found = compare(archive, resolve.get_picture(archive, before), resolve.get_picture(archive, after))
        shown = [d for d in found.comparison.differences if d.score >= LEAST_SHOWN][:MOST_SHOWN]
        if as_json:
            print_json(_document(found.comparison))
            return
        if shown and can_draw() and not plain:
            draw_whole(source_of(archive, found.after), [(str(n), *_middle(d)) for n, d in enumerate(shown, 1)])
    if not found.comparison.registered:
        console().print("The two pictures could not be laid over each other; compare them by eye.")
    elif not shown:
        console().print("Nothing stands out. That is not to say that all is as it was: look at it yourself.")
    if shown:
        console().print(f"Look here in {found.after.file}, the most likely first:")
    for number, d in enumerate(shown, 1):
        box = f"{d.x_frac:.2f} to {d.x_frac + d.w_frac:.2f} across, {d.y_frac:.2f} to {d.y_frac + d.h_frac:.2f} down"
        console().print(
            f"  {number}  {place_in_words(*_middle(d)):<13}  {box}  {'clear' if d.score >= CLEAR else 'faint'}"
        )


def _middle(d: Difference) -> tuple[float, float]:
    return d.x_frac + d.w_frac / 2, d.y_frac + d.h_frac / 2


def _document(found: Comparison) -> dict[str, Any]:
    return {
        "registered": found.registered,
        "inliers": found.inliers,
        "differences": [
            {"x": d.x_frac, "y": d.y_frac, "w": d.w_frac, "h": d.h_frac, "score": round(d.score, 4)}
            for d in found.differences
        ],
    }
