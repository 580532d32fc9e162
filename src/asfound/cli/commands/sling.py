"""`asfound sling`: how hard each leg of a sling pulls; a picture of why to keep it steep, not a lifting plan."""

from __future__ import annotations

import click

from asfound.cli.parts import console, example, json_option, print_json
from asfound.core.codes.cautions import cautions_of
from asfound.core.codes.sling import COMMON_PRACTICE, estimate_pull


@click.command(epilog=example("asfound sling 420 --legs 2 --angle 60"))
@click.argument("weight", type=float, metavar="KG")
@click.option("--legs", type=int, default=2, show_default=True, help="Legs in use; never more than two are counted.")
@click.option(
    "--angle",
    type=float,
    required=True,
    metavar="DEGREES",
    help="The angle of each leg from level; 90 hangs straight down.",
)
@json_option
def COMMAND(weight: float, legs: int, angle: float, as_json: bool) -> None:
    """Work out the pull in each leg when KG hangs from it: KG / (legs x sine of the angle from level).

    Weight, lifting points and rigging are those of the service manual; this is no lifting plan.
    """
    found = estimate_pull(weight, legs, angle)
    if as_json:
        print_json(
            {
                "kg": weight,
                "legs": legs,
                "legs_counted": found.legs_counted,
                "angle_deg": angle,
                "pull_kg": None if found.pull_kg is None else round(found.pull_kg, 1),
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
