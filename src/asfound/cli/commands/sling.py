"""`asfound sling`: how hard each leg of a sling pulls. It shows why to keep the legs steep, and is no lifting plan."""

from __future__ import annotations

import click

from asfound.cli.parts import console, example, json_option, print_json
from asfound.core.codes.cautions import cautions_of
from asfound.core.codes.sling import COMMON_PRACTICE, SlingPull, estimate_each, estimate_pull
from asfound.errors import Misused


@click.command(epilog=example("asfound sling 420 --legs 2 --angle 60"))
@click.argument("weight", type=float, metavar="KG")
@click.option("--legs", type=int, default=2, show_default=True, help="Legs in use; never more than two are counted.")
@click.option(
    "--angle",
    "angles",
    type=float,
    multiple=True,
    required=True,
    metavar="DEGREES",
    help="The angle of the legs from level; 90 hangs straight down. Once for equal legs, else once for each of two.",
)
@json_option
def COMMAND(weight: float, legs: int, angles: tuple[float, ...], as_json: bool) -> None:
    """Work out the pull in each leg when KG hangs from it: KG / (legs x sine of the angle from level).

    The legs are equal and the weight hangs midway; if not, give the angle of each of the two legs.

    Weight, lifting points and rigging are those of the service manual; this is no lifting plan.
    """
    found = _estimate(weight, legs, angles)
    if as_json:
        print_json(
            {
                "kg": weight,
                "legs": legs,
                "legs_counted": found.legs_counted,
                "angle_deg": min(angles),
                "angles_deg": list(angles),
                "pull_kg": None if found.pull_kg is None else round(found.pull_kg, 1),
                "pulls_kg": [round(pull_kg, 1) for pull_kg in found.pulls_kg],
                "words": found.words,
                "common_practice": list(COMMON_PRACTICE),
            }
        )
        return
    out = console()
    out.print(found.words)
    out.print("Common practice, no source. The manual comes first:")
    for words in COMMON_PRACTICE:
        out.print(f"  {words}")
    for caution in cautions_of("lift"):
        out.print(f"  {caution.text}")


def _estimate(weight: float, legs: int, angles: tuple[float, ...]) -> SlingPull:
    if len(angles) == 1:
        return estimate_pull(weight, legs, angles[0])
    if len(angles) != 2 or legs != 2:
        raise Misused("Legs of their own angle are worked out two at a time: give --angle twice and leave --legs out.")
    return estimate_each(weight, (angles[0], angles[1]))
